import { type Machine, NONE } from '../machine/machine.js';
import type { Simulator } from '../machine/simulator.js';
import type { Event, LookEvent, Plan } from '../plan/plan.js';
import { hindering, restsOn } from './hindered.js';
import { stateWithin } from './perform.js';
import { atStart, choices, eventsIn, run } from './run.js';
import type { Trace, Traces } from './trace.js';

/** The plain and forced runs of a plan, with what the failure runs need to go on from. */
export interface Runs {
    readonly plain: readonly Trace[];
    readonly forced: readonly Trace[];
    /** By forced run, the machine as it leaves it. Clone it to go on. */
    readonly forcedEnds: readonly Simulator[];
    /** By arm: whether a plain run takes it. */
    readonly taken: readonly boolean[];
    /** Looks that fail in a plain run although nothing in `start with` says so: event, and the traces in which they fail. */
    readonly contradicted: readonly Contradiction[];
    /** Where what no run comes by begins: the card as written always leaves before. Events, in order. */
    readonly beyond: readonly number[];
    /** Two movements wanted at once: item, first and second `goes`, event. */
    readonly conflicts: readonly (readonly [number, number, number, number])[];
    /** Sentences on what could not be run. */
    readonly unknown: readonly string[];
    /** The plain run again, slowest, in one choice: the machine as it is before each of these events that the run comes by. */
    readonly checkpointsAt: (events: ReadonlySet<number>, choice?: number) => ReadonlyMap<number, Simulator>;
}

export interface Contradiction {
    readonly event: number;
    readonly trace: number;
    readonly visit: number;
}

/** By event, the arms that hang on it. */
function armsByEvent(plan: Plan): ReadonlyMap<number, readonly number[]> {
    const map = new Map<number, number[]>();
    for (const [n, arm] of plan.arms.entries()) {
        const at = map.get(arm.event);
        if (at) at.push(n);
        else map.set(arm.event, [n]);
    }
    return map;
}

/** The arm that a run takes at this event when it does or does not turn, or NONE. */
export function armTaken(
    plan: Plan,
    arms: ReadonlyMap<number, readonly number[]>,
    event: number,
    turned: boolean,
): number {
    for (const n of arms.get(event) ?? []) if ((plan.arms[n]?.side === 'then') !== turned) return n;
    return NONE;
}

export { armsByEvent };

/**
 * Runs the card as written: once for each state that `start with` leaves open, with movements at their slowest and, where they have bands, at their
 * fastest; then every arm that no such run takes, by force, from where it hangs to where it ends. Linear in the card.
 */
