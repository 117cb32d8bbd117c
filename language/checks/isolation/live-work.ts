import type { Finding, Fix } from '../../findings/finding.js';
import { calledFrom, changedAt, changedHere, didWhat, thing } from '../../findings/phrases.js';
import { type Machine, NONE } from '../../machine/machine.js';
import { itemsIn } from '../../machine/order.js';
import { CAN_HOLD, evaluate, mayBeLive } from '../../paths/evaluate.js';
import { maybe, surely } from '../../paths/facts.js';
import { byOfState } from '../../paths/judge.js';
import { isOfActions } from '../../paths/live.js';
import type { PathState } from '../../paths/paths.js';
import { isIn, onStates } from '../../paths/places.js';
import { atomsOf, isAlreadySo } from '../../paths/rules.js';
import { type Seen, seenAt } from '../../paths/runs.js';
import type { Event } from '../../plan/plan.js';
import type { Judged } from '../check.js';
import { bringAboutBefore } from '../edits.js';
import { rulings } from '../rulings.js';
import { codeOf } from './broken-rules.js';

/** What is taken off, put on, parted, joined or torqued. */
const handling = new Set(['remove', 'install', 'disconnect', 'connect']);

/** A unit or a connector is handled while a motor or a plug in it is fed through a closed breaker. */
export function workedOnLive(card: Judged): readonly Finding[] {
    const { machine, plan, paths, traces } = card;
    const found: Finding[] = [];
    const users = machine.items.flatMap((item, n) =>
        (item.kind === 'motor' || item.kind === 'plug') && item.feeds.length > 0 ? [n] : [],
    );
    if (users.length === 0) return found;
    for (const event of plan.events) {
        const state = paths.at[event.id];
        const item = machine.items[event.item];
        if (!state || !item || (item.kind !== 'unit' && item.kind !== 'connector')) continue;
        if (
            event.kind !== 'torque' &&
            !(event.kind === 'operate' && handling.has(event.verb) && !isAlreadySo(event, state))
        )
            continue;
        const seen = seenAt(plan, traces, event.id);
        for (const user of users) {
            const inIt =
                item.kind === 'connector'
                    ? feedsOn(machine, user).includes(event.item)
                    : isIn(machine, user, event.item);
            const breaker = inIt ? fedThrough(card, state, seen, user, event.item) : NONE;
            if (breaker === NONE || isToldByRule(card, event, breaker)) continue;
            found.push(liveFinding(card, event, user, breaker, state));
            break;
        }
    }
    return found;
}

/** Everything that an item is fed by, at any depth. */
function feedsOn(machine: Machine, item: number, passed = new Set<number>()): readonly number[] {
    for (const feed of machine.items[item]?.feeds ?? []) {
        if (passed.has(feed)) continue;
        passed.add(feed);
        feedsOn(machine, feed, passed);
    }
    return [...passed];
}

/** The closed breaker through which the item may be fed, or NONE. `except`: what is being handled or is off, however it stands. */
export function fedThrough(
    card: Judged,
    state: PathState,
    seen: readonly Seen[],
    user: number,
    ...except: readonly number[]
): number {
    const { machine } = card;
    const chain = feedsOn(machine, user).filter(each => !except.includes(each));
    let breaker = NONE;
    for (const each of chain) {
        const item = machine.items[each];
        if (!item) continue;
        if (item.kind === 'breaker') {
            if (!maybe(state.facts[item.slot], 0)) return NONE;
            breaker = each;
        } else if (item.kind === 'source') {
            if (!mayBeLive(machine, state, each, seen)) return NONE;
            if (breaker === NONE) breaker = feeding(machine, state, each);
        } else if (item.nature === 'operated') {
            if (onStates(machine, each).some(one => !maybe(state.facts[one.slot], one.state))) return NONE;
            if (!mayConduct(machine, state, each)) return NONE;
        } else if (
            seen.length > 0 &&
            !seen.some(one => (evaluate(machine, { op: 'live', item: each }, { state, seen: one }) & CAN_HOLD) !== 0)
        )
            return NONE;
    }
    // What stands in something that is off, other than what is being handled, is dead.
    for (let at = machine.items[user]?.unit ?? NONE; at !== NONE; at = machine.items[at]?.unit ?? NONE) {
        const presence = machine.items[at]?.presence ?? NONE;
        if (!except.includes(at) && presence !== NONE && surely(state.facts[presence], 1)) return NONE;
    }
    return breaker;
}

/** A breaker that may be closed, among those that a source is live through. */
function feeding(machine: Machine, state: PathState, source: number): number {
    const passed = new Set<number>();
    const visit = (at: number): number => {
        const item = machine.items[at];
        if (!item || passed.has(at)) return NONE;
        passed.add(at);
        if (item.kind === 'breaker') return maybe(state.facts[item.slot], 0) ? at : NONE;
        const behind = [...item.feeds];
        itemsIn(item.live, each => behind.push(each));
        return behind.map(visit).find(each => each !== NONE) ?? NONE;
    };
    return visit(source);
}

function mayConduct(machine: Machine, state: PathState, item: number): boolean {
    const condition = { op: 'live', item } as const;
    return !isOfActions(machine, condition) || (evaluate(machine, condition, { state }) & CAN_HOLD) !== 0;
}

