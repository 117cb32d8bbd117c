/** What is not as the card found it at a place of its text, and where the card can be left from there. Plain data. */
import type { Span } from '../../findings/finding.js';
import { roleName, thing } from '../../findings/phrases.js';
import { type Machine, NONE } from '../../machine/machine.js';
import { waysOut } from '../../paths/find.js';
import type { Fact, PathState, Paths } from '../../paths/paths.js';
import type { Call, Event, Plan } from '../../plan/plan.js';
import { openAt } from '../finished-card/index.js';

/** One thing that is, or may be, otherwise than the card found it. */
export interface OpenThing {
    readonly name: string;
    readonly label: string;
    /** "PULLED", or several where paths differ. */
    readonly now: readonly string[];
    readonly asFound: readonly string[];
    /** It is so on some paths only. */
    readonly perhaps: boolean;
    readonly tagged: 'yes' | 'no' | 'perhaps' | 'not a thing with a tag';
    readonly by: readonly OpenBy[];
}

/** Who made it so, and where that is written. */
export interface OpenBy {
    readonly role: string;
    /** "pull", "set"; "became wet" for what a joint did. */
    readonly did: string;
    readonly span: Span;
    /** Outermost first. */
    readonly calls: readonly { readonly name: string; readonly span: Span }[];
}

export interface OpenPlace {
    /** The label of the place; "" for things that are at none. */
    readonly place: string;
    readonly things: readonly OpenThing[];
}

/** A way out that the card can still come to. */
export interface WayOut {
    readonly kind: 'end' | 'stop' | 'leave-for' | 'failed-look';
    /** "The card ends", "Stop: The valve is not isolated." */
    readonly says: string;
    readonly span: Span;
    /** What is open there, as the end of a sentence; "" where all is as found. */
    readonly leaves: string;
}

export interface OpenHere {
    /** The event at the cursor: what is told is how things stand once it is done. */
    readonly event: number;
    readonly span: Span;
    readonly step: string;
    /** Where the line stands in a subtask or a loop: one entry for each call, and which of them is told of. */
    readonly calls: readonly { readonly says: string; readonly event: number }[];
    readonly chosen: number;
    /** The sentence at the top: "6 things are not as found." */
    readonly says: string;
    readonly count: number;
    readonly places: readonly OpenPlace[];
    readonly waysOut: readonly WayOut[];
}

/** What is asked of a card: no more than these parts of what was computed about it. */
export interface Asked {
    readonly machine: Machine;
    readonly plan: Plan;
    readonly paths: Paths;
}

/**
 * How things stand behind the last event at or before a place of a file; undefined where the place belongs to no event of the card, or no path leads there.
 * `call`: which of the calls of a subtask is meant, by its number in `calls`; the first where it is left out.
 */
export function openHere(
    { machine, plan, paths }: Asked,
    file: string,
    offset: number,
    call = 0,
): OpenHere | undefined {
    const here = eventsAt(plan, paths, file, offset);
    const event = here[Math.min(call, here.length - 1)];
    if (!event) return undefined;
    const state = stateBehind(plan, paths, event);
    if (!state) return undefined;
    const places = byPlace(machine, plan, state);
    const count = places.reduce((sum, each) => sum + each.things.length, 0);
    const step = plan.steps[event.step];
    return {
        event: event.id,
        span: event.span,
        step: step ? `${step.number} ${step.label}` : '',
        calls: event.calls.length > 0 ? here.map(each => ({ says: callSaid(each.calls), event: each.id })) : [],
        chosen: event.calls.length > 0 ? here.indexOf(event) : 0,
        says: counted(count),
        count,
        places,
        waysOut: reachableFrom(plan, event).map(way => wayOut(way, plan, machine, paths)),
    };
}

function counted(count: number): string {
    if (count === 0) return 'Everything is as found.';
    return count === 1 ? '1 thing is not as found.' : `${count} things are not as found.`;
}

/** First passes of the statement that the place lies in, or else of the last one before it in the same block of text, once for each call. */
function eventsAt(plan: Plan, paths: Paths, file: string, offset: number): readonly Event[] {
    const real = plan.events.filter(
        each =>
            each.pass === 0 &&
            paths.at[each.id] !== undefined &&
            each.kind !== 'join' &&
            each.kind !== 'end' &&
            each.statement.file === file &&
            each.statement.offset <= offset,
    );
    if (real.length === 0) return [];
    const last = real.reduce((one, two) => (two.statement.offset >= one.statement.offset ? two : one));
    const same = real.filter(
        each => each.statement.offset === last.statement.offset && each.statement.end === last.statement.end,
    );
    // Of a statement that makes several events the last one of each call.
    const byCall = new Map<string, Event>();
    for (const each of same) byCall.set(each.calls.map(call => `${call.span.offset} ${call.name}`).join('/'), each);
    return [...byCall.values()];
}

const callSaid = (calls: readonly Call[]): string =>
    calls.map(each => `${each.name}, called at line ${each.span.line}`).join(', in ');

/** The state once the event is done. */
function stateBehind(plan: Plan, paths: Paths, event: Event): PathState | undefined {
    for (let at: Event | undefined = event; at; at = plan.events[at.next]) {
        if (at.next === NONE) return paths.at[at.id];
        const next = paths.at[at.next];
        if (next) return next;
        if (at.next <= at.id) return undefined;
    }
    return paths.at[event.id];
}

