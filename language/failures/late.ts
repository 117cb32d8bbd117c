import { type Machine, NONE } from '../machine/machine.js';
import type { Simulator } from '../machine/simulator.js';
import type { Event, LookEvent, Plan } from '../plan/plan.js';
import { perform } from '../trace/perform.js';
import type { Runs } from '../trace/traces.js';
import type { FailureResult } from './failure.js';
import { faultOf } from './runs.js';
import { movedBehind } from './which.js';

/** A look that is met with a failure in the machine, only later than without it, because its limit leaves the time. */
export interface Late {
    readonly look: number;
    readonly result: FailureResult;
    /** Seconds from the start of the look until it is met: in the sound machine at its slowest, and with the failure. */
    readonly sound: number;
    readonly failed: number;
}

/** Sums of written seconds differ from what was written by rounding alone. */
const CLOSE = 1e-6;

/**
 * Every look with a `within` that a failure passes by coming late. What is late because an earlier look has already failed on the same movement is
 * left out. One run a failure that bears on such a look, along the plain run's path: linear in failures times events.
 */
export function lateLooks(
    machine: Machine,
    plan: Plan,
    runs: Runs,
    results: readonly FailureResult[],
): readonly Late[] {
    const found: Late[] = [];
    const slowest = runs.plain.filter(trace => trace.speed === 'slowest');
    for (const [choice, plain] of slowest.entries()) {
        const timed = plain.visits.flatMap((visit, n) => (isTimed(plan.events[visit.event]) && visit.met ? [n] : []));
        const last = timed.at(-1);
        if (last === undefined) continue;
        const position = new Map(plain.visits.map((visit, n) => [visit.event, n]));
        const concerned = results.filter(
            ({ begins, failure }) => failure.mode !== 'STUCK' && (position.get(begins) ?? last + 1) <= last,
        );
        const starts = runs.checkpointsAt(new Set(concerned.map(each => each.begins)), choice);
        for (const result of concerned) {
            const sim = starts.get(result.begins)?.clone();
            if (!sim) continue;
            sim.event = NONE;
            sim.begin(faultOf(machine, result.failure));
            /** Where the last look failed. */
            let failedAt = NONE;
            for (let n = position.get(result.begins) ?? 0; n <= last && !sim.notes.stuck; n++) {
                const visit = plain.visits[n];
                const event = plan.events[visit?.event ?? NONE];
                if (!visit || !event) break;
                const from = sim.now;
                const met = perform(sim, event);
                if (event.kind !== 'look') continue;
                if (met === false && visit.met) failedAt = n;
                const sound = visit.until - visit.time;
                const failed = sim.now - from;
                if (!isTimed(event) || !met || !visit.met || failed <= sound + CLOSE) continue;
                if (failedAt > startOfMovement(machine, sim, event, position)) continue;
                found.push({ look: event.id, result, sound, failed });
            }
        }
    }
    return found;
}

function isTimed(event: Event | undefined): event is LookEvent {
    return event?.kind === 'look' && event.look !== 'measure' && event.within > 0;
}

/** Where the movement that the look waits for began, as a position in the plain run. */
function startOfMovement(
    machine: Machine,
    sim: Simulator,
    look: LookEvent,
    position: ReadonlyMap<number, number>,
): number {
    const behind = movedBehind(machine, look.item);
    const started = sim.notes.started.findLast(each => behind.has(each.item));
    return started ? (position.get(started.event) ?? NONE) : NONE;
}
