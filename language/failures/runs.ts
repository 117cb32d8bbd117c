import { restState } from '../machine/circuit.js';
import { type Item, type Machine, NONE } from '../machine/machine.js';
import type { Fault, Simulator } from '../machine/simulator.js';
import type { Event, Plan } from '../plan/plan.js';
import { perform } from '../trace/perform.js';
import { eventsIn, run } from '../trace/run.js';
import type { Trace } from '../trace/trace.js';
import { armsByEvent, type Runs } from '../trace/traces.js';
import type { Failure, FailureResult } from './failure.js';
import { failuresOf, type ListedFailure } from './which.js';

/** The failure as the simulator takes it. */
export function faultOf(machine: Machine, failure: Failure): Fault {
    const { item, detail } = failure;
    switch (failure.mode) {
        case 'DEAD':
            return { kind: 'held', item, state: restState(machine.items[item] as Item) };
        case 'STUCK':
            return { kind: 'held', item, state: detail };
        case 'SLOW':
            return { kind: 'pace', item, factor: 2, longest: true };
        case 'EARLY':
            return { kind: 'pace', item, factor: 0.5, longest: false };
        case 'LEAKING':
            return { kind: 'leaking', item };
        case 'OFF':
            return { kind: 'held', item, state: machine.items[item]?.states.indexOf('DISCONNECTED') ?? 1 };
        case 'TRIPPED':
            return { kind: 'contact', item, closed: 0 };
        case 'NOT-OPENING':
            return { kind: 'contact', item, closed: 1 };
        case 'CROSSED':
            return { kind: 'crossed', item, other: detail };
        case 'OWN':
            return { kind: 'own', item, index: detail };
    }
}

export interface FailureRuns {
    readonly results: readonly FailureResult[];
    /** Runs inside arms that no plain run takes, from the arm's entry on, in the order of the failures. */
    readonly inArms: readonly Trace[];
    /** Arms that some failure reaches. */
    readonly reached: ReadonlySet<number>;
}

/**
 * Every failure over the whole card, one at a time. The run follows the plain run's path, whatever its looks say, and notes the looks that fail; at
 * a look with `else`, or an `if`, that comes out otherwise than in the plain run, a second run goes into the arm and on to its end.
 * Linear in failures times events. Blocks that are still not reached are tried with the failures there from the start.
 */
export function runFailures(machine: Machine, plan: Plan, runs: Runs): FailureRuns {
    const results: FailureResult[] = [];
    const indices = new Map<string, number>();
    const inArms: Trace[] = [];
    const reached = new Set<number>();
    const arms = armsByEvent(plan);
    const known = eventsIn(runs.plain);
    const slowest = runs.plain.filter(trace => trace.speed === 'slowest');
    for (const [choice, plain] of slowest.entries()) {
        const listed = failuresOf(machine, plan, plain);
        const starts = runs.checkpointsAt(new Set(listed.map(each => each.begins)), choice);
        const position = new Map(plain.visits.map((visit, n) => [visit.event, n]));
        for (const each of listed) {
            const start = starts.get(each.begins);
            const from = position.get(each.begins) ?? 0;
            const revealedBy = start ? along(each, indexOf(each), start.clone(), plain, from, plain.visits.length) : [];
            const result = { failure: each.failure, class: each.class, begins: each.begins, revealedBy };
            const index = indexOf(each);
            // Where "start with" leaves something open, what is masked in one of the states is masked.
            if (!results[index] || (revealedBy.length === 0 && results[index].revealedBy.length > 0))
                results[index] = result;
        }
        // A block that nothing leads into so far may be for what was broken before the card began to mend or to test it.
        if (plan.arms.every((arm, n) => runs.taken[n] || reached.has(n) || arm.measured)) continue;
        const first = plain.visits[0]?.event ?? 0;
        const start = runs.checkpointsAt(new Set([first]), choice).get(first);
        for (const each of listed) {
            const to = position.get(each.begins) ?? 0;
            if (start && to > 0) along(each, indexOf(each), start.clone(), plain, 0, to);
        }
    }
    return { results, inArms, reached };

    /** The place of the failure in the results: the same in every state that "start with" leaves open. */
    function indexOf({ failure }: ListedFailure): number {
        const key = `${failure.item} ${failure.mode} ${failure.detail}`;
        const index = indices.get(key) ?? indices.size;
        indices.set(key, index);
        return index;
    }

    function along(
        listed: ListedFailure,
        index: number,
        sim: Simulator,
        plain: Trace,
        from: number,
        to: number,
    ): number[] {
        const failing: number[] = [];
        sim.event = NONE;
        sim.begin(faultOf(machine, listed.failure));
        for (let n = from; n < to && !sim.notes.stuck; n++) {
            const visit = plain.visits[n];
            const event = plan.events[visit?.event ?? NONE];
            if (!visit || !event) break;
            const met = perform(sim, event);
            if (event.kind === 'look' && met === false && visit.met !== false) failing.push(event.id);
            if ((event.kind === 'look' || event.kind === 'branch') && met !== undefined && event.other !== NONE) {
                for (const arm of arms.get(event.id) ?? []) {
                    const side = plan.arms[arm]?.side;
                    if ((side === 'then') !== met || runs.taken[arm]) continue;
                    intoArm(arm, index, sim.clone(), plain.choice);
                }
            }
        }
        return failing;
    }

    function intoArm(arm: number, failure: number, sim: Simulator, choice: readonly number[]): void {
        const { entry, join } = plan.arms[arm] as Plan['arms'][number];
        reached.add(arm);
        if (entry === join) return;
        inArms.push(
            run(plan, {
                kind: 'failure',
                sim,
                from: entry,
                until: join,
                known,
                choice,
                arm,
                failure,
                choose: (_s: Simulator, e: Event) => e.kind === 'branch' || e.kind === 'look',
                after: (_s, event, met) => {
                    if (met === undefined) return;
                    for (const inner of arms.get(event.id) ?? [])
                        if ((plan.arms[inner]?.side === 'then') === met) reached.add(inner);
                },
            }),
        );
    }
}
