import type { Condition } from '../conditions/condition.js';
import { type Machine, NONE, type Rule, type Trigger } from '../machine/machine.js';
import { CAN_HOLD, evaluate } from '../paths/evaluate.js';
import { type Broken, brokenParts } from '../paths/judge.js';
import { isOfActions } from '../paths/live.js';
import type { PathState } from '../paths/paths.js';
import { isIn } from '../paths/places.js';
import { atomsOf, handsOn, isHandsOn, movementRules, ruleBook, rulesOnAction, triggers } from '../paths/rules.js';
import { seenAt } from '../paths/runs.js';
import { afterAction } from '../paths/states.js';
import type { Event } from '../plan/plan.js';
import type { Trace } from '../trace/trace.js';
import type { Judged } from './check.js';

/** One part of one rule of the equipment that a card breaks. Which code it has is for the families to say. */
export interface Ruling {
    readonly rule: Rule;
    /** What comes under the rule: an action, the action at the root of a movement, the end of a test; for `while` and `never` the event whose causes broke it. */
    readonly event: Event;
    readonly how:
        | { readonly kind: 'action'; readonly trigger: Trigger }
        /** `start`: the event during which the movement starts. */
        | { readonly kind: 'movement'; readonly item: number; readonly start: Event }
        /** Hands on something that the rule speaks of while it moves. */
        | { readonly kind: 'moving'; readonly item: number }
        | { readonly kind: 'standing' }
        | { readonly kind: 'end-of-test'; readonly item: number };
    readonly broken: Broken;
}

const cache = new WeakMap<Judged, readonly Ruling[]>();

/** Every rule but those for tests and held controls, judged on every path and in every run; computed once a card. */
export function rulings(card: Judged): readonly Ruling[] {
    let found = cache.get(card);
    if (!found) {
        found = [
            ...onActions(card),
            ...onMovements(card),
            ...whileMoving(card),
            ...standing(card),
            ...endsOfTests(card),
        ];
        cache.set(card, found);
    }
    return found;
}

function onActions(card: Judged): readonly Ruling[] {
    const { machine, plan, paths } = card;
    const book = ruleBook(machine);
    const found: Ruling[] = [];
    for (const event of plan.events) {
        const state = paths.at[event.id];
        if (!state) continue;
        for (const n of rulesOnAction(book, event, state)) {
            const { rule, body } = book.before[n] as (typeof book.before)[number];
            const trigger = body.triggers.find(each => triggers(machine, each, event, state));
            if (!trigger) continue;
            for (const broken of brokenParts(card, body.require, { event: event.id, actor: event.role })) {
                found.push({ rule, event, how: { kind: 'action', trigger }, broken });
            }
        }
    }
    return found;
}

/** A movement is judged at the action that started it, and when it starts. */
function onMovements(card: Judged): readonly Ruling[] {
    const { machine, plan, traces } = card;
    const book = ruleBook(machine);
    const found = new Map<string, Ruling>();
    for (const { rule: n, start } of movementRules(book, plan, traces)) {
        const { rule, body } = book.before[n] as (typeof book.before)[number];
        const event = plan.events[start.root];
        const begins = plan.events[start.event];
        // What a failure alone has set going nobody has started.
        if (!event || !begins) continue;
        const at = [brokenParts(card, body.require, { event: event.id, actor: event.role })];
        if (begins !== event)
            at.push(brokenParts(card, body.require, { event: begins.id, actor: event.role, root: event.id }));
        for (const broken of at.flat()) {
            const key = `${n} ${event.id} ${start.item} ${broken.kind} ${JSON.stringify(broken.part)}`;
            if (!found.has(key))
                found.set(key, { rule, event, how: { kind: 'movement', item: start.item, start: begins }, broken });
        }
    }
    return [...found.values()];
}

