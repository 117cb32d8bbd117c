import type { Condition } from '../../conditions/condition.js';
import { runProgram } from '../../conditions/program.js';
import { looksThatFail } from '../../failures/showing.js';
import { circuitOf } from '../../machine/circuit.js';
import { type Machine, NONE } from '../../machine/machine.js';
import { expanded } from '../../paths/live.js';
import { isIn, liesIn } from '../../paths/places.js';
import { isHandsOn, triggers } from '../../paths/rules.js';
import type { Event } from '../../plan/plan.js';
import { restsOn } from '../../trace/hindered.js';
import type { Trace, Visit } from '../../trace/trace.js';
import type { Judged } from '../check.js';

/** What work on something asks to be isolated, and with what. */
export interface Isolation {
    /** What is worked on. */
    readonly item: number;
    readonly devices: readonly Device[];
}

/** A breaker, a plug or a tagged control that keeps energy out, and the state in which it does so. */
export interface Device {
    readonly item: number;
    readonly slot: number;
    readonly state: number;
}

const known = new WeakMap<Judged, readonly Isolation[]>();

/** Everything on which a rule allows work only once something is isolated. */
export function isolations(card: Judged): readonly Isolation[] {
    let found = known.get(card);
    if (!found) {
        found = findIsolations(card);
        known.set(card, found);
    }
    return found;
}

function findIsolations({ machine, plan }: Judged): readonly Isolation[] {
    const byItem = new Map<number, Map<number, Device>>();
    const tagged = new Set(
        plan.events.flatMap(each => (each.kind === 'tag' && each.verb === 'tag' ? [each.item] : [])),
    );
    for (const { body } of machine.rules) {
        if (body.kind !== 'before') continue;
        for (const trigger of body.triggers) {
            if (trigger.kind !== 'work') continue;
            const devices = byItem.get(trigger.item) ?? new Map<number, Device>();
            for (const atom of asked(machine, body.require)) {
                const item = machine.items[atom.item];
                if (!item || atom.slot !== item.slot || atom.state === item.states.indexOf('CLOSED')) continue;
                const isolates =
                    item.kind === 'breaker' ||
                    (item.kind === 'connector' && atom.state === item.states.indexOf('DISCONNECTED')) ||
                    (item.kind === 'control' && tagged.has(atom.item));
                if (isolates) devices.set(atom.item, { item: atom.item, slot: atom.slot, state: atom.state });
            }
            if (devices.size > 0) byItem.set(trigger.item, devices);
        }
    }
    return [...byItem].map(([item, devices]) => ({ item, devices: [...devices.values()] }));
}

export type Atom = Extract<Condition, { op: 'is' | 'held' }>;

/** What a condition asks to be so. What is not to be in one of its two states is to be in the other; what is not to be live is to be cut off. */
export function asked(machine: Machine, condition: Condition): readonly Atom[] {
    if (condition.op === 'and' || condition.op === 'or') return condition.of.flatMap(each => asked(machine, each));
    if (condition.op === 'not') return askedNot(machine, condition.of, 0);
    return condition.op === 'is' || condition.op === 'held' ? [condition] : [];
}

function askedNot(machine: Machine, condition: Condition, depth: number): readonly Atom[] {
    if (depth > machine.items.length) return [];
    switch (condition.op) {
        case 'and':
        case 'or':
            return condition.of.flatMap(each => askedNot(machine, each, depth));
        case 'not':
            return asked(machine, condition.of);
        case 'live': {
            const item = machine.items[condition.item];
            if (
                !item ||
                item.nature === 'moved' ||
                (item.nature === 'shown' && item.kind !== 'source' && item.kind !== 'motor')
            )
                return [];
            return askedNot(machine, expanded(machine, condition.item), depth + 1);
        }
        case 'is': {
            const slot = machine.slots[condition.slot];
            const item = machine.items[condition.item];
            // By itself a breaker is only closed or pulled.
            const states = item?.kind === 'breaker' ? 2 : (slot?.states.length ?? 0);
            if (item?.nature !== 'operated' || states !== 2 || condition.state > 1) return [];
            return [{ ...condition, state: 1 - condition.state }];
        }
        default:
            return [];
    }
}

