import type { Condition } from '../../conditions/condition.js';
import type { Finding, Fix, Related } from '../../findings/finding.js';
import {
    calledFrom,
    changedAt,
    changedHere,
    didWhat,
    lineOf,
    placeName,
    roleName,
    ruleSays,
    thing,
    things,
} from '../../findings/phrases.js';
import { type Machine, NONE } from '../../machine/machine.js';
import { mayBeLive } from '../../paths/evaluate.js';
import { brokenParts } from '../../paths/judge.js';
import { isOfActions } from '../../paths/live.js';
import type { PathState } from '../../paths/paths.js';
import { isIn, liesIn, onStates, unitsOf } from '../../paths/places.js';
import { seenAt, seenWholeAt } from '../../paths/runs.js';
import type { Event } from '../../plan/plan.js';
import { restsOn } from '../../trace/hindered.js';
import { kindOf } from '../../vocabulary/kinds/index.js';
import { upperFirst } from '../../vocabulary/sentences.js';
import type { Judged } from '../check.js';
import { fix, moveAfter, written } from '../edits.js';
import { leftBehind } from '../left-behind/ways-out.js';
import { fedThrough } from './live-work.js';

/** Something that the card has taken off, parted or opened and not put back yet. */
interface Off {
    readonly item: number;
    readonly slot: number;
    readonly state: number;
    /** The events that may have brought it there. */
    readonly by: readonly number[];
}

const WORKS: ReadonlySet<string> = new Set(['CONNECTED', 'INSTALLED', 'CLOSED']);

/** What may be off at a moment, among these: other than as the card began, and other than is normal. A breaker is no open work. */
function offAmong(card: Judged, state: PathState, among: (item: number) => boolean): readonly Off[] {
    const { machine } = card;
    const missed = new Set(leftBehind(card).map(each => each.slot));
    return machine.items.flatMap((item, n) => {
        if (item.kind === 'breaker' || !among(n)) return [];
        return onStates(machine, n).flatMap(({ slot, state: on }): Off[] => {
            const owner = machine.slots[slot];
            // What never comes back is told of as such.
            if (!owner || owner.normal !== on || !WORKS.has(owner.states[on] ?? '') || missed.has(slot)) return [];
            const facts = state.facts[slot]?.filter(each => each.state !== on) ?? [];
            const by = [...new Set(facts.flatMap(each => each.by))].filter(each => each !== NONE);
            return by.length > 0 ? [{ item: n, slot, state: (facts[0] as { state: number }).state, by }] : [];
        });
    });
}

/** What `work on` asked for stops being so while something of the thing is still off. */
export function isolationLost(card: Judged): readonly Finding[] {
    const found: Finding[] = [];
    for (const { event, rule, off } of losses(card)) {
        const { machine, plan } = card;
        found.push({
            code: 'isolation-lost',
            severity: 'error',
            span: event.span,
            card: plan.card,
            about: [machine.items[event.item]?.name ?? '', ...off.map(each => machine.items[each.item]?.name ?? '')],
            message: `${thing(machine, event.item)} is ${didWhat(event)} while ${stillOff(machine, off)}, and work there asks that ${rule.says}.${changedAt(plan, off[0]?.by ?? [])}${rule.because ? ruleSays(rule) : ''}`,
            related: [...relatedTo(card, event, off), { span: rule.span, message: `Rule ${rule.name} stands here` }],
            fixes: later(card, event, off),
            cause: `${event.key}`,
        });
    }
    return found;
}

interface Loss {
    readonly event: Event;
    readonly rule: Judged['machine']['rules'][number];
    readonly off: readonly Off[];
}

const known = new WeakMap<Judged, readonly Loss[]>();

function losses(card: Judged): readonly Loss[] {
    let found = known.get(card);
    if (!found) {
        found = findLosses(card);
        known.set(card, found);
    }
    return found;
}

