import { type Machine, NONE } from '../machine/machine.js';
import { itemsIn } from '../machine/order.js';
import type { Event, LookEvent, Plan } from '../plan/plan.js';
import { perform } from '../trace/perform.js';
import type { Trace } from '../trace/trace.js';
import type { Runs } from '../trace/traces.js';
import type { FailureResult } from './failure.js';
import { isSameLook } from './passing.js';
import { faultOf } from './runs.js';

/** A look that nothing changes: neither an act left out before it nor a failure that it is there for. */
export interface Idle {
    readonly look: number;
    /** The same look before it, since which nothing would have changed it; NONE: nothing changes it at all. */
    readonly before: number;
}

/** Steps that leaving out acts may take beyond failures times events, so that small cards are judged whole. */
const SPARE = 50_000;

/**
 * The looks of the plain run that come out the same whatever act before them is left out and whatever of what is disturbed or tested fails (for one with
 * `else`, whatever fails); and those that only repeat an earlier one. One that a declared `fails` changes, or that is recorded, is neither. A line is idle
 * when it is so in every call and in every state that `start with` leaves open. Bounded by failures times events: what is not found out in time is not idle.
 */
export function idleLooks(
    machine: Machine,
    plan: Plan,
    runs: Runs,
    results: readonly FailureResult[],
): readonly Idle[] {
    const slowest = runs.plain.filter(trace => trace.speed === 'slowest');
    const lines = new Map<string, { readonly looks: Idle[]; idle: boolean }>();
    const changedBy = byLook(results);
    for (const [choice, plain] of slowest.entries()) {
        const left = { steps: results.length * plain.visits.length + SPARE };
        const found = idleIn(machine, plan, runs, results, changedBy, plain, choice, left);
        for (const visit of plain.visits) {
            const event = plan.events[visit.event];
            if (event?.kind !== 'look' || event.look === 'measure') continue;
            const key = `${event.span.file} ${event.span.offset}`;
            const line = lines.get(key) ?? { looks: [], idle: true };
            const before = found.get(event.id);
            if (before === undefined) line.idle = false;
            else line.looks.push({ look: event.id, before });
            lines.set(key, line);
        }
    }
    return [...lines.values()].flatMap(({ looks, idle }) => {
        const [first] = looks;
        if (!idle || !first) return [];
        // One kind for the line: where it only repeats in one call, it repeats.
        return [looks.find(each => each.before !== NONE) ?? first];
    });
}

function byLook(results: readonly FailureResult[]): ReadonlyMap<number, readonly FailureResult[]> {
    const found = new Map<number, FailureResult[]>();
    for (const result of results)
        for (const look of result.revealedBy) found.set(look, [...(found.get(look) ?? []), result]);
    return found;
}

/** By look of this run that is idle in it: the look before it, or NONE. */
function idleIn(
    machine: Machine,
    plan: Plan,
    runs: Runs,
    results: readonly FailureResult[],
    changedBy: ReadonlyMap<number, readonly FailureResult[]>,
    plain: Trace,
    choice: number,
    left: { steps: number },
): ReadonlyMap<number, number> {
    const found = new Map<number, number>();
    const fromStart = testedFromStart(machine, plan, runs, results, plain, choice);
    /** Position of a look, and of the same one before it (NONE: there is none) from which on something would have to change it. */
    const candidates: { readonly at: number; readonly event: LookEvent; readonly first: number }[] = [];
    const lastAt = new Map<string, number>();
    for (const [at, visit] of plain.visits.entries()) {
        const event = plan.events[visit.event];
        if (event?.kind !== 'look' || event.look === 'measure') continue;
        const place = `${event.item} ${event.slot}`;
        const first = lastAt.get(place) ?? NONE;
        lastAt.set(place, at);
        if (!visit.met || event.record) continue;
        const changes = changedBy.get(event.id) ?? [];
        const counts = (each: FailureResult): boolean =>
            event.hasElse || each.class !== 'other' || each.failure.mode === 'OWN';
        if (!changes.some(counts) && !fromStart.has(event.id)) candidates.push({ at, event, first: NONE });
        if (first !== NONE && repeats(plan, plain, first, event) && changes.every(each => isSeenAt(each, plain, first)))
            candidates.push({ at, event, first });
    }
    if (candidates.length === 0) return found;
    const matters = new Map(
        candidates.map(each => {
            const items = new Set(influences(machine, each.event.item));
            if ([...items].some(item => machine.items[item]?.nature === 'moved')) items.add(NONE);
            return [each, items];
        }),
    );
    const open = new Set(candidates);
    const acts = plain.visits.flatMap((visit, n) => {
        const event = plan.events[visit.event] as Event;
        return isAct(event) &&
            [...matters].some(([look, items]) => n < look.at && n > look.first && touches(event, items))
            ? [n]
            : [];
    });
    const starts = runs.checkpointsAt(new Set(acts.map(n => plain.visits[n]?.event ?? NONE)), choice);
    // The last act before a look is the likeliest to decide it.
    for (const n of acts.toReversed()) {
        const event = plan.events[plain.visits[n]?.event ?? NONE] as Event;
        const mine = [...open].filter(
            each => each.at > n && each.first < n && touches(event, matters.get(each) ?? NOTHING),
        );
        const last = Math.max(...mine.map(each => each.at));
        if (mine.length === 0) continue;
        left.steps -= last - n;
        if (left.steps < 0) return new Map();
        const sim = starts.get(event.id)?.clone();
        if (!sim) continue;
        for (let at = n + 1; at <= last && !sim.notes.stuck; at++) {
            const visit = plain.visits[at];
            const next = plan.events[visit?.event ?? NONE] as Event;
            const met = perform(sim, next);
            if (next.kind !== 'look' || met === visit?.met) continue;
            for (const each of open) if (each.at === at && each.first < n) open.delete(each);
        }
    }
    for (const { event, first } of open) {
        const before = first === NONE ? NONE : (plain.visits[first]?.event ?? NONE);
        // What nothing changes at all is not said to repeat besides.
        if (found.get(event.id) !== NONE) found.set(event.id, before);
    }
    return found;
}