/** A `work on` rule that speaks of the breaker says it already. */
function isToldByRule(card: Judged, event: Event, breaker: number): boolean {
    return rulings(card).some(
        each =>
            each.event === event &&
            codeOf(each) === 'not-isolated' &&
            atomsOf(each.broken.part).some(atom => 'item' in atom && atom.item === breaker),
    );
}

function liveFinding(card: Judged, event: Event, user: number, breaker: number, state: PathState): Finding {
    const { machine, plan } = card;
    const slot = machine.items[breaker]?.slot ?? NONE;
    const by = byOfState(state, slot, 0);
    const pulled = machine.items[breaker]?.states.indexOf('PULLED') ?? 1;
    const fixes: readonly Fix[] = bringAboutBefore(card, event, {
        op: 'is',
        item: breaker,
        slot,
        state: pulled,
        contact: false,
    });
    return {
        code: 'worked-on-live',
        severity: 'error',
        span: event.span,
        card: plan.card,
        about: [machine.items[event.item]?.name ?? '', machine.items[breaker]?.name ?? ''],
        message: `${thing(machine, event.item)} is ${didWhat(event)} while ${thing(machine, breaker)} is closed and feeds ${thing(machine, user)}.${changedAt(plan, by)} Pull the breaker first.`,
        related: [...calledFrom(event), ...changedHere(plan, by, event.id)],
        fixes,
        cause: `${breaker} ${by.map(each => plan.events[each]?.key ?? 'start').join(' ')}`,
    };
}

/** A joint is opened, or what it is in is taken off, while what it carries may be live. */
export function openedUnderPressure(card: Judged): readonly Finding[] {
    const { machine, plan, paths, traces } = card;
    const joints = machine.items.flatMap((item, n) => (item.carries !== NONE ? [n] : []));
    const found: Finding[] = [];
    if (joints.length === 0) return found;
    for (const event of plan.events) {
        const state = paths.at[event.id];
        if (event.kind !== 'operate' || !state) continue;
        for (const joint of joints) {
            if (!isIn(machine, joint, event.item) || !takesOff(machine, state, event, event.item)) continue;
            const source = machine.items[joint]?.carries ?? NONE;
            if (!mayBeLive(machine, state, source, seenAt(plan, traces, event.id))) continue;
            if (pressureToldByRule(card, event, source)) continue;
            found.push({
                code: 'opened-under-pressure',
                severity: 'error',
                span: event.span,
                card: plan.card,
                about: [machine.items[event.item]?.name ?? '', machine.items[source]?.name ?? ''],
                message: `${thing(machine, event.item)} is ${didWhat(event)} while ${thing(machine, source)} may be live${joint === event.item ? '' : `, which ${thing(machine, joint)} holds back`}. Take the pressure off first.`,
                related: [
                    ...calledFrom(event),
                    {
                        span: machine.items[source]?.span ?? event.span,
                        message: `${thing(machine, source)} stands here`,
                    },
                ],
                fixes: depressurise(card, event, source),
                cause: `${source} ${event.key}`,
            });
            break;
        }
    }
    return found;
}

/** The event brings the item out of the state in which it holds tight. */
function takesOff(
    machine: Machine,
    state: PathState,
    event: Extract<Event, { kind: 'operate' }>,
    item: number,
): boolean {
    return onStates(machine, item).some(
        each => each.slot === event.slot && each.state !== event.state && maybe(state.facts[each.slot], each.state),
    );
}

function pressureToldByRule(card: Judged, event: Event, source: number): boolean {
    const deciding = new Set(slotsBehind(card.machine, source));
    return rulings(card).some(
        each =>
            each.event === event &&
            each.broken.kind === 'state' &&
            atomsOf(each.broken.part).some(
                atom => ('slot' in atom && deciding.has(atom.slot)) || (atom.op === 'live' && atom.item === source),
            ),
    );
}

/** The slots that decide whether a source is live. */
function slotsBehind(machine: Machine, source: number, passed = new Set<number>()): readonly number[] {
    const item = machine.items[source];
    if (!item || passed.has(source)) return [];
    passed.add(source);
    const atoms = item.live ? atomsOf(item.live) : [];
    return [
        item.slot,
        ...atoms.flatMap(atom =>
            'slot' in atom ? [atom.slot] : atom.op === 'live' ? slotsBehind(machine, atom.item, passed) : [],
        ),
        ...item.feeds.flatMap(feed => slotsBehind(machine, feed, passed)),
    ];
}

/** One act that makes the source surely dead: a control or a breaker that its condition names, brought to another of its states. */
function depressurise(card: Judged, event: Event, source: number): readonly Fix[] {
    const { machine } = card;
    const live = machine.items[source]?.live;
    const state = card.paths.at[event.id];
    if (!live || !state) return [];
    return atomsOf(live).flatMap(atom => {
        if (atom.op !== 'is') return [];
        const item = machine.items[atom.item];
        const others = item?.states.flatMap((_, n) => (n === atom.state ? [] : [n])) ?? [];
        const to = item && others.includes(item.normal) ? item.normal : others[0];
        if (!item || to === undefined) return [];
        return bringAboutBefore(card, event, { ...atom, state: to, contact: false });
    });
}
