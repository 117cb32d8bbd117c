import { crossingMatters } from '../machine/circuit.js';
import { nameAndLabel } from '../machine/compile-conditions.js';
import { type Item, type Machine, NONE } from '../machine/machine.js';
import { itemsIn } from '../machine/order.js';
import type { Event, Plan } from '../plan/plan.js';
import type { Trace } from '../trace/trace.js';
import { kindOf } from '../vocabulary/kinds/index.js';
import type { Failure, FailureClass, FailureMode } from './failure.js';

export interface ListedFailure {
    readonly failure: Failure;
    readonly class: FailureClass;
    /** The event before which it begins. */
    readonly begins: number;
}

/** What it takes off to get at something disturbs nothing by itself, unless it holds something back. */
const ACCESS: ReadonlySet<string> = new Set(['panel', 'door', 'pin', 'cap', 'cover', 'chock']);
const DISTURBING: ReadonlySet<string> = new Set(['remove', 'install', 'disconnect', 'open']);

/** The item and every item that is in it, however deep. */
export function within(machine: Machine, index: number): number[] {
    return machine.items.flatMap((_, n) => (isIn(machine, n, index) ? [n] : []));
}

/** True for the item itself too. */
export function isIn(machine: Machine, index: number, unit: number): boolean {
    for (let at = index, n = 0; at !== NONE && n <= machine.items.length; at = (machine.items[at] as Item).unit, n++)
        if (at === unit) return true;
    return false;
}

/** What the event disturbs: the thing that is removed, installed, disconnected or opened, and all that is in it. */
export function disturbedBy(machine: Machine, event: Event): readonly number[] {
    if (event.kind !== 'operate' || !DISTURBING.has(event.verb)) return [];
    const item = machine.items[event.item];
    if (!item || (ACCESS.has(item.kind) && item.carries === NONE)) return [];
    return within(machine, event.item);
}

/** By item, the event of the plain run that disturbed it last. */
export function disturbances(machine: Machine, plan: Plan, plain: Trace): ReadonlyMap<number, number> {
    const last = new Map<number, number>();
    for (const visit of plain.visits) {
        const event = plan.events[visit.event];
        if (event?.kind !== 'operate' || (event.ensure && visit.before[event.slot] === event.state)) continue;
        for (const each of disturbedBy(machine, event)) last.set(each, event.id);
    }
    return last;
}

/** By item named or contained in the `of` of a test, the first event of the first such test. */
export function tested(machine: Machine, plan: Plan, plain: Trace): ReadonlyMap<number, number> {
    const first = new Map<number, number>();
    for (const visit of plain.visits) {
        const event = plan.events[visit.event];
        if (event?.kind !== 'step-start') continue;
        const step = plan.steps[event.step];
        if (step?.kind !== 'test') continue;
        for (const named of step.of)
            for (const each of within(machine, named)) if (!first.has(each)) first.set(each, event.id);
    }
    return first;
}

/** Moved items that the state of an item rests on, itself included. */
export function movedBehind(machine: Machine, index: number): ReadonlySet<number> {
    const found = new Set<number>();
    const seen = new Set<number>();
    const visit = (at: number): void => {
        const item = machine.items[at];
        if (!item || seen.has(at)) return;
        seen.add(at);
        if (item.nature === 'moved') found.add(at);
        for (const show of item.shows) itemsIn(show.when, visit);
        for (const go of item.goes) itemsIn(go.when, visit);
        itemsIn(item.live, visit);
        for (const feed of item.feeds) visit(feed);
        for (const [n, joint] of machine.items.entries())
            if (joint.wets === at) {
                visit(n);
                if (joint.carries !== NONE) visit(joint.carries);
            }
    };
    visit(index);
    return found;
}

/** Every way in which one item fails, from the equipment text alone. SLOW and CROSSED depend on the card too: see `failuresOf`. */
export function modesOf(machine: Machine, index: number): Failure[] {
    const item = machine.items[index] as Item;
    const failures: Failure[] = [];
    const add = (mode: FailureMode, detail: number, word: string): void => {
        failures.push({ item: index, mode, detail, word, label: labelOf(item, mode, word), span: item.span });
    };
    if (item.kind === 'motor') add('DEAD', 0, 'DEAD');
    else if (item.nature === 'moved' || item.nature === 'shown')
        for (const [state, word] of item.states.entries())
            if (!onlyByFailure(machine, index, state)) add('STUCK', state, word);
    if (item.kind === 'timer' && item.goes.some(go => go.min > 0)) add('EARLY', NONE, 'EARLY');
    if (item.carries !== NONE && item.wets !== NONE) add('LEAKING', NONE, 'LEAKING');
    if (item.kind === 'connector') add('OFF', NONE, 'OFF');
    if (item.kind === 'breaker') {
        add('TRIPPED', NONE, 'TRIPPED');
        add('NOT-OPENING', NONE, 'NOT-OPENING');
    }
    for (const [n, own] of machine.ownFailures.entries()) if (own.item === index) add('OWN', n, own.label);
    return failures;
}

