import { type Machine, NONE } from '../machine/machine.js';
import type { Event, Plan } from '../plan/plan.js';
import { union } from './facts.js';
import { CLEAR, type Clear, type Clearance, NOT_CLEAR, type Pair, type PathState, SPENT } from './paths.js';
import { liesIn, unitsOf } from './places.js';
import { handsOn, isHandsOn } from './rules.js';

/**
 * Where people are, and who may act on what he was told.
 *
 * A clearance is kept for each pair of places that a rule speaks of and each role: it is clear while nobody is at the place
 * spoken from; whoever comes there, and hands-on work there, takes it away; a tell from there gives it to the one told.
 */
export type People = Pick<PathState, 'base' | 'stands' | 'hands' | 'clear' | 'told' | 'worked'>;

const NOWHERE: ReadonlySet<number> = new Set([NONE]);
const NO_HANDS: ReadonlyMap<number, number> = new Map();
const OF_ITSELF: Clear = { level: CLEAR, by: [], why: 'nobody' };
const NO_EVENTS: readonly number[] = [];

export function peopleAtStart(machine: Machine, plan: Plan, pairs: readonly Pair[]): People {
    return {
        base: plan.roles.map(role => new Set([role.place])),
        stands: plan.roles.map(() => NOWHERE),
        hands: plan.roles.map(() => NO_HANDS),
        clear: pairs.flatMap(() => plan.roles.map(() => OF_ITSELF)),
        told: [],
        worked: machine.items.map(() => NO_EVENTS),
    };
}

/** The place where the role is when it does this event: where the event is done, else where it stands, else its base. */
function placesAfterComing(machine: Machine, state: PathState, event: Event): ReadonlySet<number> {
    const stands = state.stands[event.role] ?? NOWHERE;
    const heard = event.kind === 'look' && machine.items[event.item]?.kind === 'horn';
    const place = heard ? NONE : event.place;
    const bases = [...(state.base[event.role] ?? NOWHERE)];
    // Who cannot get there does not: that is found elsewhere, once.
    const comes = (base: number) =>
        place !== NONE && (event.kind === 'go' || (base !== NONE && liesIn(machine, place, base)));
    const stays = bases.filter(base => !comes(base));
    if (stays.length === 0) return stands.size === 1 && stands.has(place) ? stands : new Set([place]);
    if (stays.length === bases.length && !stands.has(NONE)) return stands;
    // Who has its base in one place on one way and in another on another may have come or not.
    const after = new Set([...stands].filter(each => each !== NONE));
    if (stays.length < bases.length) after.add(place);
    if (stands.has(NONE)) for (const base of stays) after.add(base);
    return after;
}

/** The one who acts comes to where it is done. */
export function come(machine: Machine, plan: Plan, pairs: readonly Pair[], state: PathState, event: Event): PathState {
    if (event.role === NONE || plan.roles[event.role] === undefined) return state;
    const places = placesAfterComing(machine, state, event);
    const before = state.stands[event.role] ?? NOWHERE;
    if (places === before) return state;
    return moved(
        machine,
        plan,
        pairs,
        { ...state, stands: replaced(state.stands, event.role, places) },
        event.id,
        event.role,
        before,
    );
}

/** What follows from a role standing elsewhere now. */
function moved(
    machine: Machine,
    plan: Plan,
    pairs: readonly Pair[],
    state: PathState,
    event: number,
    role: number,
    before: ReadonlySet<number>,
): PathState {
    const after = state.stands[role] ?? NOWHERE;
    // Hands that have left a place are out of it.
    const hands = state.hands[role] ?? NO_HANDS;
    const left = [...hands].filter(([place]) => [...after].some(each => near(machine, each, place)));
    let next = left.length === hands.size ? state : { ...state, hands: replaced(state.hands, role, new Map(left)) };
    for (const [n, pair] of pairs.entries()) {
        const wasThere = [...before].every(each => liesIn(machine, each, pair.from));
        const isThere = [...after].some(each => liesIn(machine, each, pair.from));
        if (isThere && !wasThere) next = put(plan, next, n, () => ({ level: NOT_CLEAR, by: [event], why: 'came' }));
        if (nobodyAt(machine, next, pair.from)) next = put(plan, next, n, () => OF_ITSELF);
    }
    return next;
}