export type Act =
    | {
          readonly rank: typeof ISOLATE | typeof TAG | typeof PROVE;
          readonly device: Device;
          readonly at: number;
          readonly event: Event;
      }
    | {
          readonly rank: typeof SHUT | typeof RELIEVE | typeof WORK;
          readonly device?: undefined;
          readonly at: number;
          readonly event: Event;
      };

export const SHUT = 0;
export const ISOLATE = 1;
export const TAG = 2;
export const RELIEVE = 3;
export const PROVE = 4;
export const WORK = 5;

/** One isolation, from the acts that lead to it to the first of its devices that is taken away again. */
export interface LockOut {
    readonly isolation: Isolation;
    /** The run that it is in, and which of the states left open that run takes. */
    readonly trace: Trace;
    readonly choice: number;
    /** The work is in a block that no plain run takes: what would prove something dead there is not known. */
    readonly inBlock: boolean;
    readonly acts: readonly Act[];
    /** Tools and people out of the place, in order. */
    readonly outs: readonly Extract<Event, { kind: 'clear' }>[];
    /** What was done there after the last `clear`, and who was there after the last `leave`. */
    readonly handsSince: Event | undefined;
    readonly thereSince: Event | undefined;
    /** Takes the first device away; undefined where the card ends before. */
    readonly released: Event | undefined;
    /** Tools and people out of the place after that, before anything is isolated again. */
    readonly outsAfter: readonly Extract<Event, { kind: 'clear' }>[];
}

const knownOuts = new WeakMap<Judged, readonly LockOut[]>();

/** Every lock-out during which something is worked on, as the plain runs perform the card, and as they would through blocks that none takes. */
export function lockOuts(card: Judged): readonly LockOut[] {
    let found = knownOuts.get(card);
    if (!found) {
        const plain = card.traces.plain.filter(each => each.speed === 'slowest');
        found = isolations(card).flatMap(isolation => [
            ...plain.flatMap((trace, choice) => lockOutsIn(card, isolation, trace, choice, 0)),
            ...card.traces.forced.flatMap(trace => {
                const choice = plain.findIndex(each => each.choice.join() === trace.choice.join());
                if (choice < 0 || trace.speed !== 'slowest' || !isWorkedOn(card, isolation, trace)) return [];
                const before = leadingTo(card, trace);
                const whole = { ...trace, visits: [...before, ...trace.visits] };
                return lockOutsIn(card, isolation, whole, choice, before.length);
            }),
        ]);
        knownOuts.set(card, found);
    }
    return found;
}

function isWorkedOn({ machine, plan, paths }: Judged, { item }: Isolation, trace: Trace): boolean {
    return trace.visits.some(visit => {
        const state = paths.at[visit.event];
        return (
            state !== undefined && triggers(machine, { kind: 'work', item }, plan.events[visit.event] as Event, state)
        );
    });
}

/** What is done before a block that no plain run takes, from the beginning of the card. */
function leadingTo({ plan, traces }: Judged, forced: Trace): readonly Visit[] {
    const parts: (readonly Visit[])[] = [];
    for (let trace = forced; trace.arm !== NONE && parts.length <= traces.forced.length; ) {
        const at = plan.arms[trace.arm]?.event ?? NONE;
        const outer = [...traces.plain, ...traces.forced].find(
            each =>
                each.speed === forced.speed &&
                each.choice.join() === forced.choice.join() &&
                each.visits.some(visit => visit.event === at),
        );
        if (!outer) break;
        parts.unshift(outer.visits.slice(0, outer.visits.findIndex(visit => visit.event === at) + 1));
        trace = outer;
    }
    return parts.flat();
}

interface Open {
    acts: Act[];
    outs: Extract<Event, { kind: 'clear' }>[];
    handsSince: Event | undefined;
    thereSince: Event | undefined;
    released: Event | undefined;
    outsAfter: Extract<Event, { kind: 'clear' }>[];
}

const fresh = (): Open => ({
    acts: [],
    outs: [],
    handsSince: undefined,
    thereSince: undefined,
    released: undefined,
    outsAfter: [],
});

