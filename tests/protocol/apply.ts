import type { TextEdit, WorkspaceEdit } from 'vscode-languageserver';
import type { Client } from './client.js';

/** A text with the edits of the protocol made, the last one first. */
export function withEdits(text: string, edits: readonly TextEdit[]): string {
    const starts = [0];
    for (const { index } of text.matchAll(/\n/g)) starts.push(index + 1);
    const offset = ({ line, character }: TextEdit['range']['start']): number =>
        (starts[line] ?? text.length) + character;
    return [...edits]
        .sort((one, two) => offset(two.range.start) - offset(one.range.start))
        .reduce(
            (all, { range, newText }) => all.slice(0, offset(range.start)) + newText + all.slice(offset(range.end)),
            text,
        );
}

/** The files that an edit of the workspace changes, as they are afterwards. */
export function changed(client: Client, edit: WorkspaceEdit | undefined): Record<string, string> {
    const texts: Record<string, string> = {};
    for (const change of edit?.documentChanges ?? []) {
        if (!('edits' in change)) continue;
        const path = decodeURIComponent(change.textDocument.uri.slice(client.uri('').length)).replace(/^\//, '');
        texts[path] = withEdits(client.texts.get(path) ?? '', change.edits as TextEdit[]);
    }
    return texts;
}