const NOTHING: ReadonlySet<number> = new Set();

const isSeenAt = (result: FailureResult, plain: Trace, at: number): boolean =>
    at !== NONE && result.revealedBy.includes(plain.visits[at]?.event ?? NONE);

/** The second look asks for no more than the first, by somebody whose word counts no more, and the first has not just been mended. */
function repeats(plan: Plan, plain: Trace, first: number, second: LookEvent): boolean {
    const visit = plain.visits[first];
    const look = plan.events[visit?.event ?? NONE];
    if (look?.kind !== 'look' || !visit?.met || !isSameLook(look, second)) return false;
    if (second.for > look.for || second.after > look.after) return false;
    if (plan.roles[second.role]?.independentOf.includes(look.role)) return false;
    return !plan.arms.some(arm => arm.event === look.id && arm.join !== NONE);
}

/** Looks that fail when what is only tested has failed before the card begins. */
function testedFromStart(
    machine: Machine,
    plan: Plan,
    runs: Runs,
    results: readonly FailureResult[],
    plain: Trace,
    choice: number,
): ReadonlySet<number> {
    const found = new Set<number>();
    const first = plain.visits[0]?.event ?? NONE;
    const start = runs.checkpointsAt(new Set([first]), choice).get(first);
    const position = new Map(plain.visits.map((visit, n) => [visit.event, n]));
    for (const { failure, class: kind, begins } of results) {
        const to = position.get(begins) ?? 0;
        if (kind !== 'tested' || to === 0 || !start) continue;
        const sim = start.clone();
        sim.event = NONE;
        sim.begin(faultOf(machine, failure));
        for (let n = 0; n < to && !sim.notes.stuck; n++) {
            const visit = plain.visits[n];
            const event = plan.events[visit?.event ?? NONE] as Event;
            const met = perform(sim, event);
            if (event.kind === 'look' && met !== visit?.met) found.add(event.id);
        }
    }
    return found;
}

function isAct(event: Event): boolean {
    return (
        event.kind === 'operate' ||
        event.kind === 'press' ||
        event.kind === 'keep-start' ||
        event.kind === 'keep-end' ||
        event.kind === 'wait'
    );
}

/** A wait touches whatever may move: NONE stands for time among the items. */
const touches = (event: Event, items: ReadonlySet<number>): boolean =>
    items.has(event.kind === 'wait' ? NONE : event.item);

/** Every item that what the item shows may rest on: what feeds it, what it is in, what wets it. */
export function influences(machine: Machine, index: number): ReadonlySet<number> {
    const found = new Set<number>();
    const visit = (at: number): void => {
        const item = machine.items[at];
        if (!item || found.has(at)) return;
        found.add(at);
        for (const each of [...item.shows, ...item.goes]) itemsIn(each.when, visit);
        itemsIn(item.live, visit);
        for (const feed of item.feeds) visit(feed);
        visit(item.unit);
        for (const [n, joint] of machine.items.entries()) {
            if (joint.wets !== at) continue;
            visit(n);
            visit(joint.carries);
        }
    };
    visit(index);
    return found;
}
