import type { SignatureHelp } from 'vscode-languageserver';
import { expectedAt } from '../../language/grammar/expected.js';
import type { Subtask } from '../../language/grammar/generated/ast.js';
import { labelOf } from '../../language/names/occurrences.js';
import type { Feature } from './feature.js';

/** What a subtask asks for, while its arguments are written. */
export const signatureHelp: Feature = {
    name: 'signature help',
    capabilities: () => ({ signatureHelpProvider: { triggerCharacters: ['(', ','] } }),
    register({ connection, at: atOf }) {
        connection.onSignatureHelp(async ({ textDocument, position }): Promise<SignatureHelp | null> => {
            const at = await atOf(textDocument.uri);
            if (!at) return null;
            const { expected } = expectedAt(at.document.getText(), at.document.offsetAt(position));
            const argument = expected.find(each => each.type === 'Argument');
            if (!argument) return null;
            let written = 0;
            let callee: string | undefined;
            for (let each = argument.filled; each && callee === undefined; each = each.before) {
                if (each.type === 'Argument') written++;
                else if (each.type === 'Do' && each.property === 'callee') callee = each.word;
                else return null;
            }
            const node = callee === undefined ? undefined : at.parsed.scopes.offered.callees.get(callee)?.[0]?.node;
            if (node?.$type !== 'Subtask') return null;
            const { name, parameters } = node as Subtask;
            const labels = parameters.map(each => `${each.kind} ${each.name}`);
            return {
                signatures: [
                    {
                        label: `${name}(${labels.join(', ')})`,
                        documentation: labelOf(node),
                        parameters: labels.map(label => ({ label })),
                    },
                ],
                activeSignature: 0,
                activeParameter: Math.min(written, Math.max(0, labels.length - 1)),
            };
        });
    },
};
