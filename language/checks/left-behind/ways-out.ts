import { type Machine, NONE } from '../../machine/machine.js';
import type { Simulator } from '../../machine/simulator.js';
import { surely } from '../../paths/facts.js';
import { byOfState } from '../../paths/judge.js';
import type { Fact, Facts, PathState } from '../../paths/paths.js';
import { isOperated } from '../../paths/states.js';
import type { Event, Plan, Setting } from '../../plan/plan.js';
import { perform } from '../../trace/perform.js';
import { atStart } from '../../trace/run.js';
import type { Trace } from '../../trace/trace.js';
import { kindOf } from '../../vocabulary/kinds/index.js';
import type { Judged } from '../check.js';

/** One thing that is not as it should be where a way through the card ends. */
export interface Left {
    readonly code: string;
    readonly slot: number;
    readonly item: number;
    /** The state it may be left in, and the events that may have brought it there (NONE: as the card began). */
    readonly state: number;
    readonly by: readonly number[];
    /** The state that it owes. */
    readonly owed: number;
    readonly way: Way;
    /** The `finish with` that it does not meet. */
    readonly setting?: Setting;
}

/** Where a way through the card, or through a card done inside it, ends. */
export interface Way {
    readonly kind: 'end' | 'stop' | 'leave-for' | 'done';
    readonly event: Event;
    /** The card left for, or done. */
    readonly card: string;
}

const cache = new WeakMap<Judged, readonly Left[]>();

/** Everything left behind on any path, by way out; computed once a card. */
export function leftBehind(card: Judged): readonly Left[] {
    let found = cache.get(card);
    if (!found) {
        found = compute(card);
        cache.set(card, found);
    }
    return found;
}

function compute(card: Judged): readonly Left[] {
    const { machine, plan, paths } = card;
    const left: Left[] = [];
    for (const event of plan.events) {
        const state = paths.at[event.id];
        if (!state) continue;
        if (event.kind === 'end') {
            const way: Way = { kind: 'end', event, card: plan.card };
            const owes = owedAtEnd(plan, machine);
            left.push(...notAsOwed(machine, state, way, owes));
            left.push(...notFinished(state, way, plan.finish));
            left.push(
                ...untagged(
                    machine,
                    state,
                    way,
                    slot => owes(slot) ?? plan.finish.find(each => each.slot === slot)?.states ?? [],
                ),
            );
        } else if (event.kind === 'stop') {
            const way: Way = { kind: 'stop', event, card: plan.card };
            left.push(...notAsOwed(machine, state, way, owedAtStop(plan, machine)));
            left.push(...untagged(machine, state, way, undefined));
        } else if (event.kind === 'leave-for') {
            const way: Way = { kind: 'leave-for', event, card: event.card };
            left.push(
                ...notAsOwed(
                    machine,
                    state,
                    way,
                    slot => event.start.find(each => each.slot === slot)?.states ?? [machine.slots[slot]?.normal ?? 0],
                ),
            );
        }
    }
    for (const done of plan.done) {
        for (const [n, at] of done.end.entries()) {
            const event = plan.events[at];
            const state = paths.at[at];
            const begin = paths.at[done.begin[n] ?? done.begin[0] ?? NONE];
            if (!event || !state || !begin) continue;
            const way: Way = { kind: 'done', event, card: done.card };
            left.push(
                ...notAsOwed(machine, state, way, slot => {
                    if (done.finish.some(each => each.slot === slot)) return undefined;
                    // Where it does not begin as that card starts, that is told of there.
                    const there = begin.facts[slot]?.map(each => each.state);
                    const given = done.start.find(each => each.slot === slot)?.states;
                    return given ? [...given, ...(there ?? [])] : there;
                }),
                ...notFinished(state, way, done.finish),
            );
        }
    }
    left.push(...movedAway(card, left));
    return left;
}

/** By slot, the states that it may be left in; undefined: whatever it is. */
type Owes = (slot: number) => readonly number[] | undefined;

/** `finish with` is judged apart; else `start with`, else normal. Where the card must find out, normal. */
function owedAtEnd(plan: Plan, machine: Machine): Owes {
    return slot => {
        if (plan.finish.some(each => each.slot === slot)) return undefined;
        const given = plan.start.find(each => each.slot === slot)?.states;
        return given?.length === 1 ? given : [machine.slots[slot]?.normal ?? 0];
    };
}