function findLosses(card: Judged): readonly Loss[] {
    const { machine, plan, paths } = card;
    const found: Loss[] = [];
    for (const rule of machine.rules) {
        const { body } = rule;
        if (body.kind !== 'before') continue;
        for (const trigger of body.triggers) {
            if (trigger.kind !== 'work') continue;
            for (const event of plan.events) {
                const state = paths.at[event.id];
                const next = paths.at[event.next];
                if (!state || !next || !isActing(event)) continue;
                const off = offAmong(card, state, item => isIn(machine, item, trigger.item)).filter(
                    each => each.slot !== event.slot,
                );
                if (off.length === 0 || lacks(card, body.require, event.id).length > 0) continue;
                if (lacks(card, body.require, event.next).some(each => each.by.includes(event.id)))
                    found.push({ event, rule, off });
            }
        }
    }
    return found;
}

type Acting = Extract<Event, { kind: 'operate' | 'keep-start' | 'press' }>;
const isActing = (event: Event): event is Acting =>
    event.kind === 'operate' || event.kind === 'keep-start' || event.kind === 'press';

/** The states that are asked for and are not so; whether people have been told is another matter. */
function lacks(card: Judged, require: Condition, event: number) {
    return brokenParts(card, require, { event, actor: NONE }).filter(each => each.kind === 'state');
}

/** Power, pressure or a cover comes back while something behind or downstream is off, or somebody is behind the cover. */
export function closedWithWorkOpen(card: Judged): readonly Finding[] {
    const { plan, paths } = card;
    const found: Finding[] = [];
    const told = new Set(losses(card).map(each => each.event));
    for (const event of plan.events) {
        const state = paths.at[event.id];
        const next = paths.at[event.next];
        if (!state || !next || !isActing(event)) continue;
        const covered = event.kind === 'operate' ? behindCover(card, event, state) : undefined;
        if (covered) found.push(covered);
        if (told.has(event)) continue;
        const powered = powerOn(card, event, state, next) ?? pressureOn(card, event, state, next);
        if (powered) found.push(powered);
    }
    return [...found, ...pressureInRuns(card, told)];
}

/** A cover is put over a place where something is off, or somebody is. */
function behindCover(card: Judged, event: Extract<Event, { kind: 'operate' }>, state: PathState): Finding | undefined {
    const { machine, plan } = card;
    const covers = machine.places.flatMap((place, n) => (place.behind.includes(event.item) ? [n] : []));
    const on = onStates(machine, event.item).some(each => each.slot === event.slot && each.state === event.state);
    if (!on || covers.length === 0 || !state.facts[event.slot]?.some(each => each.state !== event.state))
        return undefined;
    const isBehind = (place: number): boolean => covers.some(each => liesIn(machine, place, each));
    const off = offAmong(card, state, item => item !== event.item && isBehind(machine.items[item]?.place ?? NONE));
    const covered = thing(machine, event.item);
    if (off.length > 0)
        return finding(
            card,
            event,
            off,
            `${covered} is ${didWhat(event)}, and behind it ${stillOff(machine, off)}.`,
            'Put it back first.',
        );
    const role = state.stands.findIndex(
        (places, n) => n !== event.role && [...places].some(each => each !== NONE && isBehind(each)),
    );
    if (role < 0) return undefined;
    const place = [...(state.stands[role] ?? [])].find(each => each !== NONE && isBehind(each)) ?? NONE;
    return {
        ...finding(
            card,
            event,
            [],
            `${covered} is ${didWhat(event)} while the ${roleName(plan, role).toLowerCase()} may still be behind it, at ${placeName(machine, place)}.`,
            `Let everybody leave first.`,
        ),
        cause: `${event.key} people`,
    };
}

