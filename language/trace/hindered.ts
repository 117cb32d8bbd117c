import type { Condition } from '../conditions/condition.js';
import { runProgram } from '../conditions/program.js';
import { circuitOf } from '../machine/circuit.js';
import { type Machine, NONE } from '../machine/machine.js';
import { itemsIn } from '../machine/order.js';
import { kindOf } from '../vocabulary/kinds/index.js';

/**
 * What keeps an item from being in a state, in a machine without failures whose slots are as given: the slot of the first thing that an action or a
 * movement changes, and that is not as the equipment wants it for that. Undefined where the text does not tell.
 */
export function hindering(machine: Machine, slots: ArrayLike<number>, item: number, state: number): number | undefined {
    const circuit = circuitOf(machine);
    const cells = Array.from({ length: circuit.cells }, (_, n) => slots[n] ?? 0);
    for (const [n, each] of machine.items.entries())
        if (each.kind === 'breaker') cells[circuit.contact(n)] = slots[each.slot] === 0 ? 1 : 0;
    const holds = (condition: Condition): boolean => runProgram(circuit.compile(condition), cells);
    const seen = new Set<number>();

    /** Why the item is not live, not made, not in place. */
    const dead = (index: number): number | undefined => {
        const each = machine.items[index];
        if (!each || seen.has(index)) return undefined;
        seen.add(index);
        const bare = kindOf(each.kind).bare;
        if (each.nature === 'shown') return unshown(index, each.kind === 'source' ? each.states.indexOf('LIVE') : NONE);
        if (each.nature === 'moved')
            return holds({ op: 'live', item: index }) ? undefined : unmoved(index, each.states.indexOf(bare ?? ''));
        if (slots[each.slot] !== each.states.indexOf(bare ?? '')) return each.slot;
        return first(each.feeds, feed => (holds({ op: 'live', item: feed }) ? undefined : dead(feed)));
    };
    const unmet = (condition: Condition | undefined): number | undefined => {
        if (!condition || holds(condition)) return undefined;
        switch (condition.op) {
            case 'and':
                return first(condition.of, unmet);
            case 'or':
                // Any of them would do: none of them is to blame.
                return undefined;
            case 'live':
                return dead(condition.item);
            case 'is':
            case 'held': {
                const other = machine.items[condition.item];
                if (condition.slot !== other?.slot) return condition.slot;
                if (other.nature === 'shown') return unshown(condition.item, condition.state);
                return (
                    (other.nature === 'moved' ? unmoved(condition.item, condition.state) : undefined) ?? condition.slot
                );
            }
            default:
                return undefined;
        }
    };
    /** What makes the condition hold, where it is one thing. */
    const so = (condition: Condition | undefined): number | undefined => {
        if (!condition || !holds(condition)) return undefined;
        // Of several parts none is the one to blame.
        if (condition.op === 'and' || condition.op === 'or') return undefined;
        return 'item' in condition ? machine.items[condition.item]?.slot : undefined;
    };
    const unshown = (index: number, wanted: number): number | undefined => {
        const each = machine.items[index];
        if (!each) return undefined;
        const unfed = first(each.feeds, feed => (holds({ op: 'live', item: feed }) ? undefined : dead(feed)));
        if (unfed !== undefined) return unfed;
        if (each.live) return unmet(each.live);
        return first(each.shows, (show, n) => {
            if (wanted !== NONE && show.state !== wanted) return undefined;
            // An otherwise is kept from showing by what shows before it.
            if (!show.when) return first(each.shows.slice(0, n), earlier => so(earlier.when));
            return unmet(show.when);
        });
    };
    const unmoved = (index: number, wanted: number): number | undefined => {
        const each = machine.items[index];
        return (
            each &&
            (first(each.goes, go => (go.to === wanted ? unmet(go.when) : undefined)) ??
                first(each.feeds, feed => (holds({ op: 'live', item: feed }) ? undefined : dead(feed))))
        );
    };
    const nature = machine.items[item]?.nature;
    return nature === 'shown' ? unshown(item, state) : nature === 'moved' ? unmoved(item, state) : undefined;
}

function first<T, R>(list: readonly T[], find: (each: T, n: number) => R | undefined): R | undefined {
    for (const [n, each] of list.entries()) {
        const found = find(each, n);
        if (found !== undefined) return found;
    }
    return undefined;
}

/** Everything that the state of an item rests on, near and far. */
export function restsOn(machine: Machine, index: number): readonly number[] {
    const found = new Set<number>();
    const visit = (at: number): void => {
        const item = machine.items[at];
        if (!item || found.has(at)) return;
        found.add(at);
        for (const each of [...item.shows, ...item.goes]) itemsIn(each.when, visit);
        itemsIn(item.live, visit);
        for (const feed of item.feeds) visit(feed);
    };
    visit(index);
    return [...found];
}
