import type { Finding, Fix } from '../../../findings/finding.js';
import { calledFrom, didWhat, lineOf, things } from '../../../findings/phrases.js';
import { NONE } from '../../../machine/machine.js';
import type { PathState } from '../../../paths/paths.js';
import { isIn, onStates, surelyOff, unitsOf } from '../../../paths/places.js';
import { handsOn, isAlreadySo } from '../../../paths/rules.js';
import type { Event } from '../../../plan/plan.js';
import { upperFirst } from '../../../vocabulary/sentences.js';
import type { Check, Judged } from '../../check.js';
import { fix, moveAfter } from '../../edits.js';

type Hold = Extract<Event, { kind: 'hold' }>;

/** What a hold names is worked on again, and nobody looks at it after that. */
export const holdTooEarly: Check = {
    code: 'hold-too-early',
    family: 'people',
    severity: 'error',
    title: 'Something that a hold names is worked on after it, and not held again',
    ofCard,
};

/**
 * How a thing stands at the hold: where it belongs; where it belongs for a while only (a pin that is in); or off. It says what work still belongs to the
 * hold, and what brings to an end the time that the hold speaks of: for what is off, that it goes on; for what is in for a while, that it is taken back.
 */
type Stand = 'in place' | 'for a while' | 'off';

function ofCard(card: Judged): readonly Finding[] {
    const { plan, paths } = card;
    const lists = new Map<string, readonly number[]>();
    const found: Finding[] = [];
    for (const hold of plan.events) {
        const state = paths.at[hold.id];
        if (hold.kind !== 'hold' || !state) continue;
        const byWork = new Map<string, { work: Event; last: Event; items: number[]; off: boolean }>();
        for (const item of new Set(hold.refs)) {
            const stand = standOf(card, state, item);
            const key = `${item} ${stand}`;
            const undone = lists.get(key) ?? workNotHeld(card, item, stand);
            lists.set(key, undone);
            const work = plan.events[undone[hold.next] ?? NONE];
            if (!work) continue;
            const off = stand === 'off';
            const entry = byWork.get(`${work.id} ${off}`) ?? { work, last: work, items: [], off };
            const last = lastWork(card, work, undone);
            if (last.id > entry.last.id) entry.last = last;
            entry.items.push(item);
            byWork.set(`${work.id} ${off}`, entry);
        }
        for (const each of byWork.values()) found.push(finding(card, hold, each));
    }
    return found;
}

function standOf({ machine }: Judged, state: PathState, item: number): Stand {
    if (surelyOff(machine, state, item) || unitsOf(machine, item).some(unit => surelyOff(machine, state, unit)))
        return 'off';
    const own = machine.items[item];
    const back = [own?.slot ?? NONE, own?.presence ?? NONE].some(slot => {
        const normal = machine.slots[slot]?.normal;
        return state.facts[slot]?.every(each => each.state !== normal);
    });
    return back ? 'for a while' : 'in place';
}

/**
 * By event: the first work on the thing that lies ahead, on a way on which no hold names it from there to the end, NONE where there is none. From the back to
 * the front, so that it is linear in the card.
 */
function workNotHeld(card: Judged, item: number, stand: Stand): readonly number[] {
    const { plan, paths } = card;
    const ahead: number[] = plan.events.map(() => NONE);
    // By thing worked on: a hold that names that thing itself will do as well.
    const open = new Map<number, boolean[]>();
    for (const event of plan.events.toReversed()) {
        const ways = event.other === NONE ? [event.next] : [event.next, event.other];
        const names = event.kind === 'hold' ? event.refs : undefined;
        const over = ends(card, event, item, stand);
        // By thing, whether some way leads on to the end of what the hold speaks of with nobody having held it.
        const isOpen = (thing: number): boolean => {
            const list = open.get(thing) ?? [];
            return ways.some(each => list[each] ?? false);
        };
        for (const thing of [item, ...partsWorkedOn(card, item)]) {
            const list = open.get(thing) ?? [];
            open.set(thing, list);
            list[event.id] =
                event.kind === 'end' || over || (!(names?.includes(item) || names?.includes(thing)) && isOpen(thing));
        }
        if (names?.includes(item) || over || !paths.at[event.id]) continue;
        const work = worksOn(card, event, item);
        ahead[event.id] =
            work !== NONE && isOpen(work)
                ? event.id
                : (ways.map(each => ahead[each] ?? NONE).find(each => each !== NONE) ?? NONE);
    }
    return ahead;
}