/** The effect of an event on people. `spent`: the pairs whose clearance the action uses up; `before`: the state before it. */
export function afterEvent(
    machine: Machine,
    plan: Plan,
    pairs: readonly Pair[],
    state: PathState,
    event: Event,
    spent: ReadonlySet<number>,
    before: PathState,
): PathState {
    let next = state;
    const inTest = plan.steps[event.step]?.kind === 'test';
    for (const n of spent) {
        const pair = pairs[n];
        if (!pair || (pair.once && inTest)) continue;
        next = put(plan, next, n, (clear, role) => {
            if ((event.role !== NONE && role !== event.role) || clear.level === NOT_CLEAR || clear.why === 'nobody')
                return clear;
            return { level: SPENT, by: [event.id], why: 'spent' };
        });
    }
    if (event.kind === 'step-end' && inTest) {
        for (const [n, pair] of pairs.entries()) {
            if (!pair.once) continue;
            next = put(plan, next, n, clear =>
                clear.level === NOT_CLEAR || clear.why === 'nobody'
                    ? clear
                    : { level: NOT_CLEAR, by: [event.id], why: 'test-over' },
            );
        }
    }
    if (event.role === NONE || plan.roles[event.role] === undefined) return next;
    if (isHandsOn(event, before)) next = worked(machine, plan, pairs, next, event);
    if (event.kind === 'tell') next = telling(machine, plan, pairs, next, event);
    if (event.kind === 'go') next = { ...next, base: replaced(next.base, event.role, new Set([event.place])) };
    if (event.kind === 'clear' && event.verb === 'leave') next = leaving(machine, plan, pairs, next, event);
    return next;
}

function worked(machine: Machine, plan: Plan, pairs: readonly Pair[], state: PathState, event: Event): PathState {
    const places = [...(state.stands[event.role] ?? NOWHERE)].filter(place => place !== NONE);
    const hands = new Map(state.hands[event.role]);
    for (const place of places) hands.set(place, event.id);
    let next: PathState = { ...state, hands: replaced(state.hands, event.role, hands) };
    for (const [n, pair] of pairs.entries()) {
        if (!places.some(place => liesIn(machine, place, pair.from))) continue;
        next = put(plan, next, n, () => ({ level: NOT_CLEAR, by: [event.id], why: 'worked' }));
    }
    if (event.kind === 'tag') return next;
    let list: (readonly number[])[] | undefined;
    for (const touched of handsOn(event)) {
        for (const item of [touched, ...unitsOf(machine, touched)]) {
            const events = (list ?? next.worked)[item] ?? NO_EVENTS;
            if (events.some(each => plan.events[each]?.role === event.role)) continue;
            list ??= [...next.worked];
            list[item] = [...events, event.id];
        }
    }
    if (list) next = { ...next, worked: list };
    return next;
}

function telling(
    machine: Machine,
    plan: Plan,
    pairs: readonly Pair[],
    state: PathState,
    event: Extract<Event, { kind: 'tell' }>,
): PathState {
    const from = state.stands[event.role] ?? NOWHERE;
    let next: PathState = { ...state, hands: replaced(state.hands, event.role, NO_HANDS) };
    const hearer = placesOf(next, event.to);
    for (const [n, pair] of pairs.entries()) {
        if (![...from].every(place => liesIn(machine, place, pair.from))) continue;
        // Who is at no place hears nothing.
        if (![...hearer].every(place => place !== NONE && near(machine, place, pair.to))) continue;
        const owing = owes(machine, next, pair, event.role);
        next = put(plan, next, n, (clear, role) => {
            if (role !== event.to || clear.why === 'nobody') return clear;
            return owing.length > 0
                ? { level: NOT_CLEAR, by: owing, why: 'owes' }
                : { level: CLEAR, by: [event.id], why: 'told' };
        });
    }
    return next;
}

