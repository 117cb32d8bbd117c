import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { type CompareAnswer, compareRequest } from '../../server/features/requests.js';
import { ask, cotterEditor, uriFor } from '../asking.js';
import { git } from '../git.js';

type Change = CompareAnswer['cards'][number]['changes'][number];

interface Row {
    readonly label: string;
    readonly description?: string;
    readonly icon?: string;
    readonly change?: Change;
    readonly rows?: readonly Row[];
}

interface Compared {
    readonly answer: CompareAnswer;
    readonly uri: vscode.Uri;
    readonly revision: string;
}

/** What has changed in a card since a revision, and what follows: the verdict, the changes by class, their places old and new. */
export function registerChanges(client: BaseLanguageClient): vscode.Disposable[] {
    const changed = new vscode.EventEmitter<void>();
    let compared: Compared | undefined;
    const view = vscode.window.createTreeView<Row>('cotter.changes', {
        treeDataProvider: {
            onDidChangeTreeData: changed.event,
            getChildren: row => [...(row?.rows ?? (row || !compared ? [] : compared.answer.cards.map(cardRow)))],
            getTreeItem: itemOf,
        },
    });

    const show = async (uri: vscode.Uri, revision: string): Promise<void> => {
        const answer = await ask(client, compareRequest, { uri: uriFor(client, uri), revision });
        compared = answer && { answer, uri, revision };
        view.description = compared
            ? vscode.l10n.t('since {0}', /^[0-9a-f]{40}$/.test(revision) ? revision.slice(0, 8) : revision)
            : '';
        // The verdict as one sentence, which a row would cut short.
        view.message = answer?.says ?? vscode.l10n.t('Not known: the language server has not answered.');
        changed.fire();
        await vscode.commands.executeCommand('cotter.changes.focus');
    };

    /** From the palette, an editor's title or source control, which give a URI or things of their own. */
    const compare = async (given?: unknown, revision?: string): Promise<void> => {
        const uri = given instanceof vscode.Uri ? given : cotterEditor()?.document.uri;
        if (!uri) {
            void vscode.window.showInformationMessage(vscode.l10n.t('Open the card that is to be compared first.'));
            return;
        }
        const chosen = revision ?? (await chooseRevision(uri));
        if (chosen) await show(uri, chosen);
    };

    const openBoth = async ({ old, now }: Change): Promise<void> => {
        if (!compared) return;
        const there = now && client.protocol2CodeConverter.asLocation(now);
        const uri =
            old &&
            vscode.Uri.joinPath(client.protocol2CodeConverter.asUri(compared.answer.root), ...old.path.split('/'));
        const api = await git();
        const before = uri && api?.toGitUri(uri, compared.revision);
        if (before && there) {
            const title = `${old.path} (${compared.revision})`;
            await vscode.commands.executeCommand('vscode.diff', before, there.uri, title, { selection: there.range });
        } else if (there) await vscode.window.showTextDocument(there.uri, { selection: there.range });
        else if (before) {
            const range = client.protocol2CodeConverter.asRange(old?.range);
            await vscode.window.showTextDocument(before, range ? { selection: range } : {});
        }
    };

    return [
        view,
        changed,
        vscode.commands.registerCommand('cotter.compare', compare),
        vscode.commands.registerCommand('cotter.openChange', openBoth),
        vscode.commands.registerCommand('cotter.compareAgain', () => compared && show(compared.uri, compared.revision)),
    ];
}

async function chooseRevision(uri: vscode.Uri): Promise<string | undefined> {
    const repository = (await git())?.getRepository(uri);
    const commits = await repository?.log({ maxEntries: 30, path: uri.fsPath }).catch(() => []);
    const refs = await repository?.getRefs({}).catch(() => []);
    const typed = { label: vscode.l10n.t('Another revision...'), revision: '' };
    const items: (vscode.QuickPickItem & { revision: string })[] = [
        { label: 'HEAD', description: vscode.l10n.t('the last commit'), revision: 'HEAD' },
        ...(commits ?? []).map(({ hash, message, authorDate }) => ({
            label: message.split('\n')[0] ?? hash,
            description: `${hash.slice(0, 8)} ${authorDate ? authorDate.toISOString().slice(0, 10) : ''}`,
            revision: hash,
        })),
        ...(refs ?? []).flatMap(({ name }) => (name ? [{ label: name, revision: name }] : [])),
        typed,
    ];
    const title = vscode.l10n.t('Compare the card with which revision?');
    const chosen = await vscode.window.showQuickPick(items, { title, matchOnDescription: true });
    if (chosen !== typed) return chosen?.revision;
    return vscode.window.showInputBox({ title, prompt: vscode.l10n.t('A branch, a tag or a commit') });
}

const classes = ['safety', 'work', 'record', 'wording'] as const;

function classSaid(name: Change['class']): string {
    return {
        safety: vscode.l10n.t('Safety'),
        work: vscode.l10n.t('Work'),
        record: vscode.l10n.t('Record'),
        wording: vscode.l10n.t('Wording'),
    }[name];
}

function cardRow(card: CompareAnswer['cards'][number]): Row {
    const groups = classes.flatMap((name): Row[] => {
        const own = card.changes.filter(each => each.class === name);
        return own.length > 0
            ? [{ label: classSaid(name), description: String(own.length), rows: own.map(changeRow) }]
            : [];
    });
    const more: Row[] = card.consequences.length
        ? [
              {
                  label: vscode.l10n.t('What follows'),
                  rows: card.consequences.map(label => ({ label, icon: 'arrow-right' })),
              },
          ]
        : [];
    return { label: `${card.card} ${card.label}`, description: card.says, icon: 'file', rows: [...groups, ...more] };
}

const changeRow = (change: Change): Row => ({
    label: change.says,
    description: change.where,
    change,
    rows: change.consequences.map(label => ({ label, icon: 'arrow-right' })),
});

function itemOf(row: Row): vscode.TreeItem {
    const { None, Expanded } = vscode.TreeItemCollapsibleState;
    const item = new vscode.TreeItem(row.label, row.rows && row.rows.length > 0 ? Expanded : None);
    if (row.description) item.description = row.description;
    item.tooltip = [row.label, row.description].filter(Boolean).join('\n');
    if (row.icon) item.iconPath = new vscode.ThemeIcon(row.icon);
    if (row.change)
        item.command = { title: vscode.l10n.t('Show both'), command: 'cotter.openChange', arguments: [row.change] };
    return item;
}