const partsKnown = new WeakMap<Judged, Map<number, readonly number[]>>();

/** What is in the thing and is worked on somewhere in the card. */
function partsWorkedOn(card: Judged, item: number): readonly number[] {
    const known = partsKnown.get(card) ?? new Map<number, readonly number[]>();
    partsKnown.set(card, known);
    let parts = known.get(item);
    if (!parts) {
        const hands = new Set(card.plan.events.flatMap(handsOn));
        parts = [...hands].filter(each => each !== item && isIn(card.machine, each, item));
        known.set(item, parts);
    }
    return parts;
}

/** What the event works on, of the thing and what is in it; NONE where it leaves it alone. Tags and letting go are no work. */
function worksOn(card: Judged, event: Event, item: number): number {
    const state = card.paths.at[event.id];
    if (!state || event.kind === 'tag' || event.kind === 'keep-end' || isAlreadySo(event, state)) return NONE;
    return handsOn(event).find(each => isIn(card.machine, each, item)) ?? NONE;
}

/** Here ends what the hold speaks of: what was off goes on; what was there for a while is taken back to where it belongs. */
function ends(card: Judged, event: Event, item: number, stand: Stand): boolean {
    const { machine } = card;
    if (stand === 'in place' || event.kind !== 'operate') return false;
    const owner = machine.slots[event.slot]?.item ?? NONE;
    if (stand === 'for a while') return owner === item && event.state === machine.slots[event.slot]?.normal;
    if (owner !== item && !unitsOf(machine, item).includes(owner)) return false;
    return onStates(machine, owner).some(each => each.slot === event.slot && each.state === event.state);
}

/** The last of the works ahead that nobody holds. */
function lastWork(card: Judged, first: Event, ahead: readonly number[]): Event {
    let last = first;
    for (;;) {
        const next: Event | undefined = card.plan.events[ahead[last.next] ?? NONE];
        if (!next) return last;
        last = next;
    }
}

interface Undone {
    readonly work: Event;
    readonly last: Event;
    readonly items: readonly number[];
    readonly off: boolean;
}

function finding(card: Judged, hold: Hold, { work, last, items, off }: Undone): Finding {
    const { machine, plan } = card;
    const name = things(machine, items);
    const are = items.length === 1 ? 'is' : 'are';
    const what = items.includes(work.item) ? didWhat(work) : 'worked on again';
    const message = off
        ? `${upperFirst(name)} ${are} off at this hold and ${what} at line ${lineOf(work)}, before anybody looks again. Hold once that is done, and before ${items.length === 1 ? 'it goes' : 'they go'} back on.`
        : `${upperFirst(name)} ${are} ${what} after this hold, at line ${lineOf(work)}, and no later hold names ${items.length === 1 ? 'it' : 'them'}. Hold once that is done, or once more.`;
    return {
        code: 'hold-too-early',
        severity: off ? 'warning' : 'error',
        span: hold.span,
        card: plan.card,
        about: items.map(each => machine.items[each]?.name ?? ''),
        message,
        related: [
            ...calledFrom(hold),
            { span: work.span, message: `${upperFirst(didWhat(work))} here` },
            ...calledFrom(work),
        ],
        fixes: later(card, hold, last === work ? [work] : [last, work]),
        cause: `${hold.key} ${work.key} ${off}`,
    };
}

/** The hold behind the work, where no branch lies between them. */
function later(card: Judged, hold: Hold, after: readonly Event[]): readonly Fix[] {
    const { plan } = card;
    const blocks = (event: Event): string =>
        plan.arms
            .flatMap((arm, n) =>
                arm.entry !== arm.join && event.id >= arm.entry && (arm.join === NONE || event.id < arm.join)
                    ? [n]
                    : [],
            )
            .join(' ');
    return after.flatMap(work => {
        if (hold.calls.length > 0 || work.calls.length > 0 || blocks(hold) !== blocks(work)) return [];
        const edits = moveAfter(card, hold.statement, work.statement);
        return edits ? [fix('Hold once that is done', ...edits)] : [];
    });
}
