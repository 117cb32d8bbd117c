/** The states that an item can be looked at in, set to, or said to be in. */
import type { AstNode } from 'langium';
import type { Item } from '../../grammar/generated/ast.js';
import { statesOf } from '../../machine/compile.js';
import type { ParsedProject } from '../../names/project.js';
import { kindOf } from '../../vocabulary/kinds/index.js';
import { every } from './shared.js';

/** Normal first where the kind says so; a gauge has none, it is read. */
export function statesNamed(item: Item): readonly string[] {
    const kind = kindOf(item.kind);
    if (kind.word === 'gauge') return [];
    const states = statesOf(item);
    return kind.physical && !kind.isPresence ? [...states, 'INSTALLED', 'REMOVED'] : states;
}

/** A place in the text where an item is said to be, or brought to, a state. */
export interface StateUse {
    readonly node: AstNode;
    readonly item: AstNode | undefined;
    readonly property: string;
    readonly index?: number;
    readonly state: string;
    /** It is brought to the state, or said to begin in it; otherwise it is looked at. */
    readonly brought: boolean;
}

export function* stateUses(project: ParsedProject): Iterable<StateUse> {
    for (const node of every(project, 'See', 'If')) yield use(node, node.item.ref, node.state, false);
    for (const node of every(project, 'Ensure', 'SetTo')) yield use(node, node.item.ref, node.state, true);
    for (const node of every(project, 'Keep', 'KeepRule', 'ItemCondition')) {
        if (node.state !== undefined) yield use(node, node.item.ref, node.state, node.$type !== 'ItemCondition');
    }
    for (const node of every(project, 'Setting')) {
        for (const [index, state] of node.states.entries()) {
            yield { node, item: node.item.ref, property: 'states', index, state, brought: true };
        }
    }
}

const use = (node: AstNode, item: AstNode | undefined, state: string, brought: boolean): StateUse => ({
    node,
    item,
    property: 'state',
    state,
    brought,
});