/** A rule on something that moves also forbids hands-on work on it while it moves. */
function whileMoving(card: Judged): readonly Ruling[] {
    const { machine, plan, paths, traces } = card;
    const book = ruleBook(machine);
    const ruled = new Map<number, { rule: Rule; unit: number }[]>();
    for (const [item, { nature }] of machine.items.entries()) {
        if (nature !== 'moved') continue;
        for (const { rule, body } of book.before) {
            const trigger = body.triggers.find(each => isIn(machine, item, each.item));
            if (trigger) ruled.set(item, [...(ruled.get(item) ?? []), { rule, unit: trigger.item }]);
        }
    }
    if (ruled.size === 0) return [];
    const found: Ruling[] = [];
    for (const event of plan.events) {
        const state = paths.at[event.id];
        const hands = handsOn(event);
        if (!state || hands.length === 0 || !isHandsOn(event, state)) continue;
        const moving = new Set(
            seenAt(plan, traces, event.id).flatMap(({ visit }) => visit.moving.map(each => each.item)),
        );
        for (const item of moving) {
            const rule = ruled.get(item)?.find(each => hands.some(hand => isIn(machine, hand, each.unit)))?.rule;
            if (rule) found.push({ rule, event, how: { kind: 'moving', item }, broken: inState(machine, item) });
        }
    }
    return found;
}

function inState(machine: Machine, item: number): Broken {
    const part: Condition = { op: 'is', item, slot: machine.items[item]?.slot ?? NONE, state: NONE, contact: false };
    return { kind: 'state', part, atom: part, guaranteed: 0, asked: 0, found: NONE, by: [] };
}

/** `while` and `never`: blamed once, at the event whose causes broke it. */
function standing(card: Judged): readonly Ruling[] {
    const found = new Map<string, Ruling>();
    for (const rule of card.machine.rules) {
        const { body } = rule;
        if (body.kind !== 'while' && body.kind !== 'never') continue;
        const bad: Condition =
            body.kind === 'never' ? body.never : { op: 'and', of: [body.when, { op: 'not', of: body.require }] };
        const required = body.kind === 'while' ? body.require : body.never;
        const add = (event: Event | undefined, at: number): void => {
            if (!event || found.has(`${rule.name} ${event.id}`)) return;
            const [part] = body.kind === 'while' ? brokenParts(card, body.require, { event: at, actor: NONE }) : [];
            const none: Broken = {
                kind: 'state',
                part: required,
                atom: required,
                guaranteed: 0,
                asked: 0,
                found: NONE,
                by: [],
            };
            found.set(`${rule.name} ${event.id}`, { rule, event, how: { kind: 'standing' }, broken: part ?? none });
        };
        if (isOfActions(card.machine, bad)) onPaths(card, bad, add);
        else
            for (const trace of [...card.traces.plain, ...card.traces.forced, ...card.traces.inArms])
                inRun(card, bad, trace, add);
    }
    return [...found.values()];
}

type Add = (blamed: Event | undefined, at: number) => void;

function onPaths(card: Judged, bad: Condition, add: Add): void {
    const { machine, plan, paths } = card;
    const holds = plan.events.map(event => {
        const state = paths.at[event.id];
        return state !== undefined && (evaluate(machine, bad, { state }) & CAN_HOLD) !== 0;
    });
    const soundBefore = new Map<number, Event[]>();
    for (const event of plan.events) {
        for (const next of event.next === event.other ? [event.next] : [event.next, event.other]) {
            if (next === NONE || !holds[next] || holds[event.id]) continue;
            soundBefore.set(next, [...(soundBefore.get(next) ?? []), event]);
        }
    }
    // What is so only while a button is held shows neither before nor after it.
    for (const event of plan.events) {
        const state = paths.at[event.id];
        if (event.kind !== 'press' || !state || holds[event.id]) continue;
        const pressed = afterAction(machine, state, event);
        if ((evaluate(machine, bad, { state: pressed }) & CAN_HOLD) !== 0) add(event, event.id);
    }
    for (const event of plan.events) {
        if (!holds[event.id]) continue;
        if (event.id === 0) add(event, 0);
        const sound = soundBefore.get(event.id) ?? [];
        for (const before of sound) {
            const acts = before.role !== NONE || before.kind === 'keep-end' || before.guaranteed > 0;
            // Where ways meet nobody acts: then what brought it about lies further back.
            const state = paths.at[event.id] as PathState;
            add(acts ? before : (plan.events[latestCause(state, bad)] ?? before), event.id);
        }
    }
}