/** Work of other roles at the place, done since they last told somebody. */
function owes(machine: Machine, state: PathState, pair: Pair, teller: number): readonly number[] {
    return state.hands.flatMap((hands, role) =>
        role === teller
            ? []
            : [...hands].flatMap(([place, event]) => (liesIn(machine, place, pair.from) ? [event] : [])),
    );
}

/** Everybody who stands in the place goes out of it. */
function leaving(machine: Machine, plan: Plan, pairs: readonly Pair[], state: PathState, event: Event): PathState {
    const outside = machine.places[event.place]?.within ?? NONE;
    let next = state;
    for (const [role, stands] of state.stands.entries()) {
        if (![...stands].some(place => liesIn(machine, place, event.place))) continue;
        const after = new Set([...stands].map(place => (liesIn(machine, place, event.place) ? outside : place)));
        next = moved(
            machine,
            plan,
            pairs,
            { ...next, stands: replaced(next.stands, role, after) },
            event.id,
            role,
            stands,
        );
    }
    return next;
}

/** Where a role may be found: where it stands, else its base. */
export function placesOf(state: PathState, role: number): ReadonlySet<number> {
    const stands = state.stands[role] ?? NOWHERE;
    if (!stands.has(NONE)) return stands;
    const places = new Set([...stands].filter(place => place !== NONE));
    for (const place of state.base[role] ?? NOWHERE) places.add(place);
    return places;
}

/** One place is in the other, either way round: whoever is in the one is heard in the other. */
function near(machine: Machine, a: number, b: number): boolean {
    return liesIn(machine, a, b) || liesIn(machine, b, a);
}

/** On every path nobody has come to the place, or all have gone. */
export function nobodyAt(machine: Machine, state: PathState, place: number): boolean {
    return state.stands.every(stands => ![...stands].some(each => liesIn(machine, each, place)));
}

/** On every path one and the same role is there. */
export function someoneAt(machine: Machine, state: PathState, place: number): boolean {
    return state.stands.some(stands => [...stands].every(each => liesIn(machine, each, place)));
}

function put(plan: Plan, state: PathState, pair: number, change: (clear: Clear, role: number) => Clear): PathState {
    const roles = plan.roles.length;
    let clear: Clear[] | undefined;
    for (let role = 0; role < roles; role++) {
        const old = state.clear[pair * roles + role] as Clear;
        const now = change(old, role);
        if (now === old) continue;
        clear ??= [...state.clear];
        clear[pair * roles + role] = now;
    }
    return clear ? { ...state, clear } : state;
}

/** `clear` as a list of the clearances that a tell gave and that hold. */
export function clearances(plan: Plan, pairs: readonly Pair[], clear: readonly Clear[]): readonly Clearance[] {
    const found: Clearance[] = [];
    for (const [n, { level, by, why }] of clear.entries()) {
        const pair = pairs[Math.floor(n / plan.roles.length)];
        if (level !== CLEAR || why !== 'told' || !pair) continue;
        const from = plan.events[by[0] ?? NONE]?.role ?? NONE;
        found.push({ from, to: n % plan.roles.length, fromPlace: pair.from, by });
    }
    return found;
}

export function joinClear(a: Clear, b: Clear): Clear {
    if (a === b) return a;
    if (a.level !== b.level) return a.level < b.level ? a : b;
    if (a.why === b.why) return { ...a, by: union(a.by, b.by) };
    // Of two ways to be clear the tell is the one that can be lost; of two ways not to be, one is enough to say.
    return a.level === CLEAR && a.why === 'nobody' ? b : a;
}

export function joinHands(a: ReadonlyMap<number, number>, b: ReadonlyMap<number, number>): ReadonlyMap<number, number> {
    if (a === b) return a;
    return new Map([...b, ...a]);
}

export function joinSets(a: ReadonlySet<number>, b: ReadonlySet<number>): ReadonlySet<number> {
    if (a === b) return a;
    const both = new Set([...a, ...b]);
    return both.size === a.size ? a : both;
}

function replaced<T>(list: readonly T[], index: number, value: T): readonly T[] {
    const copy = [...list];
    copy[index] = value;
    return copy;
}
