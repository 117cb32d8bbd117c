import type { TextEdit } from 'vscode-languageserver';
import { type FormatRange, format } from '../../language/format/format.js';
import type { Feature, Server } from './feature.js';

/** The house style: whole, of a range, and of the line that a key has just ended. Reads the one text alone and so waits for nothing. */
export const formatting: Feature = {
    name: 'formatting',
    capabilities: () => ({
        documentFormattingProvider: true,
        documentRangeFormattingProvider: true,
        documentOnTypeFormattingProvider: { firstTriggerCharacter: '}', moreTriggerCharacter: ['\n'] },
    }),
    register(server) {
        const { connection } = server;
        connection.onDocumentFormatting(({ textDocument }) => editsOf(server, textDocument.uri));
        connection.onDocumentRangeFormatting(({ textDocument, range }) =>
            editsOf(server, textDocument.uri, document => ({
                offset: document.offsetAt(range.start),
                end: document.offsetAt(range.end),
            })),
        );
        connection.onDocumentOnTypeFormatting(({ textDocument, position, ch }) =>
            editsOf(server, textDocument.uri, document => {
                // Behind a new line it is the line before that is whole.
                const line = ch === '\n' ? Math.max(0, position.line - 1) : position.line;
                const start = document.offsetAt({ line, character: 0 });
                const end = document.offsetAt({ line: line + 1, character: 0 });
                // The end of the line is where the writer is: nothing behind it moves.
                return { offset: start, end: Math.max(start, end - 1) };
            }),
        );
    },
};

type Document = NonNullable<ReturnType<Server['document']>>;

function editsOf(
    { document: documentOf, workspace }: Server,
    uri: string,
    rangeIn?: (document: Document) => FormatRange,
): TextEdit[] | null {
    const document = documentOf(uri);
    if (!document) return null;
    const lineWidth = workspace.locate(uri)?.project.live.settings.lineWidth;
    const text = document.getText();
    const range = rangeIn?.(document);
    return format(text, lineWidth === undefined ? {} : { lineWidth }, range)
        .filter(each => !range || (each.offset >= range.offset && each.end <= range.end && each.offset < range.end))
        .map(({ offset, end, newText }) => ({
            range: { start: document.positionAt(offset), end: document.positionAt(end) },
            newText,
        }));
}