/** A breaker, a control or a lead gives power back to something that is off. */
function powerOn(card: Judged, event: Acting, state: PathState, next: PathState): Finding | undefined {
    const { machine, plan, traces } = card;
    const kind = machine.items[event.item]?.kind;
    if (kind !== 'breaker' && kind !== 'control' && kind !== 'lead' && kind !== 'button') return undefined;
    const users = machine.items.flatMap((item, n) =>
        (item.kind === 'motor' || item.kind === 'plug') && item.feeds.length > 0 ? [n] : [],
    );
    const before = seenAt(plan, traces, event.id);
    const after = seenAt(plan, traces, event.next);
    const off = users.flatMap(user => {
        const all = offAmong(
            card,
            state,
            item => item !== user && (reaches(machine, user, item) || isIn(machine, user, item)),
        ).filter(each => !isPartOfTest(card, event, each));
        // A plug that is parted is live although what it fed is out of the aircraft.
        const items = all.map(each => each.item);
        const comes =
            all.length > 0 &&
            fedThrough(card, state, before, user, ...items) === NONE &&
            fedThrough(card, next, after, user, ...items) !== NONE;
        return comes ? all : [];
    });
    const open = [...new Map(off.map(each => [each.slot, each])).values()];
    if (open.length === 0) return undefined;
    return finding(
        card,
        event,
        open,
        `${thing(machine, event.item)} is ${didWhat(event)} and gives power to what is still open: ${stillOff(machine, open)}.`,
        'Put it back first.',
    );
}

const reaches = (machine: Machine, user: number, item: number): boolean =>
    machine.items[item]?.kind === 'connector' && restsOn(machine, user).includes(item);

/** A plug that the same test has parted, so that one of several is proved alone. */
function isPartOfTest({ machine, plan }: Judged, event: Event, off: Off): boolean {
    return (
        machine.items[off.item]?.kind === 'connector' &&
        plan.steps[event.step]?.kind === 'test' &&
        off.by.every(each => plan.events[each]?.step === event.step)
    );
}

/** By what it wets or not: every joint that holds back a source. */
function joints(machine: Machine): readonly { readonly item: number; readonly source: number }[] {
    return machine.items.flatMap((item, n) => (item.carries === NONE ? [] : [{ item: n, source: item.carries }]));
}

/** The joint, or a unit that it is in, is off. */
function openJoint(card: Judged, state: PathState, joint: number): readonly Off[] {
    const { machine } = card;
    const units = unitsOf(machine, joint);
    return offAmong(card, state, item => item === joint || units.includes(item));
}

/** Pressure that actions alone decide. */
function pressureOn(card: Judged, event: Acting, state: PathState, next: PathState): Finding | undefined {
    const { machine } = card;
    for (const { item, source } of joints(machine)) {
        if (!isOfActions(machine, { op: 'live', item: source })) continue;
        if (mayBeLive(machine, state, source, []) || !mayBeLive(machine, next, source, [])) continue;
        const off = openJoint(card, state, item).filter(each => !isOnPurpose(card, event, each, source));
        if (off.length > 0) return pressed(card, event, source, off);
    }
    return undefined;
}

/** Pressure that rests on what moves or shows by itself: as the runs have it, blamed on what set it going. */
function pressureInRuns(card: Judged, told: ReadonlySet<Event>): readonly Finding[] {
    const { machine, plan, paths, traces } = card;
    const found: Finding[] = [];
    const shut = joints(machine).filter(each => !isOfActions(machine, { op: 'live', item: each.source }));
    if (shut.length === 0) return found;
    for (const event of plan.events) {
        const state = paths.at[event.id];
        if (!state) continue;
        for (const { trace, visit } of seenWholeAt(plan, traces, event.id)) {
            for (const change of trace.changes.slice(visit.firstChange, visit.lastChange)) {
                const owner = machine.slots[change.slot];
                if (owner?.states[change.to] !== 'LIVE') continue;
                const root = plan.events[change.root];
                if (!root || told.has(root)) continue;
                for (const { item, source } of shut) {
                    if (source !== owner.item) continue;
                    const off = openJoint(card, state, item).filter(
                        each =>
                            each.slot !== ('slot' in root ? root.slot : NONE) && !isOnPurpose(card, root, each, source),
                    );
                    if (off.length > 0) found.push(pressed(card, root, source, off));
                }
            }
        }
    }
    return found;
}