function latestCause(state: PathState, condition: Condition): number {
    let latest = NONE;
    for (const atom of atomsOf(condition)) {
        if (atom.op !== 'is' && atom.op !== 'held') continue;
        for (const fact of state.facts[atom.slot] ?? []) for (const by of fact.by) latest = Math.max(latest, by);
    }
    return latest;
}

function inRun(card: Judged, bad: Condition, trace: Trace, add: Add): void {
    const { machine, plan, paths } = card;
    const slots = slotsRead(machine, bad);
    let holds: boolean | undefined;
    for (const visit of trace.visits) {
        const state = paths.at[visit.event];
        if (!state) continue;
        const test = (vector: ArrayLike<number>): boolean =>
            (evaluate(machine, bad, { state, seen: { trace, visit }, vector }) & CAN_HOLD) !== 0;
        if (holds === undefined) {
            holds = test(visit.before);
            if (holds && trace.kind === 'plain') add(plan.events[visit.event], visit.event);
        }
        const touched = trace.changes.slice(visit.firstChange, visit.lastChange).some(each => slots.has(each.slot));
        if (!touched) continue;
        const vector = Array.from(visit.before);
        for (let n = visit.firstChange; n < visit.lastChange; n++) {
            const change = trace.changes[n] as Trace['changes'][number];
            vector[change.slot] = change.to;
            const next = trace.changes[n + 1];
            // What happens at one instant is looked at when it is over.
            if (n + 1 < visit.lastChange && next?.time === change.time) continue;
            const now = test(vector);
            if (now && !holds) {
                let root = change.root;
                for (let back = n; back >= visit.firstChange; back--) {
                    const each = trace.changes[back];
                    if (!each || each.time !== change.time) break;
                    if (slots.has(each.slot)) {
                        root = each.root;
                        break;
                    }
                }
                add(plan.events[root], visit.event);
            }
            holds = now;
        }
    }
}

/** The slots that decide whether the condition holds, as far as it names them. */
function slotsRead(machine: Machine, condition: Condition): ReadonlySet<number> {
    const slots = new Set<number>();
    for (const atom of atomsOf(condition)) {
        if (atom.op === 'is' || atom.op === 'held') slots.add(atom.slot);
        if (atom.op === 'live') slots.add(machine.items[atom.item]?.slot ?? NONE);
    }
    return slots;
}

function endsOfTests(card: Judged): readonly Ruling[] {
    const { machine, plan, paths } = card;
    const found: Ruling[] = [];
    for (const event of plan.events) {
        const step = plan.steps[event.step];
        if (event.kind !== 'step-end' || step?.kind !== 'test' || !paths.at[event.id]) continue;
        for (const rule of machine.rules) {
            const { body } = rule;
            if (body.kind !== 'end-of-test' || !step.of.some(each => isIn(machine, body.item, each))) continue;
            for (const broken of brokenParts(card, body.require, { event: event.id, actor: NONE })) {
                found.push({ rule, event, how: { kind: 'end-of-test', item: body.item }, broken });
            }
        }
    }
    return found;
}

/** What the ruling is about, by name: the thing acted on and the thing that is not as it should be. */
export function aboutOf(card: Judged, ruling: Ruling): readonly string[] {
    const { machine } = card;
    const { how, broken, event } = ruling;
    const items = [
        how.kind === 'action' ? how.trigger.item : 'item' in how ? how.item : event.item,
        'item' in broken.atom ? broken.atom.item : NONE,
    ];
    return [...new Set(items.flatMap(each => (each === NONE ? [] : [machine.items[each]?.name ?? ''])))];
}

/** The event in which the first cause of a broken part lies: what brought the thing to where it is, else what never changed it. */
export function causeOf(card: Judged, broken: Broken): string {
    const last = broken.by.filter(each => each !== NONE).at(-1);
    const item = 'item' in broken.atom ? broken.atom.item : JSON.stringify(broken.part);
    return last === undefined ? `start ${item}` : `${item} ${card.plan.events[last]?.key}`;
}
