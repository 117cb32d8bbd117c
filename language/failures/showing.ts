import { type Machine, NONE } from '../machine/machine.js';
import type { Simulator } from '../machine/simulator.js';
import type { Event, Plan } from '../plan/plan.js';
import { perform } from '../trace/perform.js';
import type { Trace } from '../trace/trace.js';
import type { Runs } from '../trace/traces.js';
import type { Failure } from './failure.js';
import { faultOf } from './runs.js';

/**
 * The looks of a plain run that fail when the failure is there from the beginning of the card. `before`: called with the failed machine before each event,
 * and the position of that event in the run.
 */
export function looksThatFail(
    machine: Machine,
    plan: Plan,
    runs: Runs,
    failure: Failure,
    plain: Trace,
    choice: number,
    before: (sim: Simulator, position: number) => void = () => {},
): readonly number[] {
    const first = plain.visits[0]?.event ?? NONE;
    const sim = runs
        .checkpointsAt(new Set([first]), choice)
        .get(first)
        ?.clone();
    const failing: number[] = [];
    if (!sim) return failing;
    sim.event = NONE;
    sim.begin(faultOf(machine, failure));
    for (const [n, visit] of plain.visits.entries()) {
        const event = plan.events[visit.event] as Event;
        if (sim.notes.stuck) break;
        before(sim, n);
        const met = perform(sim, event);
        if (event.kind === 'look' && met === false && visit.met) failing.push(event.id);
    }
    return failing;
}
