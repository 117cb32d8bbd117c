import { type Machine, NONE } from '../../machine/machine.js';
import { surely } from '../../paths/facts.js';
import { byOfState } from '../../paths/judge.js';
import type { Fact, Facts, PathState } from '../../paths/paths.js';
import { isOperated } from '../../paths/states.js';
import type { Event, Plan, Setting } from '../../plan/plan.js';
import { atStart } from '../../trace/run.js';
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
                    return (
                        done.start.find(each => each.slot === slot)?.states ??
                        begin.facts[slot]?.map(each => each.state)
                    );
                }),
                ...notFinished(state, way, done.finish),
            );
        }
    }
    const blamed = new Set(left.filter(each => each.way.kind === 'end').flatMap(each => each.by));
    left.push(...movedAway(card, blamed));
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

/** Where what moves by itself rests at the end, and where it rested under `start with`: from the plain runs, run on until nothing moves. */
function movedAway(card: Judged, blamed: ReadonlySet<number>): readonly Left[] {
    const { machine, plan, runs, traces } = card;
    const end = plan.events.find(each => each.kind === 'end');
    if (!end) return [];
    const slowest = traces.plain.filter(each => each.speed === 'slowest');
    const found = new Map<number, Left>();
    const choice = plan.start.map(each => Math.max(0, each.states.indexOf(machine.slots[each.slot]?.normal ?? 0)));
    const reference = atStart(machine, plan, 'slowest', choice);
    // Where it rests under `start with`, then `finish with`.
    for (const each of plan.finish) {
        const state = each.states[0];
        if (state !== undefined && isOperated(machine, each.slot)) reference?.operate(each.slot, state);
    }
    reference?.runOut();
    for (const [n, trace] of slowest.entries()) {
        if (trace.end !== 'end' || !reference) continue;
        const sim = runs.checkpointsAt(new Set([end.id]), n).get(end.id);
        if (!sim) continue;
        sim.runOut();
        for (const [index, item] of machine.items.entries()) {
            if (item.nature !== 'moved' && item.nature !== 'shown') continue;
            const rests = sim.cells[item.slot] as number;
            const setting = plan.finish.find(each => each.slot === item.slot);
            const by = [sim.lastOf([item.slot])?.root ?? NONE];
            const way: Way = { kind: 'end', event: end, card: plan.card };
            if (setting) {
                if (setting.states.includes(rests) || found.has(index)) continue;
                found.set(index, {
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
            if (item.nature !== 'moved' || kindOf(item.kind).left !== 'left-moved' || found.has(index)) continue;
            const given = plan.start.find(each => each.slot === item.slot);
            const owed = given && given.states.length > 1 ? item.normal : (reference.cells[item.slot] as number);
            // What has been told of the cause is not told of what followed from it.
            if (rests === owed || by.some(each => blamed.has(each))) continue;
            found.set(index, { code: 'left-moved', slot: item.slot, item: index, state: rests, by, owed, way });
        }
    }
    return [...found.values()];
}

/** Whether the state is the only one possible: for the choice of words. */
export function isSure(state: PathState | undefined, slot: number, wanted: number): boolean {
    return surely(state?.facts[slot], wanted);
}
