/** Where each kind of fragment stands in a whole text, and the node of the tree that it becomes. */
import type { AstNode } from 'langium';
import type { Card, Equipment, Exercise, Step } from '../../../language/grammar/generated/ast.js';
import { parseText } from '../../../language/grammar/parse.js';

interface Context {
    readonly before: string;
    readonly after: string;
    readonly find: (declaration: AstNode) => AstNode | undefined;
}

const card = (node: AstNode) => (node as Card).parts[0];
const step = (node: AstNode) => (card(node) as Step).statements[0];
const part = (node: AstNode) => (node as Equipment).parts[0];
const item = (node: AstNode) => part(node) as AstNode & { clauses: AstNode[]; members: AstNode[] };
const rule = (node: AstNode) => part(node) as AstNode as AstNode & { body: { never: AstNode } };

export const contexts = {
    declaration: { before: '', after: '', find: node => node },
    'equipment part': { before: 'equipment E "e" { ', after: ' }', find: part },
    clause: { before: 'equipment E "e" { unit U "u" ', after: ' }', find: node => item(node).clauses[0] },
    member: { before: 'equipment E "e" { unit U "u" { ', after: ' } }', find: node => item(node).members[0] },
    condition: { before: 'equipment E "e" { rule r: never ', after: ' }', find: node => rule(node).body.never },
    'card part': { before: 'card C "c" { ', after: ' }', find: card },
    statement: { before: 'card C "c" { step s "s" { ', after: ' } }', find: step },
    action: {
        before: 'card C "c" { step s "s" { r: ',
        after: ' } }',
        find: node => (step(node) as AstNode & { action: AstNode }).action,
    },
    'exercise part': { before: 'exercise X "x" on C { ', after: ' }', find: node => (node as Exercise).parts[0] },
} as const satisfies Record<string, Context>;

export type ContextName = keyof typeof contexts;

export function parseIn(
    context: ContextName,
    fragment: string,
): { node: AstNode | undefined; problems: readonly { message: string }[] } {
    const { before, after, find } = contexts[context];
    const { root, problems } = parseText(before + fragment + after);
    const [declaration] = root.declarations;
    return { node: declaration && find(declaration), problems };
}
