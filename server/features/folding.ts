import { type FoldingRange, FoldingRangeKind } from 'vscode-languageserver';
import type { Feature } from './feature.js';

/** Everything between braces that takes more than one line, and comments of several lines. Read from the text alone, so that it works while the text is broken. */
export const folding: Feature = {
    name: 'folding',
    capabilities: () => ({ foldingRangeProvider: true }),
    register({ connection, at: atOf }) {
        connection.onFoldingRanges(async ({ textDocument }) => {
            const at = await atOf(textDocument.uri);
            return at ? foldingsIn(at.document.getText()) : null;
        });
    },
};

/** Texts, comments and braces; everything else is passed over. */
const tokens = /"(?:\\.|[^"\\\r\n])*"?|\/\/[^\r\n]*|\/\*[\s\S]*?(?:\*\/|$)|[{}]|\r\n|\r|\n/g;

export function foldingsIn(text: string): FoldingRange[] {
    const found: FoldingRange[] = [];
    const open: number[] = [];
    let line = 0;
    let comments: { from: number; to: number } | undefined;
    const endComments = (): void => {
        if (comments && comments.to > comments.from)
            found.push({ startLine: comments.from, endLine: comments.to, kind: FoldingRangeKind.Comment });
        comments = undefined;
    };
    for (const [token] of text.matchAll(tokens)) {
        if (token === '\n' || token === '\r' || token === '\r\n') line++;
        else if (token === '{') open.push(line);
        else if (token === '}') {
            const start = open.pop();
            // The brace itself stays in sight.
            if (start !== undefined && line - 1 > start) found.push({ startLine: start, endLine: line - 1 });
        } else if (token.startsWith('//')) {
            if (comments && comments.to === line - 1) comments.to = line;
            else {
                endComments();
                comments = { from: line, to: line };
            }
        } else if (token.startsWith('/*')) {
            const lines = token.split(/\r\n|\r|\n/).length - 1;
            if (lines > 0) found.push({ startLine: line, endLine: line + lines, kind: FoldingRangeKind.Comment });
            line += lines;
        }
    }
    endComments();
    return found.sort((one, two) => one.startLine - two.startLine || two.endLine - one.endLine);
}