function onlyByFailure(machine: Machine, index: number, state: number): boolean {
    const item = machine.items[index] as Item;
    return (
        machine.ownFailures.some(own => own.changes === index && own.state === state) &&
        !item.shows.some(show => show.state === state) &&
        !item.goes.some(go => go.to === state) &&
        item.normal !== state
    );
}

function labelOf(item: Item, mode: FailureMode, word: string): string {
    const name = nameAndLabel(item);
    if (mode === 'STUCK') return `${name} stuck at ${word}`;
    if (mode === 'OWN') return `${name}: ${word}`;
    return `${name} ${word}`;
}

/**
 * Every failure that the card and the equipment give, with the event at which it begins: for what the card disturbs, after the last
 * disturbance; for what only a test names, at the test; all others at the start. What the card leaves off has none.
 */
export function failuresOf(machine: Machine, plan: Plan, plain: Trace): ListedFailure[] {
    const disturbed = disturbances(machine, plan, plain);
    const inTest = tested(machine, plan, plain);
    const order = new Map(plain.visits.map((visit, n) => [visit.event, n]));
    const after = (event: number): number => plain.visits[(order.get(event) ?? 0) + 1]?.event ?? NONE;
    const timed = new Set<number>();
    for (const event of plan.events)
        if (event.kind === 'look' && event.look !== 'measure' && event.within !== NONE)
            for (const each of movedBehind(machine, event.item)) timed.add(each);
    const last = plain.visits[plain.visits.length - 1]?.after;

    const listed: ListedFailure[] = [];
    const list = (failure: Failure): void => {
        const event = disturbed.get(failure.item);
        const test = inTest.get(failure.item);
        if (event !== undefined) listed.push({ failure, class: 'disturbed', begins: after(event) });
        else if (test !== undefined) listed.push({ failure, class: 'tested', begins: test });
        else listed.push({ failure, class: 'other', begins: 0 });
    };
    for (const [index, item] of machine.items.entries()) {
        if (last && isOff(machine, index, last)) continue;
        for (const failure of modesOf(machine, index)) list(failure);
        if (timed.has(index) && item.nature === 'moved' && item.goes.some(go => go.max > 0)) {
            list({
                item: index,
                mode: 'SLOW',
                detail: NONE,
                word: 'SLOW',
                label: labelOf(item, 'SLOW', 'SLOW'),
                span: item.span,
            });
        }
        if (item.kind !== 'connector' || item.keyed || !disturbed.has(index)) continue;
        for (let other = index + 1; other < machine.items.length; other++) {
            const partner = machine.items[other] as Item;
            if (partner.kind !== 'connector' || partner.keyed || !disturbed.has(other) || partner.place !== item.place)
                continue;
            // A hose does not fit on a plug.
            if ((item.carries === NONE) !== (partner.carries === NONE)) continue;
            if (!crossingMatters(machine, { a: index, b: other })) continue;
            const from = Math.max(disturbed.get(index) as number, disturbed.get(other) as number);
            listed.push({
                failure: {
                    item: index,
                    mode: 'CROSSED',
                    detail: other,
                    word: 'CROSSED',
                    label: `${nameAndLabel(item)} and ${nameAndLabel(partner)} CROSSED`,
                    span: item.span,
                },
                class: 'disturbed',
                begins: after(from),
            });
        }
    }
    return listed;
}

/** Off at the end: removed, disconnected, open, or in such a unit. */
function isOff(machine: Machine, index: number, states: ArrayLike<number>): boolean {
    for (let at = index, n = 0; at !== NONE && n <= machine.items.length; at = (machine.items[at] as Item).unit, n++) {
        const item = machine.items[at] as Item;
        if (
            item.presence !== NONE &&
            states[item.presence] !== machine.slots[item.presence]?.states.indexOf('INSTALLED')
        )
            return true;
        const { on } = kindOf(item.kind);
        if (
            at === index &&
            item.kind !== 'breaker' &&
            on !== undefined &&
            item.states[states[item.slot] as number] !== on
        )
            return true;
    }
    return false;
}