/** `from`: a lock-out that is over before this position is left out. */
function lockOutsIn(
    card: Judged,
    isolation: Isolation,
    trace: Trace,
    choice: number,
    from: number,
): readonly LockOut[] {
    const { machine, plan, paths } = card;
    const place = machine.items[isolation.item]?.place ?? NONE;
    const stops = shuttingDown(card, isolation, trace, choice);
    const proofs = new Map(isolation.devices.map(each => [each.item, provingLooks(card, each, trace, choice)]));
    const found: LockOut[] = [];
    let open = fresh();
    let before: Open | undefined;
    const close = (upTo: number): void => {
        if (open.acts.some(each => each.rank === WORK)) {
            before = open;
            if (upTo >= from)
                found.push({ isolation, trace, choice, inBlock: from > 0, ...open, acts: telling(open.acts) });
        }
        open = fresh();
    };
    for (const [at, visit] of trace.visits.entries()) {
        const event = plan.events[visit.event] as Event;
        const state = paths.at[event.id];
        if (!state) continue;
        const released = isolation.devices.some(
            each => changes(visit, each.slot) && visit.before[each.slot] === each.state,
        );
        if (released) {
            open.released = event;
            close(at);
            continue;
        }
        if (event.kind === 'clear' && (liesIn(machine, place, event.place) || liesIn(machine, event.place, place))) {
            open.outs.push(event);
            before?.outsAfter.push(event);
            if (event.verb === 'clear') open.handsSince = undefined;
            open.thereSince = event.verb === 'leave' ? undefined : event;
            continue;
        }
        if (event.role !== NONE && event.place !== NONE) {
            const at = (verb: string): boolean => {
                const last = open.outs.findLast(each => each.verb === verb);
                return last !== undefined && liesIn(machine, event.place, last.place);
            };
            if (at('leave')) open.thereSince ??= event;
            if (at('clear') && isHandsOn(event, state)) open.handsSince ??= event;
        }
        const device = isolation.devices.find(each => each.item === event.item);
        if (device && event.kind === 'operate' && changes(visit, device.slot)) {
            open.acts.push({ rank: ISOLATE, device, at, event });
            before = undefined;
        }
        if (device && event.kind === 'tag' && event.verb === 'tag') open.acts.push({ rank: TAG, device, at, event });
        if (event.kind === 'operate' && event.verb === 'open' && relieves(machine, isolation.item, event.item))
            open.acts.push({ rank: RELIEVE, at, event });
        if (stops.has(event.id) && !isUndoing(open.acts, trace, at, event)) open.acts.push({ rank: SHUT, at, event });
        for (const each of isolation.devices)
            if (proofs.get(each.item)?.has(event.id)) open.acts.push({ rank: PROVE, device: each, at, event });
        if (triggers(machine, { kind: 'work', item: isolation.item }, event, state))
            open.acts.push({ rank: WORK, at, event });
    }
    close(trace.visits.length);
    return found;
}

const changes = (visit: Visit, slot: number): boolean => visit.before[slot] !== visit.after[slot];

/** Of several acts of one kind those that count: the first work, the last look before it that proves, and the like. */
function telling(acts: readonly Act[]): readonly Act[] {
    const work = acts.find(each => each.rank === WORK);
    const first = work?.at ?? Number.POSITIVE_INFINITY;
    const counted = acts.filter(act => {
        const same = acts.filter(each => each.rank === act.rank && each.device === act.device);
        if (act.rank === SHUT) return true;
        if (act.rank === PROVE) return act === (same.findLast(each => each.at < first) ?? same[0]);
        if (act.rank === RELIEVE) return same.some(each => each.at < first) ? act.at < first : act === same[0];
        return act === same[0];
    });
    return counted;
}

/** What is done to a control only takes back what was done to it since the isolation: it was tried, not shut down. */
function isUndoing(acts: readonly Act[], trace: Trace, at: number, event: Event): boolean {
    const isolated = acts.find(each => each.rank === ISOLATE);
    if (!isolated || event.kind !== 'operate') return false;
    return trace.visits.slice(isolated.at, at).some(visit => changes(visit, event.slot));
}