export function runCard(machine: Machine, plan: Plan): Runs {
    const unknown: string[] = [];
    const open = choices(plan);
    if (!open) unknown.push('"start with" leaves open more than 64 combinations of states');
    const banded = machine.items.some(item => item.goes.some(go => go.min !== go.max));
    const arms = armsByEvent(plan);
    const taken = plan.arms.map(() => false);
    const checkpoints = new Map<number, { sim: Simulator; choice: readonly number[] }>();
    const plain: Trace[] = [];
    const contradicted: Contradiction[] = [];
    const conflicts: (readonly [number, number, number, number])[] = [];
    const all = open ?? [[]];

    // An else that is taken because `start with` says so is no contradiction: what keeps the thing from being as the card looks for has stood so from
    // the start, or it is so only in some of the states left open.
    const excused = new Set<string>();
    const retries = retriesOf(plan);
    const choose = (sim: Simulator, event: Event): boolean => {
        if (event.kind !== 'look' || !event.hasElse) return event.kind === 'branch';
        const said = startKeeps(machine, plan, sim, event);
        if (said) excused.add(`${plain.length} ${event.id}`);
        return all.length > 1 || said || retries.has(event.id);
    };

    const forks =
        (choice: readonly number[]) =>
        (sim: Simulator, event: Event, met: boolean | undefined, turned: boolean): void => {
            const hung = arms.get(event.id);
            if (!hung) return;
            const took = armTaken(plan, arms, event.id, turned);
            for (const n of hung) {
                if (n === took) taken[n] = true;
                else if (!taken[n] && !checkpoints.has(n))
                    checkpoints.set(n, { sim: failing(sim, event, met), choice });
            }
        };

    for (const choice of all) {
        for (const speed of banded ? (['slowest', 'fastest'] as const) : (['slowest'] as const)) {
            const sim = atStart(machine, plan, speed, choice);
            if (!sim) {
                unknown.push('the equipment never comes to rest under "start with"');
                return {
                    plain,
                    forced: [],
                    forcedEnds: [],
                    taken,
                    contradicted: [],
                    beyond: [],
                    conflicts,
                    unknown,
                    checkpointsAt: () => new Map(),
                };
            }
            conflicts.push(...sim.notes.conflicts);
            sim.notes.conflicts.length = 0;
            const trace = run(plan, {
                kind: 'plain',
                sim,
                from: 0,
                until: NONE,
                choice,
                choose: (s, e) => choose(s, e),
                after: forks(choice),
            });
            if (trace.end === 'stuck') unknown.push('the equipment never comes to rest while the card is performed');
            conflicts.push(...sim.notes.conflicts);
            plain.push(trace);
        }
    }
    // A look fails when it fails at some speed; in several states left open, only when it fails in all of them or without an else.
    const failed = new Map<number, Contradiction[]>();
    const metIn = new Map<number, Set<readonly number[]>>();
    for (const [t, trace] of plain.entries()) {
        for (const [v, visit] of trace.visits.entries()) {
            if (plan.events[visit.event]?.kind !== 'look') continue;
            if (visit.met === false)
                failed.set(visit.event, [
                    ...(failed.get(visit.event) ?? []),
                    { event: visit.event, trace: t, visit: v },
                ]);
            else metIn.set(visit.event, (metIn.get(visit.event) ?? new Set()).add(trace.choice));
        }
    }
    for (const [event, failing] of failed) {
        const found = failing.filter(each => !metAgain(plain[each.trace], each.visit, retries.get(event), retries));
        if (found.length === 0) continue;
        const look = plan.events[event];
        const met = metIn.get(event);
        const atOtherSpeed = found.some(each => met?.has(plain[each.trace]?.choice ?? []));
        const bySaid = found.every(each => excused.has(`${each.trace} ${event}`));
        if (look?.kind === 'look' && look.hasElse && !atOtherSpeed && (bySaid || met !== undefined)) continue;
        contradicted.push(found[0] as Contradiction);
    }
    contradicted.sort((a, b) => a.event - b.event);

    const forced: Trace[] = [];
    const forcedEnds: Simulator[] = [];
    const known = eventsIn(plain);
    const queue = [...checkpoints.entries()];
    for (const [n, { sim, choice }] of queue) {
        if (taken[n]) continue;
        const arm = plan.arms[n];
        if (!arm || arm.entry === arm.join) continue;
        const inner = new Map<number, { sim: Simulator; choice: readonly number[] }>();
        const reached = new Set<number>();
        forcedEnds.push(sim);
        forced.push(
            run(plan, {
                kind: 'forced',
                sim,
                from: arm.entry,
                until: arm.join,
                known,
                choice,
                arm: n,
                choose: (_s, e) => e.kind === 'branch' || e.kind === 'look',
                after: (s, event, met, turned) => {
                    const took = armTaken(plan, arms, event.id, turned);
                    for (const each of arms.get(event.id) ?? []) {
                        if (each === took) reached.add(each);
                        else if (!taken[each] && !checkpoints.has(each))
                            inner.set(each, { sim: failing(s, event, met), choice });
                    }
                },
            }),
        );
        for (const each of reached) if (!checkpoints.has(each)) checkpoints.set(each, { sim, choice });
        for (const [each, checkpoint] of inner) {
            if (reached.has(each)) continue;
            checkpoints.set(each, checkpoint);
            queue.push([each, checkpoint]);
        }
    }

    const checkpointsAt = (events: ReadonlySet<number>, choice = 0): ReadonlyMap<number, Simulator> => {
        const kept = new Map<number, Simulator>();
        const sim = atStart(machine, plan, 'slowest', all[choice] ?? []);
        if (!sim) return kept;
        run(plan, {
            kind: 'plain',
            sim,
            from: 0,
            until: NONE,
            choice: all[choice] ?? [],
            choose: (s, e) => choose(s, e),
            before: (s, e) => {
                if (events.has(e.id) && !kept.has(e.id)) kept.set(e.id, s.clone());
            },
        });
        return kept;
    };
    return {
        plain,
        forced,
        forcedEnds,
        taken,
        contradicted,
        beyond: beyondRuns(plan, [...plain, ...forced]),
        conflicts,
        unknown,
        checkpointsAt,
    };
}

