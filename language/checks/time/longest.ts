import { NONE } from '../../machine/machine.js';
import { maybe, surely } from '../../paths/facts.js';
import type { Paths } from '../../paths/paths.js';
import type { Event, Plan } from '../../plan/plan.js';
import type { Trace, Visit } from '../../trace/trace.js';

/** The longest that an event may take; Infinity where nothing says. What is done with the hands at once takes none. */
export function longestOf(event: Event): number {
    switch (event.kind) {
        case 'look':
            return event.look === 'measure'
                ? Number.POSITIVE_INFINITY
                : Math.max(0, event.within, event.for, event.after);
        case 'prose':
        case 'torque':
        case 'hold':
        case 'clear':
        case 'go':
            return Number.POSITIVE_INFINITY;
        default:
            return event.guaranteed;
    }
}

/** The events that may come next. */
export const onward = (event: Event): readonly number[] =>
    [...new Set([event.next, event.other])].filter(each => each !== NONE);

/** The most seconds for which something may have been so, and the event that sets no limit to it (NONE: it was so before the card began, or all have one). */
export interface Longest {
    readonly seconds: number;
    readonly open: number;
}

const AT_ONCE: Longest = { seconds: 0, open: NONE };
const BEFORE: Longest = { seconds: Number.POSITIVE_INFINITY, open: NONE };

const longer = (a: Longest | undefined, b: Longest | undefined): Longest | undefined =>
    !a ? b : !b || a.seconds >= b.seconds ? a : b;

function passed(so: Longest, event: Event): Longest {
    const takes = longestOf(event);
    const first = takes === Number.POSITIVE_INFINITY && so.seconds !== Number.POSITIVE_INFINITY;
    return takes === 0 ? so : { seconds: so.seconds + takes, open: first ? event.id : so.open };
}

/** By event, over all ways to it, for how long at most what actions change may have been in this state; undefined where it cannot be in it. */
export function longestOnPaths(
    plan: Plan,
    paths: Paths,
    slot: number,
    state: number,
): readonly (Longest | undefined)[] {
    const at: (Longest | undefined)[] = plan.events.map(() => undefined);
    if (maybe(paths.at[0]?.facts[slot], state)) at[0] = BEFORE;
    for (const event of plan.events) {
        const here = paths.at[event.id];
        if (!here) continue;
        const so = maybe(here.facts[slot], state) ? at[event.id] : undefined;
        const target = targetOf(event, slot);
        // An area gets wet by itself while something else is done.
        const seeps = so === undefined && target === undefined;
        let after: Longest | undefined;
        if (target === state)
            after = surely(here.facts[slot], state) && event.kind !== 'press' ? so : longer(so, passed(AT_ONCE, event));
        else if (target === undefined) after = so ? passed(so, event) : passed(AT_ONCE, event);
        if (!after) continue;
        for (const next of onward(event)) {
            const facts = paths.at[next]?.facts[slot];
            const begins = facts?.some(each => each.state === state && each.by.includes(event.id)) ?? false;
            if (!maybe(facts, state) || (seeps && !begins)) continue;
            at[next] = longer(at[next], after);
        }
    }
    return at;
}

/** The state that an event leaves the slot in, where it acts on it. */
function targetOf(event: Event, slot: number): number | undefined {
    if (!('slot' in event) || event.slot !== slot) return undefined;
    if (event.kind === 'press') return event.released;
    return event.kind === 'operate' || event.kind === 'keep-start' || event.kind === 'keep-end'
        ? event.state
        : undefined;
}

/** The same for what moves or shows by itself, before each event of one run. */
export function longestInRun(plan: Plan, trace: Trace, slot: number, state: number): ReadonlyMap<Visit, Longest> {
    const at = new Map<Visit, Longest>();
    let so: Longest | undefined = trace.visits[0]?.before[slot] === state ? BEFORE : undefined;
    for (const visit of trace.visits) {
        const event = plan.events[visit.event] as Event;
        if (visit.before[slot] === state && so) at.set(visit, so);
        const changed = trace.changes.slice(visit.firstChange, visit.lastChange).some(each => each.slot === slot);
        if (visit.after[slot] !== state) so = undefined;
        else so = passed(changed || !so ? AT_ONCE : so, event);
    }
    return at;
}
