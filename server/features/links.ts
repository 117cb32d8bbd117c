import type { DocumentLink } from 'vscode-languageserver';
import { occurrencesIn } from '../../language/names/occurrences.js';
import type { Feature } from './feature.js';
import { declarationOf } from './names.js';
import { rangeOf } from './ranges.js';

/** What leads to another file: the equipments, subtasks and cards that a file draws on. */
const leading: ReadonlySet<string> = new Set(['Equipment', 'Subtask', 'Card', 'Modification']);

/** From `uses`, `do`, `after`, `leave for` and `where` to where these are declared, when that is another file. */
export const links: Feature = {
    name: 'links',
    capabilities: () => ({ documentLinkProvider: {} }),
    register({ connection, at: atOf }) {
        connection.onDocumentLinks(async ({ textDocument }) => {
            const at = await atOf(textDocument.uri);
            if (!at) return null;
            return occurrencesIn(at.parsed, at.file).flatMap((each): DocumentLink[] => {
                const [target] = each.targets;
                if (each.isDeclaration || !target || !leading.has(target.$type)) return [];
                const { uri, range } = declarationOf(at, target);
                if (uri === at.uri) return [];
                return [
                    {
                        range: rangeOf(at.file.spanOf(each)),
                        target: `${uri}#L${range.start.line + 1}`,
                        tooltip: each.name,
                    },
                ];
            });
        });
    },
};