/** At a stop: controls as at the start or at their normal, no stimulus applied; the rest is printed as open. */
function owedAtStop(plan: Plan, machine: Machine): Owes {
    return slot => {
        const owner = machine.slots[slot];
        const item = machine.items[owner?.item ?? NONE];
        if (!owner || !item || owner.kind !== 'state') return undefined;
        const code = kindOf(item.kind).left;
        if (code === 'left-applied') return [owner.normal];
        if (code !== 'control-not-returned') return undefined;
        return [...(plan.start.find(each => each.slot === slot)?.states ?? []), owner.normal];
    };
}

function notAsOwed(machine: Machine, state: PathState, way: Way, owes: Owes): readonly Left[] {
    const left: Left[] = [];
    for (const [slot, facts] of state.facts.entries()) {
        const owed = facts && owes(slot);
        if (!facts || !owed) continue;
        const wrong = facts.filter(each => !owed.includes(each.state));
        const first = wrong[0];
        const code = codeOf(machine, slot);
        if (!first || !code) continue;
        const owner = machine.slots[slot] as Machine['slots'][number];
        left.push({
            code,
            slot,
            item: owner.item,
            state: first.state,
            by: eventsOf(wrong),
            owed: owed.length === 1 ? (owed[0] as number) : owner.normal,
            way,
        });
    }
    return left;
}

/** What is taken off an item that has states of its own besides is left removed, whatever it is. */
function codeOf(machine: Machine, slot: number): string | undefined {
    const owner = machine.slots[slot];
    const kind = kindOf(machine.items[owner?.item ?? NONE]?.kind ?? 'mark');
    return owner?.kind === 'presence' && !kind.isPresence ? 'left-removed' : kind.left;
}

function eventsOf(facts: readonly Fact[]): readonly number[] {
    return [...new Set(facts.flatMap(each => each.by))].sort((a, b) => a - b);
}

function notFinished(state: PathState, way: Way, finish: readonly Setting[]): readonly Left[] {
    return finish.flatMap((setting): Left[] => {
        const facts = state.facts[setting.slot];
        const wrong = facts?.find(each => !setting.states.includes(each.state));
        if (!facts || !wrong) return [];
        const by = byOfState(state, setting.slot, wrong.state);
        return [
            {
                code: 'finish-not-reached',
                slot: setting.slot,
                item: setting.item,
                state: wrong.state,
                by,
                owed: setting.states[0] ?? 0,
                way,
                setting,
            },
        ];
    });
}

/** Pulled without a tag. At the end only what may stay pulled: the rest is left behind, with or without. */
function untagged(machine: Machine, state: PathState, way: Way, allowed: Owes | undefined): readonly Left[] {
    return machine.items.flatMap((item, index): Left[] => {
        if (item.kind !== 'breaker') return [];
        const pulled = item.states.indexOf('PULLED');
        const facts: Facts = state.facts[item.slot] ?? [];
        if (allowed && !allowed(item.slot)?.includes(pulled)) return [];
        // What was pulled before the card began is tagged by whoever pulled it.
        const bare = facts.filter(
            each =>
                each.state === pulled &&
                !each.tagged &&
                !(each.by.every(by => by === NONE) && each.tagBy.every(by => by === NONE)),
        );
        if (bare.length === 0) return [];
        return [
            {
                code: 'untagged-at-stop',
                slot: item.slot,
                item: index,
                state: pulled,
                by: eventsOf(bare),
                owed: pulled,
                way,
            },
        ];
    });
}

/**
 * Where what moves by itself rests at the end, and where it rested under `start with`: from the plain runs and those through blocks that no plain run
 * takes, run on until nothing moves. Where the card leaves for another: where it rests as that one starts.
 */
