import * as vscode from 'vscode';
import type { BaseLanguageClient, RequestType } from 'vscode-languageclient';

export const isCotter = (document: vscode.TextDocument | undefined): boolean =>
    document?.languageId === 'cotter' && (document.uri.scheme === 'file' || document.uri.scheme.startsWith('vscode-'));

/** The editor that a command means: the active one, or one that is seen while a view has the focus. */
export function cotterEditor(): vscode.TextEditor | undefined {
    const { activeTextEditor, visibleTextEditors } = vscode.window;
    return [activeTextEditor, ...visibleTextEditors].find(each => isCotter(each?.document));
}

/** Undefined while there is no server that could answer. */
export async function ask<P, R>(
    client: BaseLanguageClient,
    type: RequestType<P, R, void>,
    params: P,
): Promise<R | undefined> {
    if (!client.isRunning()) return undefined;
    try {
        return await client.sendRequest<R>(type.method, params);
    } catch (error) {
        client.error(`${type.method} was not answered.`, error, false);
        return undefined;
    }
}

export const uriFor = (client: BaseLanguageClient, uri: vscode.Uri): string => client.code2ProtocolConverter.asUri(uri);

/** Calls in quick succession become one, the last, after a quiet time. */
export function debounced(quiet: number, act: () => void): vscode.Disposable & { call(): void } {
    let timer: ReturnType<typeof setTimeout> | undefined;
    return {
        call() {
            clearTimeout(timer);
            timer = setTimeout(act, quiet);
        },
        dispose: () => clearTimeout(timer),
    };
}

/** Whatever may change what is said of the text at hand: another editor, another text, new findings, a server that came up. */
export function whenTextMatters(client: BaseLanguageClient, quiet: number, act: () => void): vscode.Disposable[] {
    const soon = debounced(quiet, act);
    const own = (uri: vscode.Uri): boolean => uri.toString() === cotterEditor()?.document.uri.toString();
    return [
        soon,
        vscode.window.onDidChangeActiveTextEditor(() => soon.call()),
        vscode.workspace.onDidChangeTextDocument(({ document }) => {
            if (isCotter(document)) soon.call();
        }),
        vscode.languages.onDidChangeDiagnostics(({ uris }) => {
            if (uris.some(own)) soon.call();
        }),
        client.onDidChangeState(() => soon.call()),
    ];
}

export async function goTo(uri: vscode.Uri, range: vscode.Range, preserveFocus = false): Promise<void> {
    const open = vscode.window.visibleTextEditors.find(each => each.document.uri.toString() === uri.toString());
    const viewColumn = open?.viewColumn ?? cotterEditor()?.viewColumn ?? vscode.ViewColumn.One;
    const editor = await vscode.window.showTextDocument(uri, { viewColumn, preserveFocus });
    editor.selection = new vscode.Selection(range.start, range.start);
    editor.revealRange(range, vscode.TextEditorRevealType.InCenterIfOutsideViewport);
}

/** Asks where, and writes a page there. */
export async function savePage(name: string, html: string, beside: vscode.Uri): Promise<void> {
    const defaultUri = vscode.Uri.joinPath(beside, '..', `${name.replace(/[^\w.-]/g, '_')}.html`);
    const target = await vscode.window.showSaveDialog({ defaultUri, filters: { [vscode.l10n.t('Page')]: ['html'] } });
    if (target) await vscode.workspace.fs.writeFile(target, new TextEncoder().encode(html));
}

/** A browser prints better than an editor: head, foot and page numbers are those of the page. */
export async function printPage(context: vscode.ExtensionContext, name: string, html: string): Promise<void> {
    const target = vscode.Uri.joinPath(context.globalStorageUri, 'print', `${name.replace(/[^\w.-]/g, '_')}.html`);
    await vscode.workspace.fs.writeFile(target, new TextEncoder().encode(html));
    if (!(await vscode.env.openExternal(target)))
        void vscode.window.showInformationMessage(
            vscode.l10n.t('No browser could be opened. Save the page and print it from there.'),
        );
}
