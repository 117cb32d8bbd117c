import type { Feature } from './feature.js';
import { declarationOf, nameAt } from './names.js';

/** From a name to what it names; where a name stands in each arm of a `where`, to all of them. */
export const definition: Feature = {
    name: 'definition',
    capabilities: () => ({ definitionProvider: true }),
    register({ connection, at: atOf }) {
        connection.onDefinition(async ({ textDocument, position }) => {
            const at = await atOf(textDocument.uri);
            const named = at && nameAt(at, position);
            return at && named ? named.targets.map(each => declarationOf(at, each)) : null;
        });
    },
};
