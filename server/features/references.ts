import type { Feature } from './feature.js';
import { everywhere, nameAt } from './names.js';
import { locationOf } from './ranges.js';

/** Everywhere a thing is named: in actions, conditions, arguments and inside texts, in every file of the project. */
export const references: Feature = {
    name: 'references',
    capabilities: () => ({ referencesProvider: true }),
    register({ connection, at: atOf }) {
        connection.onReferences(async ({ textDocument, position, context }) => {
            const at = await atOf(textDocument.uri);
            const named = at && nameAt(at, position);
            if (!at || !named) return null;
            return everywhere(at, named.targets)
                .found.filter(each => context.includeDeclaration || !each.occurrence.isDeclaration)
                .map(({ file, occurrence }) => locationOf(at.project, file.spanOf(occurrence)));
        });
    },
};