function pressed(card: Judged, event: Event, source: number, off: readonly Off[]): Finding {
    const { machine } = card;
    return finding(
        card,
        event,
        off,
        `${thing(machine, event.item)} is ${didWhat(event)} and brings ${thing(machine, source)} back while ${stillOff(machine, off)}.`,
        'Put it back first.',
    );
}

/**
 * A port stands open on purpose where the card looks, before it is closed again, at something that asks for it to be open; or where one step opens it,
 * brings the pressure, takes it away again and closes it: so one bleeds and flushes.
 */
function isOnPurpose(card: Judged, event: Event, off: Off, source: number): boolean {
    const { machine, plan, paths, traces } = card;
    const kind = machine.items[off.item]?.kind;
    if (kind !== 'port' && kind !== 'door') return false;
    const closed = plan.events.find(
        each => each.id > event.id && each.kind === 'operate' && each.slot === off.slot && each.state !== off.state,
    );
    const state = closed && paths.at[closed.id];
    const inOneStep = off.by.every(each => plan.events[each]?.step === event.step) && closed?.step === event.step;
    if (state && inOneStep && !mayBeLive(machine, state, source, seenAt(plan, traces, closed.id))) return true;
    return plan.events.some(
        each =>
            each.kind === 'look' &&
            each.id > event.id &&
            each.id < (closed?.id ?? plan.events.length) &&
            each.item !== off.item &&
            restsOn(machine, each.item).includes(off.item),
    );
}

function finding(card: Judged, event: Event, off: readonly Off[], what: string, advice: string): Finding {
    const { machine, plan } = card;
    return {
        code: 'closed-with-work-open',
        severity: 'error',
        span: event.span,
        card: plan.card,
        about: [machine.items[event.item]?.name ?? '', ...off.map(each => machine.items[each.item]?.name ?? '')],
        message: `${upperFirst(what)}${changedAt(plan, off[0]?.by ?? [])} ${advice}`,
        related: relatedTo(card, event, off),
        fixes: later(card, event, off),
        cause: event.key,
    };
}

/** "connector P2 is still disconnected", "P1 and P2 are still off". */
function stillOff(machine: Machine, off: readonly Off[]): string {
    const [first] = off;
    if (first && off.length === 1) {
        const word = machine.slots[first.slot]?.states[first.state] ?? '';
        const kind = kindOf(machine.items[first.item]?.kind ?? '');
        return `${thing(machine, first.item)} ${kind.still[word] ?? `is still ${word.toLowerCase()}`}`;
    }
    return `${things(machine, [...new Set(off.map(each => each.item))])} are still off`;
}

function relatedTo(card: Judged, event: Event, off: readonly Off[]): readonly Related[] {
    return [...calledFrom(event), ...off.flatMap(each => changedHere(card.plan, each.by, event.id))];
}

/** The line moved behind the one that puts the last of it back. */
function later(card: Judged, event: Event, off: readonly Off[]): readonly Fix[] {
    const { plan } = card;
    const back = off.map(each =>
        plan.events.find(
            one => one.id > event.id && one.kind === 'operate' && one.slot === each.slot && one.state !== each.state,
        ),
    );
    const last = back.reduce((one, two) => (one && two && two.id > one.id ? two : one), back[0]);
    if (!last || back.includes(undefined) || last.statement.file !== event.statement.file) return [];
    // Moved past another act on the same thing it would do something else.
    const moved = (one: Event): boolean => 'slot' in one && 'slot' in event && one.slot === event.slot;
    if (plan.events.some(each => each.id > event.id && each.id < last.id && moved(each))) return [];
    const edits = moveAfter(card, event.statement, last.statement);
    const line =
        written(card, event.statement)
            .replace(/^\S+:\s*/, '')
            .split('\n')[0] ?? '';
    return edits ? [fix(`"${line}" after line ${lineOf(last)}`, ...edits)] : [];
}
