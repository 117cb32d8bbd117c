import { DocumentHighlightKind } from 'vscode-languageserver';
import { occurrencesIn } from '../../language/names/occurrences.js';
import type { Feature } from './feature.js';
import { nameAt } from './names.js';
import { rangeOf } from './ranges.js';

/** The same thing elsewhere in the file that is looked at. */
export const highlights: Feature = {
    name: 'highlights',
    capabilities: () => ({ documentHighlightProvider: true }),
    register({ connection, at: atOf }) {
        connection.onDocumentHighlight(async ({ textDocument, position }) => {
            const at = await atOf(textDocument.uri);
            const named = at && nameAt(at, position);
            if (!at || !named) return null;
            const targets = new Set(named.targets);
            return occurrencesIn(at.parsed, at.file)
                .filter(each => each.targets.some(node => targets.has(node)))
                .map(each => ({
                    range: rangeOf(at.file.spanOf(each)),
                    kind: each.isDeclaration ? DocumentHighlightKind.Write : DocumentHighlightKind.Read,
                }));
        });
    },
};