function byPlace(machine: Machine, plan: Plan, state: PathState): readonly OpenPlace[] {
    const groups = new Map<number, OpenThing[]>();
    for (const [n, item] of machine.items.entries()) {
        const thing = openThing(machine, plan, state, n);
        if (!thing) continue;
        const known = groups.get(item.place);
        if (known) known.push(thing);
        else groups.set(item.place, [thing]);
    }
    return [...groups]
        .sort(([one], [two]) => one - two)
        .map(([place, things]) => ({ place: machine.places[place]?.label ?? '', things }));
}

function openThing(machine: Machine, plan: Plan, state: PathState, index: number): OpenThing | undefined {
    const item = machine.items[index];
    if (!item) return undefined;
    const now: string[] = [];
    const found: string[] = [];
    const causes: Fact[] = [];
    let perhaps = false;
    for (const slot of new Set([item.presence, item.slot])) {
        const facts = state.facts[slot] ?? [];
        const owed = asFound(machine, plan, slot);
        const open = facts.filter(fact => !owed.includes(fact.state));
        if (open.length === 0) continue;
        const states = machine.slots[slot]?.states ?? [];
        now.push(...open.map(fact => states[fact.state] ?? 'between its positions'));
        found.push(...owed.map(each => states[each] ?? ''));
        if (open.length < facts.length) perhaps = true;
        causes.push(...open);
    }
    const facts = item.tag === NONE ? [] : (state.facts[item.slot] ?? []);
    const asked = causes.length > 0 ? causes : facts;
    const hung = asked.filter(fact => fact.tagged);
    if (now.length === 0 && hung.length === 0) return undefined;
    if (now.length === 0) {
        now.push('tagged');
        found.push('no tag');
        causes.push(...hung.map(fact => ({ ...fact, by: fact.tagBy })));
        perhaps = hung.length < asked.length;
    }
    return {
        name: item.name,
        label: item.label,
        now: [...new Set(now)],
        asFound: [...new Set(found)],
        perhaps,
        tagged:
            item.tag === NONE
                ? 'not a thing with a tag'
                : hung.length === 0
                  ? 'no'
                  : hung.length < asked.length
                    ? 'perhaps'
                    : 'yes',
        by: madeSo(plan, machine, index, causes),
    };
}

function asFound(machine: Machine, plan: Plan, slot: number): readonly number[] {
    const given = plan.start.find(setting => setting.slot === slot)?.states;
    // Where the card must find out, what it found is not what it owes: the normal state is.
    return given?.length === 1 ? given : [machine.slots[slot]?.normal ?? 0];
}

function madeSo(plan: Plan, machine: Machine, item: number, causes: readonly Fact[]): readonly OpenBy[] {
    const events = new Set(causes.flatMap(fact => fact.by).filter(each => each !== NONE));
    const wet = machine.items[item]?.nature === 'wetted';
    return [...events].flatMap(id => {
        const event = plan.events[id];
        if (!event) return [];
        return [
            {
                role: event.role === NONE ? '' : roleName(plan, event.role),
                did: wet
                    ? 'became wet'
                    : 'verb' in event
                      ? String(event.verb)
                      : event.kind.replace(/-(start|end)$/, ''),
                span: event.span,
                calls: event.calls.map(({ name, span }) => ({ name, span })),
            },
        ];
    });
}

/** The ways out that some path from an event leads to, looks without `else` among them. */
function reachableFrom(plan: Plan, from: Event): readonly Event[] {
    const out = new Set(waysOut(plan).map(each => each.id));
    const seen = new Set<number>();
    const queue = [from.id];
    const found: Event[] = [];
    for (let id = queue.pop(); id !== undefined; id = queue.pop()) {
        const event = plan.events[id];
        if (!event || seen.has(id)) continue;
        seen.add(id);
        if (out.has(id) || (event.kind === 'look' && !event.hasElse && id !== from.id)) found.push(event);
        for (const next of [event.next, event.other]) if (next !== NONE) queue.push(next);
    }
    const once = new Map(found.map(each => [`${each.span.file} ${each.span.offset}`, each]));
    return [...once.values()].sort((one, two) => one.id - two.id);
}

function wayOut(event: Event, plan: Plan, machine: Machine, paths: Paths): WayOut {
    const leaves = openAt(event.id, plan, machine, paths, event.kind === 'end' ? plan.finish : []);
    const common = { span: event.kind === 'end' ? plan.span : event.span, leaves };
    switch (event.kind) {
        case 'stop':
            return { ...common, kind: 'stop', says: `Stop: ${event.text}` };
        case 'leave-for':
            return { ...common, kind: 'leave-for', says: `Leave for ${event.card}` };
        case 'look':
            return { ...common, kind: 'failed-look', says: lookSaid(machine, event) };
        default:
            return { ...common, kind: 'end', says: 'The card ends' };
    }
}

/** "If WITNESS (position mark) is not ACROSS": the card says nothing about that. */
function lookSaid(machine: Machine, event: Event): string {
    const state = event.kind === 'look' ? machine.slots[event.slot]?.states[event.state] : undefined;
    return `If ${thing(machine, event.item)} is not ${state ?? 'as written'}`;
}
