import type { Plan } from '../plan/plan.js';
import type { Trace, Traces, Visit } from '../trace/trace.js';

/** One coming by of one run. */
export interface Seen {
    readonly trace: Trace;
    readonly visit: Visit;
}

/** A movement that some run starts. */
export interface Start {
    readonly item: number;
    /** The event during which it starts, and the one at the root of it (NONE: none). */
    readonly event: number;
    readonly root: number;
}

interface Runs {
    /** By event: all runs that come by. Failure runs only inside arms that no plain run takes. */
    readonly seen: readonly (readonly Seen[])[];
    /** By event: plain and forced runs alone. */
    readonly whole: readonly (readonly Seen[])[];
    readonly starts: readonly Start[];
}

const cache = new WeakMap<Traces, Runs>();
const NOBODY: readonly Seen[] = [];

function runsOf(plan: Plan, traces: Traces): Runs {
    let runs = cache.get(traces);
    if (runs) return runs;
    const whole: Seen[][] = [];
    const starts = new Map<string, Start>();
    const note = (into: Seen[][], trace: Trace): void => {
        for (const visit of trace.visits) {
            const here = into[visit.event];
            if (here) here.push({ trace, visit });
            else into[visit.event] = [{ trace, visit }];
            for (const [n, item] of visit.started.entries()) {
                const root = visit.startedBy[n] ?? visit.event;
                starts.set(`${item} ${visit.event} ${root}`, { item, event: visit.event, root });
            }
        }
    };
    for (const trace of traces.plain) note(whole, trace);
    for (const trace of traces.forced) note(whole, trace);
    const seen = traces.inArms.length > 0 ? plan.events.map((_, n) => [...(whole[n] ?? [])]) : whole;
    for (const trace of traces.inArms) note(seen, trace);
    runs = { seen, whole, starts: [...starts.values()] };
    cache.set(traces, runs);
    return runs;
}

export function seenAt(plan: Plan, traces: Traces, event: number): readonly Seen[] {
    return runsOf(plan, traces).seen[event] ?? NOBODY;
}

export function seenWholeAt(plan: Plan, traces: Traces, event: number): readonly Seen[] {
    return runsOf(plan, traces).whole[event] ?? NOBODY;
}

export function movementsStarted(plan: Plan, traces: Traces): readonly Start[] {
    return runsOf(plan, traces).starts;
}

/** The states that the runs give a slot before the event: for what moves or shows by itself. */
export function statesAt(plan: Plan, traces: Traces, event: number, slot: number): ReadonlySet<number> {
    return new Set(seenAt(plan, traces, event).map(({ visit }) => visit.before[slot] as number));
}

/** The event at the root of the last change of a slot before this moment of a run, or NONE. */
export function rootOfLastChange({ trace, visit }: Seen, slot: number): number {
    for (let n = visit.firstChange - 1; n >= 0; n--) {
        const change = trace.changes[n];
        if (change?.slot === slot) return change.root;
    }
    return -1;
}