/** The first acts of what no run comes by, blocks aside: each of those is run by itself. */
function beyondRuns(plan: Plan, traces: readonly Trace[]): number[] {
    if (traces.some(each => each.end === 'stuck')) return [];
    const seen = eventsIn(traces);
    const entries = new Set(plan.arms.flatMap(arm => (arm.entry === arm.join ? [] : [`${arm.event} ${arm.entry}`])));
    const found = new Set<number>();
    for (const id of seen) {
        const event = plan.events[id];
        for (let to of event ? [event.next, event.other] : []) {
            if (entries.has(`${id} ${to}`)) continue;
            while (to !== NONE && !seen.has(to) && isIdle(plan.events[to])) to = plan.events[to]?.next ?? NONE;
            if (to !== NONE && !seen.has(to)) found.add(to);
        }
    }
    return [...found].sort((a, b) => a - b);
}

const isIdle = (event: Event | undefined): boolean =>
    event?.kind === 'join' ||
    event?.kind === 'step-start' ||
    event?.kind === 'step-end' ||
    event?.kind === 'exhausted' ||
    event?.kind === 'end';

/** By look whose own `else` does the step again: the same look in the next pass. */
function retriesOf(plan: Plan): ReadonlyMap<number, number> {
    const found = new Map<number, number>();
    for (const look of plan.events) {
        if (look.kind !== 'look' || !look.hasElse) continue;
        const [own] = look.key.split('#');
        let at = look.other;
        while (at !== NONE && at !== look.next && plan.events[at]?.key.split('#')[0] !== own)
            at = plan.events[at]?.next ?? NONE;
        if (at !== NONE && at !== look.next) found.set(look.id, at);
    }
    return found;
}

/** Whether the look comes out as written in a later pass of the same run. */
function metAgain(
    trace: Trace | undefined,
    from: number,
    next: number | undefined,
    retries: ReadonlyMap<number, number>,
): boolean {
    for (const visit of trace?.visits.slice(from + 1) ?? []) {
        if (visit.event !== next) continue;
        if (visit.met) return true;
        next = retries.get(next);
    }
    return false;
}

/** What keeps the look from coming out as written is as `start with` says, and nothing has changed it since. */
function startKeeps(machine: Machine, plan: Plan, sim: Simulator, look: LookEvent): boolean {
    const stands = (slot: number): boolean =>
        !sim.hasChanged(slot) && plan.start.some(setting => setting.slot === slot);
    if (stands(look.slot)) return true;
    const wanted = look.look === 'see' ? look.state : stateWithin(machine, look.item, look.limits);
    const own = look.slot === machine.items[look.item]?.slot;
    if (wanted === NONE || !own || sim.hasChanged(look.slot)) return false;
    const keeping = hindering(machine, sim.cells, look.item, wanted);
    if (keeping !== undefined) return stands(keeping);
    return restsOn(machine, look.item).some(each => stands(machine.items[each]?.slot ?? NONE));
}

/** The machine after the event as it goes into the arm not taken: a look that fails has surely taken no more than its `after`. */
function failing(sim: Simulator, event: Event, met: boolean | undefined): Simulator {
    const copy = sim.clone();
    if (event.kind === 'look' && event.for > 0 && met) copy.takeBack(event.for);
    return copy;
}

/** How each arm is judged, given the arms that failure runs reach. An arm in which nothing is done needs no judging. An arm of one source line counts as judged when it is so in one call or pass. */
export function judgeArms(plan: Plan, taken: readonly boolean[], reached: ReadonlySet<number>): Traces['arms'] {
    const own = plan.arms.map(
        (arm, n) =>
            (taken[n] || arm.entry === arm.join
                ? 'plain'
                : reached.has(n)
                  ? 'failure'
                  : arm.measured
                    ? 'measured'
                    : 'forced') as Traces['arms'][number],
    );
    const best = new Map<string, Traces['arms'][number]>();
    for (const [n, arm] of plan.arms.entries())
        if (own[n] !== 'forced') best.set(arm.source, own[n] as Traces['arms'][number]);
    return plan.arms.map((arm, n) =>
        own[n] === 'forced' ? (best.get(arm.source) ?? 'forced') : (own[n] as Traces['arms'][number]),
    );
}
