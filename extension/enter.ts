import * as vscode from 'vscode';

/** A line on which somebody acts, whole, with nothing opened at its end. */
const acting = /^\s*([A-Za-z0-9_][\w-]*:)[ \t]+\S(?!.*\{\s*$)/;
const actorAlone = /^(\s*)[A-Za-z0-9_][\w-]*:[ \t]*$/;

/** Enter at the end of a line goes on with the same role; on a line that holds nothing else it takes the role away. */
export async function enter(): Promise<void> {
    const editor = vscode.window.activeTextEditor;
    if (!editor) return;
    const { document, selection } = editor;
    const { text, range } = document.lineAt(selection.active.line);
    const isAtEnd = selection.isEmpty && text.slice(selection.active.character).trim() === '';
    const [, indent] = (isAtEnd && actorAlone.exec(text)) || [];
    if (indent !== undefined) {
        await editor.edit(edit => edit.replace(range, indent));
        return;
    }
    const [, actor] = (isAtEnd && acting.exec(text)) || [];
    await vscode.commands.executeCommand('type', { text: '\n' });
    if (actor === undefined) return;
    await editor.edit(edit => edit.insert(editor.selection.active, `${actor} `), {
        undoStopBefore: false,
        undoStopAfter: true,
    });
    await vscode.commands.executeCommand('editor.action.triggerSuggest');
}
