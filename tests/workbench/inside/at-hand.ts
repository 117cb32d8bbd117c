import * as vscode from 'vscode';

export const file = (path: string): vscode.Uri => {
    const [folder] = vscode.workspace.workspaceFolders ?? [];
    if (!folder) throw new Error('no folder is open');
    return vscode.Uri.joinPath(folder.uri, path);
};

export const findingsOf = (path: string): vscode.Diagnostic[] =>
    vscode.languages.getDiagnostics(file(path)).filter(each => each.source === 'cotter');

export const codeOf = ({ code }: vscode.Diagnostic): string => String(typeof code === 'object' ? code.value : code);

/** Asks again until it holds; what it was last stands in the error. */
export async function eventually<T>(
    get: () => T | Thenable<T>,
    holds: (value: T) => boolean,
    limit = 45_000,
): Promise<T> {
    const until = Date.now() + limit;
    for (;;) {
        const value = await get();
        if (holds(value)) return value;
        if (Date.now() > until) throw new Error(`still ${JSON.stringify(value)?.slice(0, 600)} after ${limit} ms`);
        await new Promise(ok => setTimeout(ok, 100));
    }
}

export async function show(path: string): Promise<vscode.TextEditor> {
    return vscode.window.showTextDocument(await vscode.workspace.openTextDocument(file(path)));
}

export function place(editor: vscode.TextEditor, needle: string, into = 0): vscode.Position {
    const offset = editor.document.getText().indexOf(needle);
    if (offset < 0) throw new Error(`no ${needle} here`);
    return editor.document.positionAt(offset + into);
}

export async function replace(editor: vscode.TextEditor, needle: string, text: string): Promise<void> {
    const range = new vscode.Range(place(editor, needle), place(editor, needle, needle.length));
    if (!(await editor.edit(edit => edit.replace(range, text)))) throw new Error('the edit was refused');
}

/** The file as it stands on the disk. */
export const revert = (): Thenable<unknown> => vscode.commands.executeCommand('workbench.action.files.revert');
