import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { cotterEditor } from './asking.js';
import { enter } from './enter.js';
import { newCard, newEquipment, plainText } from './skeletons.js';
import { registerGoTo } from './views/open-here.js';

export function registerCommands(context: vscode.ExtensionContext, client: BaseLanguageClient): vscode.Disposable[] {
    const commands: Record<string, () => unknown> = {
        'cotter.newCard': createCard,
        'cotter.newEquipment': () => createFile('equipment.cotter', newEquipment),
        'cotter.copyFindings': () => vscode.env.clipboard.writeText(findingsWithoutText(context)),
        'cotter.restartServer': () => restart(client),
        'cotter.showLog': () => client.outputChannel.show(),
        'cotter.enter': enter,
        'cotter.openSample': () => openSample(context),
    };
    const all = Object.entries(commands).map(([name, run]) => vscode.commands.registerCommand(name, run));
    return [...all, registerGoTo()];
}

async function restart(client: BaseLanguageClient): Promise<void> {
    // One that has died cannot be stopped, and is started all the same.
    await client.stop().catch(error => client.warn('The language server did not stop in time.', error, false));
    await client.start();
}

/** The card is about an equipment that there is already. */
async function createCard(): Promise<void> {
    const symbols = await vscode.commands.executeCommand<vscode.SymbolInformation[]>(
        'vscode.executeWorkspaceSymbolProvider',
        '',
    );
    const found = (symbols ?? []).filter(
        each => each.kind === vscode.SymbolKind.Namespace && each.location.uri.path.endsWith('.cotter'),
    );
    const names = [
        ...new Set(found.filter(each => !each.containerName).map(each => each.name.split(' ')[0] ?? each.name)),
    ];
    const own = vscode.l10n.t('A new equipment in the same file');
    const title = vscode.l10n.t('On which equipment is the work done?');
    const chosen = await vscode.window.showQuickPick([...names.sort(), own], { title });
    if (chosen === undefined) return;
    if (chosen === own) await createFile('card.cotter', newEquipment, newCard('Lamp'));
    else await createFile('card.cotter', newCard(chosen));
}

/** The first text is to be filled in; what comes before it stands as it is. */
async function createFile(name: string, ...texts: readonly string[]): Promise<void> {
    const folder = cotterEditor()?.document.uri ?? vscode.workspace.workspaceFolders?.[0]?.uri;
    const defaultUri = folder && vscode.Uri.joinPath(folder, cotterEditor() ? '..' : '.', name);
    const target = await vscode.window.showSaveDialog({
        ...(defaultUri ? { defaultUri } : {}),
        filters: { Cotter: ['cotter'] },
    });
    if (!target) return;
    await vscode.workspace.fs.writeFile(target, new Uint8Array());
    const editor = await vscode.window.showTextDocument(target);
    const [last, ...before] = [...texts].reverse();
    const above = before.reverse().map(each => `${plainText(each)}\n`);
    await editor.insertSnippet(
        new vscode.SnippetString(above.map(each => each.replace(/[$}\\]/g, '\\$&')).join('') + last),
    );
}

/** To send to somebody who helps: which checks answered where, and nothing that the card says. */
function findingsWithoutText(context: vscode.ExtensionContext): string {
    const { version } = context.extension.packageJSON as { version: string };
    const files = vscode.languages
        .getDiagnostics()
        .map(([uri, all]) => all.filter(each => each.source === 'cotter').map(each => [uri, each] as const))
        .filter(each => each.length > 0);
    const lines = files.flatMap((all, number) =>
        all.map(([, { code, range, severity }]) => {
            const check = typeof code === 'object' ? code.value : code;
            return `file ${number + 1}:${range.start.line + 1}:${range.start.character + 1} ${vscode.DiagnosticSeverity[severity]} ${check}`;
        }),
    );
    return [`Cotter ${version}, VS Code ${vscode.version}`, ...lines, ''].join('\n');
}

/** A copy, so that the writer may do with it what they like. */
async function openSample(context: vscode.ExtensionContext): Promise<void> {
    const from = vscode.Uri.joinPath(context.extensionUri, 'sample');
    const to = vscode.Uri.joinPath(context.globalStorageUri, 'sample');
    await vscode.workspace.fs.createDirectory(context.globalStorageUri);
    await vscode.workspace.fs.copy(from, to, { overwrite: true });
    await vscode.window.showTextDocument(vscode.Uri.joinPath(to, 'boost-pumps.cotter'));
}
