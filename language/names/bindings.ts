/**
 * Subtasks and loops as they are called: each parameter and loop name with what it stands for. A call inside a call is
 * followed with what the outer one hands on, so that every combination that a card really does is seen once.
 */
import type { AstNode } from 'langium';
import {
    type Argument,
    type Card,
    type Do,
    type ForEach,
    type Item,
    isItem,
    isLoopName,
    isParameter,
    isSubtask,
    type Subtask,
} from '../grammar/generated/ast.js';
import type { ParsedProject } from './project.js';
import { callsOf } from './reach.js';
import { standingOf } from './scope.js';

/** What a parameter or a loop name stands for in one call: an item, or a word (a position, a role, a tool). */
export interface Bound {
    readonly item?: Item;
    readonly word: string;
    /** Where it was written, in a card or in a row of a loop. */
    readonly origin: Argument;
}

export type Binding = ReadonlyMap<AstNode, Bound>;

export interface Instance {
    readonly body: Subtask | Card;
    readonly binding: Binding;
}

/** Ways to call subtasks, beyond which a project is not followed further. */
const mostInstances = 20_000;
const mostRows = 1000;

/** Every card, and every subtask as it is called, each different call once. */
export function instancesOf(project: ParsedProject): readonly Instance[] {
    const found: Instance[] = [];
    const seen = new Set<string>();
    const add = (body: Subtask | Card, binding: Binding): void => {
        const values = [...binding.values()].map(bound => bound.word).join(' ');
        const key = `${body.name}(${values})`;
        if (seen.has(key) || found.length >= mostInstances) return;
        seen.add(key);
        found.push({ body, binding });
    };
    for (const card of project.cards) add(card, new Map());
    for (let at = 0; at < found.length; at++) {
        const { body, binding } = found[at] as Instance;
        for (const { node } of callsOf(project, body)) {
            const callee = node.callee.ref;
            if (!callee || !isSubtask(callee)) continue;
            for (const rows of withRows(project, node, binding)) add(callee, bind(project, node, callee, rows));
        }
    }
    return found;
}

/** What an argument stands for, given what the names around it stand for. */
export function boundOf(project: ParsedProject, argument: Argument, binding: Binding): Bound {
    const node = project.lookup(argument, argument.name)[0]?.node;
    if (node && (isParameter(node) || isLoopName(node)))
        return binding.get(node) ?? { word: argument.name, origin: argument };
    return node && isItem(node)
        ? { item: node, word: argument.name, origin: argument }
        : { word: argument.name, origin: argument };
}

function bind(project: ParsedProject, call: Do, callee: Subtask, binding: Binding): Binding {
    const inner = new Map<AstNode, Bound>();
    for (const [index, parameter] of callee.parameters.entries()) {
        const argument = call.args[index];
        if (argument) inner.set(parameter, boundOf(project, argument, binding));
    }
    return inner;
}

/** The binding once for each row of the loops around a node. */
export function withRows(project: ParsedProject, node: AstNode, binding: Binding): readonly Binding[] {
    let bindings: Binding[] = [binding];
    for (const loop of [...standingOf(node).loops].reverse()) {
        bindings = bindings.flatMap(outer => loop.rows.map(row => ofRow(project, loop, row.args, outer)));
        if (bindings.length > mostRows) return bindings.slice(0, mostRows);
    }
    return bindings;
}

function ofRow(project: ParsedProject, loop: ForEach, args: readonly Argument[], outer: Binding): Binding {
    const inner = new Map(outer);
    for (const [index, name] of loop.names.entries()) {
        const argument = args[index];
        if (argument) inner.set(name, boundOf(project, argument, outer));
    }
    return inner;
}