function movedAway(card: Judged, left: readonly Left[]): readonly Left[] {
    const { machine, plan } = card;
    const found = new Map<string, Left>();
    for (const { sim, event } of ends(card)) {
        const rested = restedAt(card, event);
        if (!rested) continue;
        sim.runOut();
        const way: Way =
            event.kind === 'leave-for'
                ? { kind: 'leave-for', event, card: event.card }
                : { kind: 'end', event, card: plan.card };
        const blamed = new Set(left.filter(each => each.way.event === event).flatMap(each => each.by));
        for (const [index, item] of machine.items.entries()) {
            const key = `${event.id} ${index}`;
            if ((item.nature !== 'moved' && item.nature !== 'shown') || found.has(key)) continue;
            const rests = sim.cells[item.slot] as number;
            const setting = way.kind === 'end' ? plan.finish.find(each => each.slot === item.slot) : undefined;
            const by = [sim.lastOf([item.slot])?.root ?? NONE];
            if (setting) {
                if (setting.states.includes(rests)) continue;
                found.set(key, {
                    code: 'finish-not-reached',
                    slot: item.slot,
                    item: index,
                    state: rests,
                    by,
                    owed: setting.states[0] ?? 0,
                    way,
                    setting,
                });
                continue;
            }
            if (item.nature !== 'moved' || kindOf(item.kind).left !== 'left-moved') continue;
            const given = startAt(plan, event).find(each => each.slot === item.slot);
            const owed = given && given.states.length > 1 ? item.normal : (rested.cells[item.slot] as number);
            // What has been told of the cause is not told of what followed from it.
            if (rests === owed || by.some(each => blamed.has(each))) continue;
            found.set(key, { code: 'left-moved', slot: item.slot, item: index, state: rests, by, owed, way });
        }
    }
    return [...found.values()];
}

const startAt = (plan: Plan, event: Event): readonly Setting[] =>
    event.kind === 'leave-for' ? event.start : plan.start;

/** The machine at rest as it is owed there: under `start with`, then `finish with`; under the other card's `start with`. */
function restedAt({ machine, plan }: Judged, event: Event): Simulator | undefined {
    const start = startAt(plan, event);
    const choice = start.map(each => Math.max(0, each.states.indexOf(machine.slots[each.slot]?.normal ?? 0)));
    const reference = atStart(machine, { ...plan, start }, 'slowest', choice);
    for (const each of event.kind === 'end' ? plan.finish : []) {
        const state = each.states[0];
        if (state !== undefined && isOperated(machine, each.slot)) reference?.operate(each.slot, state);
    }
    reference?.runOut();
    return reference;
}

interface End {
    readonly sim: Simulator;
    readonly event: Extract<Event, { kind: 'end' | 'leave-for' }>;
}

/** The machine at each way out of the runs that owes something of what moves: the end, and where another card goes on. */
function ends({ plan, runs, traces }: Judged): readonly End[] {
    const found: End[] = [];
    const add = (sim: Simulator | undefined, id: number | undefined): void => {
        const event = plan.events[id ?? NONE];
        if (sim && (event?.kind === 'end' || event?.kind === 'leave-for')) found.push({ sim, event });
    };
    const slowest = traces.plain.filter(each => each.speed === 'slowest');
    for (const [n, trace] of slowest.entries()) {
        const last = trace.visits.at(-1)?.event ?? NONE;
        if (trace.end === 'end' || trace.end === 'leave-for')
            add(runs.checkpointsAt(new Set([last]), n).get(last), last);
    }
    const tried = new Set<string>();
    for (const [n, trace] of traces.forced.entries()) {
        const sim = runs.forcedEnds[n]?.clone();
        if (!sim || trace.speed !== 'slowest') continue;
        const plain = slowest.find(each => each.choice.join() === trace.choice.join());
        if (trace.end === 'arm-end') add(sim, plain && goneOn(plan, plain, sim, trace.next, tried));
        else add(sim, trace.visits.at(-1)?.event);
    }
    return found;
}

/**
 * The card performed on behind a block, to the event at its end; undefined where it ends otherwise, or is soon as on the plain way again, or as
 * behind another block.
 */
function goneOn(plan: Plan, plain: Trace, sim: Simulator, from: number, tried: Set<string>): number | undefined {
    const there = new Map(plain.visits.map(visit => [visit.event, visit]));
    for (let at = from; at !== NONE && !sim.notes.stuck; ) {
        const event = plan.events[at] as Event;
        const visit = there.get(at);
        if (visit && !sim.isMoving && visit.moving.length === 0) {
            if (visit.before.length > 0 && Array.from(visit.before).every((state, slot) => sim.cells[slot] === state))
                return undefined;
            const key = `${at} ${sim.cells.join()}`;
            if (tried.has(key)) return undefined;
            tried.add(key);
        }
        if (event.kind === 'end' || event.kind === 'leave-for') return at;
        const met = perform(sim, event);
        if (event.kind === 'look' && met === false && event.other === NONE) return undefined;
        at = met === false && event.other !== NONE ? event.other : event.next;
    }
    return undefined;
}

/** Whether the state is the only one possible: for the choice of words. */
export function isSure(state: PathState | undefined, slot: number, wanted: number): boolean {
    return surely(state?.facts[slot], wanted);
}
