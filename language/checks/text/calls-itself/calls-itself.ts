import type { AstNode } from 'langium';
import type { Finding, Span } from '../../../findings/finding.js';
import type { Item } from '../../../grammar/generated/ast.js';
import type { ParsedProject } from '../../../names/project.js';
import { afterOf, callsOf } from '../../../names/reach.js';
import type { Check } from '../../check.js';
import { error, every, spanOfProperty } from '../shared.js';

export const callsItself: Check = {
    code: 'calls-itself',
    family: 'text',
    severity: 'error',
    title: 'Something that needs itself before it can be done',
    ofText: project => rings(steps(project)),
};

/** One thing needs another: where it says so, and how that reads. */
interface Need {
    readonly to: AstNode;
    readonly at: AstNode;
    readonly span: () => Span;
    readonly how: 'does' | 'comes after' | 'lies in' | 'is in';
}
type Needs = ReadonlyMap<AstNode, readonly Need[]>;

function steps(project: ParsedProject): Needs {
    const needs = new Map<AstNode, Need[]>();
    const add = (
        from: AstNode,
        to: AstNode | undefined,
        at: AstNode,
        property: string,
        how: Need['how'],
        index?: number,
    ): void => {
        if (!to) return;
        const need: Need = { to, at, how, span: () => spanOfProperty(project, at, property, index) };
        const list = needs.get(from);
        if (list) list.push(need);
        else needs.set(from, [need]);
    };
    for (const owner of [...project.subtasks, ...project.cards]) {
        for (const { node } of callsOf(project, owner)) add(owner, node.callee.ref, node, 'callee', 'does');
        for (const node of afterOf(project, owner)) add(owner, node.card.ref, node, 'card', 'comes after');
    }
    for (const node of project.modifications) {
        for (const [index, each] of node.after.entries()) add(node, each.ref, node, 'after', 'comes after', index);
    }
    for (const node of every(project, 'Place')) add(node, node.within?.ref, node, 'within', 'lies in');
    for (const node of every(project, 'InClause')) add(node.$container as Item, node.unit.ref, node, 'unit', 'is in');
    return needs;
}

/** Each ring once, at the need that closes it. Without recursion: a chain may be as long as a project has cards. */
function rings(needs: Needs): Finding[] {
    const found: Finding[] = [];
    const done = new Set<AstNode>();
    for (const start of needs.keys()) {
        if (done.has(start)) continue;
        const path: { readonly node: AstNode; next: number; by?: Need }[] = [{ node: start, next: 0 }];
        const onPath = new Map<AstNode, number>([[start, 0]]);
        for (let top = path.at(-1); top; top = path.at(-1)) {
            const need = needs.get(top.node)?.[top.next++];
            if (!need) {
                done.add(top.node);
                onPath.delete(top.node);
                path.pop();
                continue;
            }
            const from = onPath.get(need.to);
            if (from !== undefined) {
                const ring = [...path.slice(from + 1).flatMap(each => (each.by ? [each.by] : [])), need];
                found.push(ringFinding(need.to, ring));
            } else if (!done.has(need.to)) {
                onPath.set(need.to, path.length);
                path.push({ node: need.to, next: 0, by: need });
            }
        }
    }
    return found;
}

function ringFinding(start: AstNode, ring: readonly Need[]): Finding {
    const closing = ring.at(-1) as Need;
    const name = (node: AstNode) => (node as AstNode & { name: string }).name;
    const chain = ring.map(need => `${need.how} ${name(need.to)}`).join(', which ');
    const related = ring.slice(0, -1).map(need => ({ span: need.span(), message: `${need.how} ${name(need.to)}` }));
    const end =
        closing.how === 'does' || closing.how === 'comes after'
            ? 'It could never begin: take one of these out.'
            : 'Take one of these out.';
    return error('calls-itself', closing.at, closing.span(), `${name(start)} ${chain}. ${end}`, {
        related,
        about: [name(start)],
    });
}
