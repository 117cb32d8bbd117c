/**
 * The flow graph without its rings: a node is written once for each count of the repeats that are counted there. Numbered so
 * that every event stands before those it leads to.
 */
import { NONE } from '../machine/machine.js';
import type { Graph, Node } from './flow.js';
import { keyOfPass } from './keys.js';
import type { Arm, Event } from './plan.js';

/** More events than any card has: only repeats that multiply each other get there. */
export const mostEvents = 20_000;

const mostCounted = 100;
const none: readonly number[] = [];

export interface Flow {
    readonly events: Event[];
    readonly arms: Arm[];
    /** By node, its events. */
    readonly of: ReadonlyMap<number, readonly number[]>;
}

interface Visit {
    readonly node: number;
    /** Passes by repeat counted at this node, in the order of `counted`. */
    readonly passes: readonly number[];
    next: Visit | undefined;
    other: Visit | undefined;
    id: number;
}

/** Undefined where the repeats make more than `mostEvents` events. `withRepeats` false: no pass but the first. */
export function unroll(graph: Graph, withRepeats = true): Flow | undefined {
    const { nodes, repeats, arms } = graph;
    nest(graph);
    const counted = withRepeats ? countedAt(graph) : nodes.map(() => none);
    if (!counted) return undefined;
    const visits: Map<string, Visit>[] = [];
    const first: (Visit | undefined)[] = [];
    let size = 0;

    const visitOf = (node: number, passes: readonly number[]): Visit | undefined =>
        passes.length === 0 ? first[node] : visits[node]?.get(passes.join());
    const at = (node: number, passes: readonly number[]): Visit => {
        const known = visitOf(node, passes);
        if (known) return known;
        const visit: Visit = { node, passes, next: undefined, other: undefined, id: NONE };
        if (passes.length === 0) first[node] = visit;
        else {
            visits[node] ??= new Map();
            visits[node].set(passes.join(), visit);
        }
        size++;
        return visit;
    };
    /** The passes that still count where `to` stands. */
    const carried = (from: Visit, to: number, more = NONE): readonly number[] => {
        const here = counted[to] ?? none;
        if (here.length === 0) return none;
        const known = counted[from.node] ?? none;
        return here.map(each => (from.passes[known.indexOf(each)] ?? 0) + (each === more ? 1 : 0));
    };
    const follow = (from: Visit, to: number): Visit | undefined => {
        if (to === NONE) return undefined;
        const { repeat } = nodes[to] as Node;
        const there = at(to, carried(from, to));
        if (repeat === NONE) return there;
        const { target, times } = repeats[repeat] as Graph['repeats'][number];
        const pass = there.passes[(counted[to] ?? []).indexOf(repeat)] ?? 0;
        return withRepeats && pass < times ? at(target, carried(there, target, repeat)) : there;
    };

    if (nodes.length === 0) return { events: [], arms: [], of: new Map() };
    // Depth first, what stands later in the text before what stands earlier: written down from behind, this is the order of the text.
    const order: Visit[] = [];
    const open: { readonly visit: Visit; readonly left: Visit[] }[] = [];
    const seen = new Set<Visit>();
    const enter = (visit: Visit): void => {
        seen.add(visit);
        const { next, other } = nodes[visit.node] as Node;
        visit.next = follow(visit, next);
        visit.other = follow(visit, other);
        const left = [visit.next, visit.other]
            .filter(each => each !== undefined)
            .sort((one, two) => one.node - two.node);
        open.push({ visit, left });
    };
    enter(at(0, carried({ node: NONE, passes: none, next: undefined, other: undefined, id: NONE }, 0)));
    while (open.length > 0) {
        if (size > mostEvents && repeats.length > 0 && withRepeats) return undefined;
        const top = open.at(-1) as (typeof open)[number];
        const to = top.left.pop();
        if (!to) {
            order.push(top.visit);
            open.pop();
        } else if (!seen.has(to)) enter(to);
    }
    order.reverse();
    for (const [id, visit] of order.entries()) visit.id = id;

    const of = new Map<number, number[]>();
    const events = order.map((visit): Event => {
        const { draft } = nodes[visit.node] as Node;
        const same = of.get(visit.node);
        if (same) same.push(visit.id);
        else of.set(visit.node, [visit.id]);
        return {
            ...draft,
            id: visit.id,
            key: keyOfPass(draft.key, visit.passes),
            next: visit.next?.id ?? NONE,
            other: visit.other?.id ?? NONE,
            pass: visit.passes.reduce((sum, each) => sum + each, 0),
        } as Event;
    });
    const unrolled = arms.flatMap(({ node, join, ...arm }): Arm[] =>
        (of.get(node) ?? []).map(id => {
            const visit = order[id] as Visit;
            const entry = (arm.side === 'then' ? visit.next : visit.other)?.id ?? NONE;
            const meets = join === NONE ? undefined : visitOf(join, carried(visit, join));
            return { ...arm, event: id, entry, join: meets?.id ?? NONE };
        }),
    );
    return { events, arms: unrolled.sort((one, two) => one.event - two.event), of };
}

/**
 * Two repeats that reach into each other without one holding the other would count each other away for ever. The later one is
 * then counted from where the earlier one starts, and so holds it.
 */
function nest({ repeats }: Graph): void {
    for (let changed = true; changed; ) {
        changed = false;
        for (const inner of repeats) {
            for (const outer of repeats) {
                if (inner.start < outer.start && outer.start < inner.end && inner.end < outer.end) {
                    outer.start = inner.start;
                    changed = true;
                }
            }
        }
    }
}

/** By node, the repeats counted there; undefined where there are more of them than can be meant. */
function countedAt({ nodes, repeats }: Graph): readonly (readonly number[])[] | undefined {
    const counted: (readonly number[])[] = nodes.map(() => none);
    const own: (number[] | undefined)[] = [];
    for (const [index, { start, end }] of repeats.entries()) {
        for (let node = start; node < end; node++) {
            const here = own[node] ?? [];
            if (here.push(index) > mostCounted) return undefined;
            own[node] = here;
            counted[node] = here;
        }
    }
    return counted;
}