/** A joint that lets out what the thing holds back, or that a rule on it asks to be open. */
function relieves(machine: Machine, item: number, joint: number): boolean {
    const carried = machine.items[joint]?.carries ?? NONE;
    if (carried !== NONE && machine.items.some((each, n) => each.carries === carried && isIn(machine, n, item)))
        return true;
    return machine.rules.some(
        ({ body }) =>
            body.kind === 'before' &&
            body.triggers.some(each => each.item === item) &&
            asked(machine, body.require).some(each => each.item === joint),
    );
}

/** The looks of the plain run that fail when the breaker does not open. That a lamp without supply is dark, or a horn silent, proves nothing. */
function provingLooks(card: Judged, device: Device, trace: Trace, choice: number): ReadonlySet<number> {
    const { machine, plan, runs } = card;
    if (!card.traces.plainHolds || machine.items[device.item]?.kind !== 'breaker') return new Set();
    const looks = card
        .failures()
        .filter(each => each.failure.item === device.item && each.failure.mode === 'NOT-OPENING')
        // What a test names is listed as failing from that test on; here it is the isolation that must show it.
        .flatMap(({ failure, begins, revealedBy }) =>
            begins === 0 ? revealedBy : looksThatFail(machine, plan, runs, failure, trace, choice),
        );
    return new Set(looks.filter(each => !isDarkness(card, each)));
}

/** The look asks for a lamp to be dark or a horn to be silent that has no supply then: it may be dead itself. */
function isDarkness({ machine, plan, traces }: Judged, look: number): boolean {
    const event = plan.events[look];
    const item = machine.items[event?.item ?? NONE];
    if (event?.kind !== 'look' || !item || event.slot !== item.slot || (item.kind !== 'light' && item.kind !== 'horn'))
        return false;
    const visit = traces.plain[0]?.visits.find(each => each.event === look);
    if (!visit) return false;
    const circuit = circuitOf(machine);
    const cells = Array.from({ length: circuit.cells }, (_, n) => visit.after[n] ?? 0);
    for (const [n, each] of machine.items.entries())
        if (each.kind === 'breaker') cells[circuit.contact(n)] = visit.after[each.slot] === 0 ? 1 : 0;
    return item.feeds.some(feed => !runProgram(circuit.compile({ op: 'live', item: feed }), cells));
}

/**
 * The events by which a control stops what is isolated: with nothing isolated yet, something that drives it or that it holds back is live before
 * and dead after. So it counts wherever in the order it stands.
 */
function shuttingDown(card: Judged, isolation: Isolation, trace: Trace, choice: number): ReadonlySet<number> {
    const { machine, plan, runs } = card;
    const driven = energyOf(machine, isolation);
    const controls = new Set(driven.flatMap(each => restsOn(machine, each)));
    const candidates = trace.visits.filter(visit => {
        const event = plan.events[visit.event] as Event;
        return (
            event.kind === 'operate' &&
            machine.items[event.item]?.kind === 'control' &&
            controls.has(event.item) &&
            !isolation.devices.some(each => each.item === event.item) &&
            changes(visit, event.slot)
        );
    });
    const found = new Set<number>();
    if (candidates.length === 0) return found;
    const circuit = circuitOf(machine);
    const live = driven.map(each => circuit.compile({ op: 'live', item: each }));
    const starts = runs.checkpointsAt(new Set(candidates.map(each => each.event)), choice);
    for (const { event: id } of candidates) {
        const sim = starts.get(id)?.clone();
        const event = plan.events[id];
        if (!sim || event?.kind !== 'operate') continue;
        for (const { slot } of isolation.devices) sim.operate(slot, machine.slots[slot]?.normal ?? 0);
        const before = live.map(each => sim.holds(each));
        sim.operate(event.slot, event.state);
        if (live.some((each, n) => before[n] && !sim.holds(each))) found.add(id);
    }
    return found;
}

/** The motors in it, those that its devices feed, and the sources that it holds back. */
function energyOf(machine: Machine, { item, devices }: Isolation): readonly number[] {
    const carried = new Set(machine.items.flatMap((each, n) => (isIn(machine, n, item) ? [each.carries] : [])));
    return machine.items.flatMap((each, n) => {
        if (each.kind === 'source') return carried.has(n) ? [n] : [];
        if (each.kind !== 'motor') return [];
        const rests = restsOn(machine, n);
        return isIn(machine, n, item) || devices.some(device => rests.includes(device.item)) ? [n] : [];
    });
}
