import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { type OpenHereAnswer, openHereRequest } from '../../server/features/requests.js';
import { ask, cotterEditor, debounced, goTo, isCotter, printPage, savePage, uriFor } from '../asking.js';

type Wire = OpenHereAnswer['waysOut'][number]['location'];

interface Row {
    readonly label: string;
    readonly description?: string;
    readonly icon?: string;
    readonly location?: Wire;
    readonly command?: string;
    readonly rows?: readonly Row[];
}

/** What is not as the card found it at the cursor, place by place, and the ways out from here. */
export function registerOpenHere(context: vscode.ExtensionContext, client: BaseLanguageClient): vscode.Disposable[] {
    const changed = new vscode.EventEmitter<void>();
    let rows: readonly Row[] = [];
    let answer: OpenHereAnswer | undefined;
    let call: { readonly key: string; readonly number: number } | undefined;
    let asked = 0;

    const view = vscode.window.createTreeView<Row>('cotter.openHere', {
        treeDataProvider: {
            onDidChangeTreeData: changed.event,
            getChildren: row => [...(row?.rows ?? (row ? [] : rows))],
            getTreeItem: row => itemOf(row, client),
        },
    });

    const refresh = async (): Promise<void> => {
        const mine = ++asked;
        const editor = cotterEditor();
        if (!editor || !view.visible) return;
        const uri = uriFor(client, editor.document.uri);
        const { line, character } = editor.selection.active;
        const chosen = call?.key === uri ? { call: call.number } : {};
        const got = await ask(client, openHereRequest, { uri, position: { line, character }, ...chosen });
        if (mine !== asked) return;
        answer = got ?? undefined;
        view.message = answer?.says ?? vscode.l10n.t('Put the cursor into a step of a card that can be read.');
        view.description = answer?.step ? vscode.l10n.t('step {0}', answer.step) : '';
        rows = answer ? rowsOf(answer) : [];
        void vscode.commands.executeCommand('setContext', 'cotter.hasCalls', (answer?.calls.length ?? 0) > 1);
        changed.fire();
    };
    const soon = debounced(120, () => void refresh());

    const chooseCall = async (): Promise<void> => {
        const editor = cotterEditor();
        if (!answer || !editor) return;
        const items = answer.calls.map((label, number) => ({ label, number }));
        const chosen = await vscode.window.showQuickPick(items, {
            title: vscode.l10n.t('From which call are these lines seen?'),
        });
        if (!chosen) return;
        call = { key: uriFor(client, editor.document.uri), number: chosen.number };
        await refresh();
    };

    return [
        view,
        changed,
        soon,
        view.onDidChangeVisibility(() => soon.call()),
        vscode.window.onDidChangeTextEditorSelection(({ textEditor }) => {
            if (isCotter(textEditor.document)) soon.call();
        }),
        vscode.window.onDidChangeActiveTextEditor(() => soon.call()),
        vscode.languages.onDidChangeDiagnostics(() => soon.call()),
        client.onDidChangeState(() => soon.call()),
        vscode.commands.registerCommand('cotter.showOpenHere', async () => {
            await vscode.commands.executeCommand('cotter.openHere.focus');
            await refresh();
        }),
        vscode.commands.registerCommand('cotter.chooseCall', chooseCall),
        vscode.commands.registerCommand('cotter.copyOpenHere', async () => {
            if (answer) await vscode.env.clipboard.writeText(textOf(answer));
        }),
        vscode.commands.registerCommand('cotter.saveOpenHere', async () => {
            const beside = cotterEditor()?.document.uri;
            if (answer && beside) await savePage(`${answer.card}-handover`, answer.sheet, beside);
        }),
        vscode.commands.registerCommand('cotter.printOpenHere', async () => {
            if (answer) await printPage(context, `${answer.card}-handover`, answer.sheet);
        }),
    ];
}

function rowsOf(answer: OpenHereAnswer): readonly Row[] {
    const calls: readonly Row[] =
        answer.calls.length > 1
            ? [{ label: answer.calls[answer.call] ?? '', icon: 'references', command: 'cotter.chooseCall' }]
            : [];
    const places = answer.places.map(
        (each): Row => ({
            label: each.place || vscode.l10n.t('At no place'),
            icon: 'location',
            rows: each.things.map(thing => {
                const [first] = thing.by;
                return {
                    label: `${thing.name}: ${[thing.now, thing.tag].filter(Boolean).join(', ')}`,
                    description: [vscode.l10n.t('as found {0}', thing.asFound), thing.label]
                        .filter(Boolean)
                        .join(' · '),
                    ...(first ? { location: first.location } : {}),
                    rows: thing.by.map(one => ({ label: one.says, icon: 'arrow-right', location: one.location })),
                };
            }),
        }),
    );
    const out: Row = {
        label: vscode.l10n.t('Ways out from here'),
        icon: 'sign-out',
        rows: answer.waysOut.map(each => ({
            label: each.says,
            description: vscode.l10n.t('leaves {0}', each.leaves),
            location: each.location,
        })),
    };
    return [...calls, ...places, out];
}

function itemOf(row: Row, client: BaseLanguageClient): vscode.TreeItem {
    const { None, Expanded, Collapsed } = vscode.TreeItemCollapsibleState;
    const hasRows = (row.rows?.length ?? 0) > 0;
    const item = new vscode.TreeItem(row.label, hasRows ? (row.location ? Collapsed : Expanded) : None);
    if (row.description) item.description = row.description;
    item.tooltip = [row.label, row.description].filter(Boolean).join('\n');
    if (row.icon) item.iconPath = new vscode.ThemeIcon(row.icon);
    if (row.command) item.command = { title: row.label, command: row.command };
    else if (row.location) {
        const { uri, range } = client.protocol2CodeConverter.asLocation(row.location);
        item.command = { title: vscode.l10n.t('Show'), command: 'cotter.goTo', arguments: [uri, range] };
    }
    return item;
}

/** As plain text, to hand over by any means. */
function textOf(answer: OpenHereAnswer): string {
    const lines = [`${answer.card} ${answer.title}`, answer.says];
    for (const { place, things } of answer.places) {
        lines.push('', place || vscode.l10n.t('At no place'));
        for (const each of things) {
            lines.push(
                `  ${[each.name, each.label].filter(Boolean).join(' ')}: ${[each.now, each.tag].filter(Boolean).join(', ')}`,
            );
            lines.push(`    ${vscode.l10n.t('as found {0}', each.asFound)}`, ...each.by.map(one => `    ${one.says}`));
        }
    }
    lines.push('', vscode.l10n.t('Ways out from here'));
    for (const each of answer.waysOut) lines.push(`  ${each.says}: ${vscode.l10n.t('leaves {0}', each.leaves)}`);
    return `${lines.join('\n')}\n`;
}

export const registerGoTo = (): vscode.Disposable =>
    vscode.commands.registerCommand('cotter.goTo', (uri: vscode.Uri, range: vscode.Range) => goTo(uri, range));
