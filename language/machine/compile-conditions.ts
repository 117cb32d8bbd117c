import type { Condition } from '../conditions/condition.js';
import type * as ast from '../grammar/generated/ast.js';
import * as is from '../grammar/generated/ast.js';
import { kindOf } from '../vocabulary/kinds/index.js';
import { type Item, NONE, type Place, type Slot } from './machine.js';
import { readQuantity } from './quantities.js';

/** What names stand for while a machine is compiled. */
export interface NameTables {
    readonly items: readonly Item[];
    readonly slots: readonly Slot[];
    readonly itemIndex: Readonly<Record<string, number>>;
    readonly placeIndex: Readonly<Record<string, number>>;
    /** Sentences about what could not be compiled are added here. */
    readonly unknown: string[];
}

/** Undefined, and a sentence in `unknown`, where a part of it is missing or means nothing. */
export function compileCondition(node: ast.Condition, tables: NameTables): Condition | undefined {
    if (is.isOrCondition(node) || is.isAndCondition(node)) {
        const of = (node.operands ?? []).map(each => compileCondition(each, tables));
        if (of.some(each => each === undefined)) return undefined;
        return { op: is.isOrCondition(node) ? 'or' : 'and', of: of as Condition[] };
    }
    if (is.isNotCondition(node)) {
        const of = node.operand && compileCondition(node.operand, tables);
        return of && { op: 'not', of };
    }
    if (is.isToldCondition(node)) {
        const to = tables.placeIndex[node.to?.$refText ?? ''];
        const from = tables.placeIndex[node.from?.$refText ?? ''];
        if (to === undefined || from === undefined)
            return fail('a condition with "told" names a place that is not known');
        return { op: 'told', to, from, onceForEachTest: node.onceForEachTest ?? false };
    }
    if (is.isPeopleCondition(node)) {
        const place = tables.placeIndex[node.place?.$refText ?? ''];
        if (place === undefined) return fail(`a condition with "${node.who}" names a place that is not known`);
        return { op: node.who === 'nobody' ? 'nobody' : 'someone', place };
    }
    if (is.isItemCondition(node)) {
        const name = node.item?.$refText ?? '';
        const index = tables.itemIndex[name];
        if (index === undefined) return fail(`a condition names ${name || 'something'}, which is not on this aircraft`);
        const item = tables.items[index] as Item;
        if (node.state === undefined) {
            if (kindOf(item.kind).bare === undefined)
                return fail(`a condition names ${name} bare, and a ${item.kind} is never simply on or off`);
            return { op: 'live', item: index };
        }
        let slot = item.slot;
        let state = item.states.indexOf(node.state);
        if (state < 0 && item.presence !== NONE) {
            slot = item.presence;
            state = (tables.slots[slot] as Slot).states.indexOf(node.state);
        }
        if (state < 0) return fail(`${name} has no state ${node.state}`);
        const contact = item.kind === 'breaker' && slot === item.slot && node.state !== 'PULLED';
        if (!node.atLeast) return { op: 'is', item: index, slot, state, contact };
        const least = readQuantity(node.atLeast, 's');
        if (!least) return fail(`a condition on ${name} has a time that is not one`);
        return { op: 'held', item: index, slot, state, contact, seconds: least.value };
    }
    return fail('a condition is not whole');

    function fail(sentence: string): undefined {
        tables.unknown.push(sentence);
        return undefined;
    }
}

/** "CB-217 (HYD 2 ISOL VALVE MOTOR A)"; the label alone where it says the name already, as a word of its own. */
export function nameAndLabel(item: { readonly name: string; readonly label: string }): string {
    if (!item.label) return item.name;
    return says(item.label, item.name) ? item.label : `${item.name} (${item.label})`;
}

const INSIDE = /[\p{L}\p{N}_-]/u;

/** "connector P1" says P1, "connector P10" does not. */
function says(label: string, name: string): boolean {
    for (let at = label.indexOf(name); at >= 0; at = label.indexOf(name, at + 1))
        if (!INSIDE.test(label.charAt(at - 1)) && !INSIDE.test(label.charAt(at + name.length))) return true;
    return false;
}

interface Said {
    readonly items: readonly Item[];
    readonly slots: readonly Slot[];
    readonly places?: readonly Place[];
    readonly placeIndex: Readonly<Record<string, number>>;
}

/** The condition as a sentence part: "CB-217 (...) is PULLED and No. 2 system pressure is live". */
export function sayCondition(condition: Condition, tables: Said): string {
    const place = (index: number): string =>
        tables.places?.[index]?.label ??
        Object.keys(tables.placeIndex).find(name => tables.placeIndex[name] === index) ??
        '?';
    const say = (each: Condition, inner: boolean): string => {
        switch (each.op) {
            case 'is':
                return `${nameAndLabel(tables.items[each.item] as Item)} is ${(tables.slots[each.slot] as Slot).states[each.state]}`;
            case 'held':
                return `${nameAndLabel(tables.items[each.item] as Item)} is ${(tables.slots[each.slot] as Slot).states[each.state]} for at least ${each.seconds} s`;
            case 'live': {
                const item = tables.items[each.item] as Item;
                return `${nameAndLabel(item)} is ${kindOf(item.kind).bare ?? 'LIVE'}`;
            }
            case 'told':
                return `${place(each.to)} is told from ${place(each.from)}`;
            case 'someone':
                return `someone is at ${place(each.place)}`;
            case 'nobody':
                return `nobody is at ${place(each.place)}`;
            case 'not':
                return `not (${say(each.of, false)})`;
            default: {
                const text = each.of.map(one => say(one, true)).join(` ${each.op} `);
                return inner && each.op === 'or' ? `(${text})` : text;
            }
        }
    };
    return say(condition, false);
}
