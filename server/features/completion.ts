import { type CompletionItem, CompletionItemKind, InsertTextFormat } from 'vscode-languageserver';
import type { Proposal } from './completion/proposal.js';
import { propose } from './completion/propose.js';
import { situationAt } from './completion/situation.js';
import type { Feature } from './feature.js';

const kinds: Readonly<Record<Proposal['kind'], CompletionItemKind>> = {
    keyword: CompletionItemKind.Keyword,
    verb: CompletionItemKind.Operator,
    name: CompletionItemKind.Variable,
    state: CompletionItemKind.EnumMember,
    unit: CompletionItemKind.Unit,
    call: CompletionItemKind.Function,
    role: CompletionItemKind.Class,
    text: CompletionItemKind.Text,
    act: CompletionItemKind.Event,
};

/** What may come next, the likeliest first: verbs for what there is, things within reach, states of the thing, units of the figure, and what a rule wants here. */
export const completion: Feature = {
    name: 'completion',
    capabilities: () => ({ completionProvider: { triggerCharacters: [' ', ':', '[', '(', ','] } }),
    register({ connection, at: atOf, client }) {
        const snippets = client.textDocument?.completion?.completionItem?.snippetSupport === true;
        connection.onCompletion(async ({ textDocument, position }) => {
            const at = await atOf(textDocument.uri);
            if (!at) return null;
            const situation = situationAt(at, at.document.offsetAt(position));
            const range = { start: at.document.positionAt(situation.here.from), end: position };
            return propose(situation).map((each, n): CompletionItem => {
                const isSnippet = snippets && each.snippet !== undefined;
                return {
                    label: each.text.trim(),
                    kind: kinds[each.kind],
                    ...(each.detail ? { detail: each.detail } : {}),
                    sortText: String(n).padStart(5, '0'),
                    ...(n === 0 && each.kind === 'act' ? { preselect: true } : {}),
                    textEdit: { range, newText: isSnippet ? (each.snippet ?? each.text) : each.text },
                    insertTextFormat: isSnippet ? InsertTextFormat.Snippet : InsertTextFormat.PlainText,
                };
            });
        });
    },
};
