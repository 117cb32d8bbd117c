import { NONE } from '../../machine/machine.js';
import { union } from '../../paths/facts.js';
import type { PathState } from '../../paths/paths.js';
import type { Event } from '../../plan/plan.js';
import type { Judged } from '../check.js';

/** What is owed at a moment on some path: by what it is, the events that brought it about. Never written to once it is given away. */
export type Owed = ReadonlyMap<number, readonly number[]>;

/**
 * What an event does to what is owed: gives back the same map where it does nothing. `state` is how things stand before the event. Not asked where no path
 * leads.
 */
export type Settles = (owed: Owed, event: Event, state: PathState) => Owed;

/**
 * What is owed before each event, joined where paths meet: what is owed on one of them is owed. One pass, as every event is reached from smaller ids alone.
 * Nothing is owed at a stop or a leave, so who reads looks at the end alone.
 */
export function owedAlong({ plan, paths }: Judged, start: Owed, settles: Settles): readonly (Owed | undefined)[] {
    const before: (Owed | undefined)[] = plan.events.map(() => undefined);
    if (plan.events.length > 0) before[0] = start;
    for (const event of plan.events) {
        const owed = before[event.id];
        const state = paths.at[event.id];
        if (!owed || !state) continue;
        const after = settles(owed, event, state);
        for (const to of event.next === event.other ? [event.next] : [event.next, event.other]) {
            if (to === NONE) continue;
            const there = before[to];
            before[to] = there ? joined(there, after) : after;
        }
    }
    return before;
}

function joined(a: Owed, b: Owed): Owed {
    if (a === b) return a;
    let both: Map<number, readonly number[]> | undefined;
    for (const [what, by] of b) {
        const known = a.get(what);
        const all = known ? union(known, by) : by;
        if (all === known) continue;
        both ??= new Map(a);
        both.set(what, all);
    }
    return both ?? a;
}

export const owing = (owed: Owed, what: number, by: readonly number[]): Owed => new Map(owed).set(what, by);

export function settled(owed: Owed, ...what: readonly number[]): Owed {
    if (!what.some(each => owed.has(each))) return owed;
    const left = new Map(owed);
    for (const each of what) left.delete(each);
    return left;
}

/** What is still owed where the card ends, with how things stand there. */
export function owedAtEnd(
    { plan, paths }: Judged,
    along: readonly (Owed | undefined)[],
): readonly { readonly owed: Owed; readonly state: PathState }[] {
    return plan.events.flatMap(event => {
        const owed = along[event.id];
        const state = paths.at[event.id];
        return event.kind === 'end' && owed && state ? [{ owed, state }] : [];
    });
}
