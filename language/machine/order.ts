import type { Condition } from '../conditions/condition.js';
import { type Item, NONE, type OwnFailure } from './machine.js';

/** Items whose state is computed from others at once: shown ones, and areas, which get wet. */
const isComputed = (item: Item): boolean => item.nature === 'shown' || item.nature === 'wetted';

/** Calls `visit` for each item that the condition reads. */
export function itemsIn(condition: Condition | undefined, visit: (item: number) => void): void {
    if (!condition) return;
    switch (condition.op) {
        case 'is':
        case 'held':
        case 'live':
            visit(condition.item);
            break;
        case 'not':
            itemsIn(condition.of, visit);
            break;
        case 'and':
        case 'or':
            for (const each of condition.of) itemsIn(each, visit);
            break;
        default:
            break;
    }
}

/** By computed item, the computed items that it depends on at once, through the feeds of breakers, connectors and leads as well. */
export function dependencies(
    items: readonly Item[],
    ownFailures: readonly OwnFailure[],
): ReadonlyMap<number, ReadonlySet<number>> {
    const wetters = new Map<number, number[]>();
    for (const [index, item] of items.entries())
        if (item.wets !== NONE) wetters.set(item.wets, [...(wetters.get(item.wets) ?? []), index]);
    const graph = new Map<number, Set<number>>();
    for (const [index, item] of items.entries()) {
        if (!isComputed(item)) continue;
        const found = new Set<number>();
        const passed = new Set<number>();
        const add = (on: number): void => {
            const other = items[on];
            if (!other) return;
            if (isComputed(other)) found.add(on);
            else if (other.nature === 'operated' && !passed.has(on)) {
                passed.add(on);
                for (const feed of other.feeds) add(feed);
            }
        };
        for (const feed of item.feeds) add(feed);
        for (const show of item.shows) itemsIn(show.when, add);
        itemsIn(item.live, add);
        for (const joint of wetters.get(index) ?? []) add((items[joint] as Item).carries);
        for (const failure of ownFailures) if (failure.changes === index) itemsIn(failure.when, add);
        graph.set(index, found);
    }
    return graph;
}

/** Computed items, each after all that it depends on. Where some depend on themselves, `ring` names the items of one such ring. */
export function orderOfDependence(
    items: readonly Item[],
    ownFailures: readonly OwnFailure[],
): { order: number[]; ring: number[] } {
    const graph = dependencies(items, ownFailures);
    const order: number[] = [];
    const ring: number[] = [];
    const done = new Set<number>();
    const open: number[] = [];
    const visit = (index: number): void => {
        if (done.has(index)) return;
        const at = open.indexOf(index);
        if (at >= 0) {
            if (ring.length === 0) ring.push(...open.slice(at));
            return;
        }
        open.push(index);
        for (const on of graph.get(index) ?? []) visit(on);
        open.pop();
        done.add(index);
        order.push(index);
    };
    for (const index of graph.keys()) visit(index);
    return { order, ring };
}
