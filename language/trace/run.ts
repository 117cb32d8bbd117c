import { type Machine, NONE } from '../machine/machine.js';
import { Simulator } from '../machine/simulator.js';
import type { Event, Plan } from '../plan/plan.js';
import { perform } from './perform.js';
import type { Trace, Visit } from './trace.js';

/** Called before each event with the machine as it is; clone it to keep it. */
export type Watcher = (sim: Simulator, event: Event) => void;

/** Whether the run goes the other way at this look or branch. */
export type Chooser = (sim: Simulator, event: Event, met: boolean) => boolean;

export interface RunRequest {
    readonly kind: Trace['kind'];
    readonly sim: Simulator;
    readonly from: number;
    /** Stops before this event; NONE: never. */
    readonly until: number;
    /** Stops before these too: where a way that leads back, as a `repeat` does, meets what other runs have been through. */
    readonly known?: ReadonlySet<number>;
    readonly choice: readonly number[];
    readonly arm?: number;
    readonly failure?: number;
    readonly choose: Chooser;
    readonly before?: Watcher;
    /** Called after each event, with how it came out. */
    readonly after?: (sim: Simulator, event: Event, met: boolean | undefined, turned: boolean) => void;
}

/** The machine at rest under `start with`, `choice` saying which of several states. Undefined when it never comes to rest. */
export function atStart(
    machine: Machine,
    plan: Plan,
    speed: Trace['speed'],
    choice: readonly number[],
): Simulator | undefined {
    const sim = new Simulator(machine, speed);
    for (const [n, setting] of plan.start.entries()) {
        const state = setting.states[choice[n] ?? 0];
        if (state !== undefined && setting.slot !== NONE) sim.put(setting.slot, state);
    }
    if (!sim.rest()) return undefined;
    for (const setting of plan.start)
        if (setting.atLeast > 0 && setting.slot !== NONE) sim.since[setting.slot] = -setting.atLeast;
    return sim;
}

/** Every combination of the states that `start with X is A or B` leaves open; at most `most`, else undefined. */
export function choices(plan: Plan, most = 64): (readonly number[])[] | undefined {
    let all: number[][] = [[]];
    for (const setting of plan.start) {
        all = all.flatMap(choice => setting.states.map((_, n) => [...choice, n]));
        if (all.length > most) return undefined;
    }
    return all;
}

/** Runs the plan from one event on. The simulator is used up. */
export function run(plan: Plan, request: RunRequest): Trace {
    const { sim } = request;
    const visits: Visit[] = [];
    let at = request.from;
    let end: Trace['end'] = 'arm-end';
    while (at !== NONE && at !== request.until && !request.known?.has(at)) {
        const event = plan.events[at] as Event;
        request.before?.(sim, event);
        const before = sim.snapshot();
        const since = sim.sinceSnapshot();
        const time = sim.now;
        const guaranteed = sim.guaranteed;
        const moving = sim.isMoving ? sim.moving() : NOTHING;
        const firstChange = sim.changes.length;
        const firstStart = sim.notes.started.length;
        const met = perform(sim, event);
        // Nobody acts any more, but what has been set going goes on.
        if (request.kind !== 'failure' && (event.kind === 'end' || event.kind === 'stop')) sim.runOut();
        const turned = met === false && event.other !== NONE && request.choose(sim, event, met);
        visits.push({
            event: at,
            time,
            until: sim.now,
            guaranteed,
            before,
            after: sim.snapshot(),
            since,
            moving,
            started:
                sim.notes.started.length > firstStart
                    ? sim.notes.started.slice(firstStart).map(each => each.item)
                    : NO_ITEMS,
            startedBy:
                sim.notes.started.length > firstStart
                    ? sim.notes.started.slice(firstStart).map(each => each.root)
                    : NO_ITEMS,
            met,
            firstChange,
            lastChange: sim.changes.length,
        });
        request.after?.(sim, event, met, turned);
        if (sim.notes.stuck) {
            end = 'stuck';
            break;
        }
        // A look without else that fails in an arm that a failure leads into: the card says no more.
        if (request.kind === 'failure' && event.kind === 'look' && met === false && event.other === NONE) {
            end = 'failed-look';
            break;
        }
        if (event.next === NONE && !turned) {
            const { kind } = event;
            end = kind === 'stop' || kind === 'leave-for' || kind === 'exhausted' ? kind : 'end';
            break;
        }
        at = turned ? event.other : event.next;
    }
    return {
        kind: request.kind,
        speed: sim.speed,
        choice: request.choice,
        arm: request.arm ?? NONE,
        failure: request.failure ?? NONE,
        visits,
        changes: sim.changes,
        next: end === 'arm-end' ? at : NONE,
        end,
    };
}

const NOTHING: readonly { readonly item: number; readonly to: number }[] = [];
const NO_ITEMS: readonly number[] = [];

/** Every event that one of the runs comes by. */
export function eventsIn(traces: readonly Trace[]): ReadonlySet<number> {
    return new Set(traces.flatMap(trace => trace.visits.map(visit => visit.event)));
}
