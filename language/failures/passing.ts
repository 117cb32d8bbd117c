import { type Machine, NONE } from '../machine/machine.js';
import type { Simulator } from '../machine/simulator.js';
import type { Event, LookEvent, Plan } from '../plan/plan.js';
import { perform } from '../trace/perform.js';
import { eventsIn } from '../trace/run.js';
import type { Trace } from '../trace/trace.js';
import type { Runs } from '../trace/traces.js';
import type { Failure, FailureResult } from './failure.js';
import { faultOf } from './runs.js';
import { disturbedBy, modesOf } from './which.js';

/** With a failure in the machine a look fails, and yet the card comes to its end. */
export interface Passing {
    readonly result: FailureResult;
    readonly look: number;
}

/** What a block disturbs that is done only where something has failed, and that no look after it would show to have failed. */
export interface Unproved {
    readonly event: number;
    readonly item: number;
}

/** A way through the card with a failure in it. */
interface Walk {
    readonly end: 'end' | 'left' | 'failed-look' | 'stuck';
    /** Looks that fail, and are not looked at again and met on the same way. */
    readonly failed: readonly number[];
}

/**
 * The card as it is done with each failure in it, blocks taken: whether it comes to its end although a look has failed, and whether what such a block
 * disturbs is proved after it. A failure that is found by a look without `else`, before any look with one, is not run again. Linear in failures times events.
 */
export function passedFailures(machine: Machine, plan: Plan, runs: Runs, results: readonly FailureResult[]): Passed {
    let passed = cache.get(results);
    if (!passed) {
        passed = compute(machine, plan, runs, results);
        cache.set(results, passed);
    }
    return passed;
}

interface Passed {
    readonly passing: readonly Passing[];
    readonly unproved: readonly Unproved[];
}

/** By the failures of one card in one variant: several checks ask. */
const cache = new WeakMap<readonly FailureResult[], Passed>();

function compute(machine: Machine, plan: Plan, runs: Runs, results: readonly FailureResult[]): Passed {
    const passing: Passing[] = [];
    const unproved = new Map<string, Unproved>();
    if (!plan.arms.some(each => each.entry !== NONE)) return { passing, unproved: [] };
    const branches = plan.events.some(each => each.kind === 'branch');
    const concerned = results.filter(({ revealedBy }) => {
        const first = plan.events[revealedBy[0] ?? NONE];
        return branches || (first !== undefined && first.other !== NONE);
    });
    const known = eventsIn(runs.plain);
    const tried = new Set<string>();
    const slowest = runs.plain.filter(trace => trace.speed === 'slowest');
    for (const [choice, plain] of slowest.entries()) {
        const starts = runs.checkpointsAt(new Set(concerned.map(each => each.begins)), choice);
        for (const result of concerned) {
            const sim = starts.get(result.begins)?.clone();
            if (!sim) continue;
            sim.event = NONE;
            sim.begin(faultOf(machine, result.failure));
            const disturbed: { event: Event; items: readonly number[]; after: Simulator }[] = [];
            const again = (look: number): boolean => !known.has(look) || result.revealedBy.includes(look);
            const walked = walk(plan, plain, sim, result.begins, again, (at, event) => {
                const items = known.has(event.id) ? [] : disturbedBy(machine, event);
                if (items.length > 0) disturbed.push({ event, items, after: at.clone() });
            });
            if (walked.end !== 'end') continue;
            // What was renewed is mended, whatever failed before.
            if (walked.failed.length > 0 && sim.fault) {
                const look = walked.failed.find(each => !(plan.events[each] as LookEvent).record) ?? walked.failed[0];
                passing.push({ result, look: look as number });
                continue;
            }
            for (const [n, { event, items, after }] of disturbed.entries()) {
                for (const item of items) {
                    const key = `${event.id} ${item}`;
                    // What is disturbed again later is judged there.
                    if (tried.has(key) || disturbed.slice(n + 1).some(each => each.items.includes(item))) continue;
                    tried.add(key);
                    if (isShown(plain, after, event, item)) continue;
                    unproved.set(key, { event: event.id, item });
                }
            }
        }
    }
    return { passing, unproved: [...unproved.values()] };

    /** Some failure of the item, beginning after the event, would be found on the way from there. */
    function isShown(plain: Trace, after: Simulator, event: Event, item: number): boolean {
        const modes = modesOf(machine, item);
        if (modes.length === 0) return true;
        return modes.some(failure => isFound(plain, after, event, failure));
    }

    function isFound(plain: Trace, after: Simulator, event: Event, failure: Failure): boolean {
        const sim = after.clone();
        if (sim.fault) sim.renew(sim.fault.item);
        sim.event = NONE;
        sim.begin(faultOf(machine, failure));
        const walked = walk(plan, plain, sim, event.next, () => true);
        return walked.end === 'failed-look' || walked.failed.length > 0;
    }
}

/** `again`: a look that would show the failure if it were still there, so that it is a second look and not just the same words at another time. */
function walk(
    plan: Plan,
    plain: Trace,
    sim: Simulator,
    from: number,
    again: (look: number) => boolean,
    after: (sim: Simulator, event: Event) => void = () => {},
): Walk {
    const unmet = unmetIn(plain);
    const failed: LookEvent[] = [];
    const ids = (): readonly number[] => failed.map(each => each.id);
    for (let at = from; at !== NONE; ) {
        const event = plan.events[at];
        if (!event || sim.notes.stuck) break;
        const met = perform(sim, event);
        after(sim, event);
        if (event.kind === 'end') return { end: 'end', failed: ids() };
        if (event.kind === 'look' && met !== undefined) {
            if (met && again(event.id)) {
                for (let n = failed.length - 1; n >= 0; n--)
                    if (isSameLook(failed[n] as LookEvent, event)) failed.splice(n, 1);
            } else if (!met && !unmet.has(event.id)) failed.push(event);
            if (!met && event.other === NONE) return { end: 'failed-look', failed: ids() };
        }
        if (event.next === NONE && (met !== false || event.other === NONE)) return { end: 'left', failed: ids() };
        at = met === false && event.other !== NONE ? event.other : event.next;
    }
    return { end: 'stuck', failed: ids() };
}

const unmets = new WeakMap<Trace, ReadonlySet<number>>();

/** Looks that fail in the plain run too: that is what the card is there to find out. */
function unmetIn(plain: Trace): ReadonlySet<number> {
    let found = unmets.get(plain);
    if (!found) {
        found = new Set(plain.visits.filter(visit => visit.met === false).map(visit => visit.event));
        unmets.set(plain, found);
    }
    return found;
}

/** The same thing is looked for, whatever time it is given. */
export function isSameLook(a: LookEvent, b: LookEvent): boolean {
    return (
        a.look === b.look &&
        a.slot === b.slot &&
        a.item === b.item &&
        a.state === b.state &&
        a.limits?.low === b.limits?.low &&
        a.limits?.high === b.limits?.high
    );
}
