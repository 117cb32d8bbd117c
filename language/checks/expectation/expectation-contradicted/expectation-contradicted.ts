import type { Finding } from '../../../findings/finding.js';
import { calledFrom, lineOf } from '../../../findings/phrases.js';
import { nameAndLabel } from '../../../machine/compile-conditions.js';
import { type Band, type Item, NONE, type Slot } from '../../../machine/machine.js';
import type { Event, LookEvent } from '../../../plan/plan.js';
import { hindering, restsOn } from '../../../trace/hindered.js';
import { bandOf } from '../../../trace/perform.js';
import type { Trace } from '../../../trace/trace.js';
import type { Check, Judged } from '../../check.js';

/** A look that does not come out as written although nothing has failed. */
export const expectationContradicted: Check = {
    code: 'expectation-contradicted',
    family: 'expectation',
    severity: 'error',
    title: 'A look does not come out as written although nothing has failed',
    ofCard: card =>
        card.runs.contradicted.map(({ event, trace, visit }) =>
            finding(card, card.plan.events[event] as LookEvent, card.traces.plain[trace] as Trace, visit),
        ),
};

function finding(card: Judged, event: LookEvent, trace: Trace, at: number): Finding {
    const { machine, plan } = card;
    const item = machine.items[event.item] as Item;
    const visit = trace.visits[at] as Trace['visits'][number];
    const state = visit.after[event.slot] ?? NONE;
    const slot = machine.slots[event.slot];
    const expected = event.look === 'read' ? (event.limits?.text ?? '') : (slot?.states[event.state] ?? '');
    const shown =
        event.look === 'read' && state !== NONE && bandOf(machine, event.item, state)
            ? (item.states[state] ?? '')
            : state === NONE
              ? undefined
              : slot?.states[state];
    // What keeps it from being as expected; where the equipment does not tell, the last change of what is looked at.
    const wanted =
        event.look === 'see' ? event.state : item.shows.find(show => inLimits(show.band, event.limits))?.state;
    const keeping = wanted === undefined ? undefined : hindering(machine, visit.after, event.item, wanted);
    const coming = keeping === undefined ? onItsWay(card, trace, at, event.item) : undefined;
    const cause = coming?.since ?? causeOf(card, trace, visit.lastChange, keeping ?? event.slot);
    const is =
        shown === undefined
            ? item.nature === 'moved'
                ? 'stands between its positions'
                : 'shows nothing'
            : shown === expected
              ? `is ${shown}, but not when the card says`
              : `is ${shown}`;
    const line = cause && cause.id !== event.id ? `line ${lineOf(cause)}` : '';
    const kept = keeping === undefined ? undefined : machine.slots[keeping];
    const because = kept
        ? `, because ${nameAndLabel(machine.items[kept.item] as Item)} is ${stateName(kept, visit.after[keeping as number] ?? NONE)} ${line ? `from ${line} on` : 'as the card began'}`
        : line
          ? ` because of ${line}`
          : cause
            ? ''
            : ' since the card began, and nothing the card does changes that';
    const way =
        coming &&
        `is still on its way to ${stateName(machine.slots[machine.items[coming.item]?.slot ?? NONE] as Slot, coming.to)}${line ? ` since ${line}` : ''}`;
    const so = !way
        ? `${is}${because}`
        : coming.item === event.item
          ? way
          : `${is}, because ${nameAndLabel(machine.items[coming.item] as Item)} ${way}`;
    const late = event.for !== NONE ? ` for ${event.for} s` : event.within !== NONE ? ` within ${event.within} s` : '';
    return {
        code: 'expectation-contradicted',
        severity: 'error',
        span: event.span,
        card: plan.card,
        about: [item.name],
        fixes: [],
        message: `${nameAndLabel(item)} cannot be seen to be ${expected}${late} here: it ${so}. Change what is expected, or what is done before.`,
        related: [
            ...(cause && cause.id !== event.id ? [{ span: cause.span, message: 'This is what makes it so' }] : []),
            ...calledFrom(event),
        ],
        cause: cause ? cause.key : `start ${kept ? machine.items[kept.item]?.name : item.name}`,
    };
}

/** What the item rests on, or the item itself, while it still moves when the look is over; and the event that set it going. */
function onItsWay(
    { machine, plan }: Judged,
    trace: Trace,
    at: number,
    item: number,
): { readonly item: number; readonly to: number; readonly since: Event | undefined } | undefined {
    const behind = restsOn(machine, item);
    const moving = trace.visits[at + 1]?.moving.find(each => behind.includes(each.item));
    if (!moving) return undefined;
    for (let n = at; n >= 0; n--) {
        const visit = trace.visits[n];
        const started = visit?.started.lastIndexOf(moving.item) ?? NONE;
        if (started >= 0) return { ...moving, since: plan.events[visit?.startedBy[started] ?? NONE] };
    }
    return { ...moving, since: undefined };
}

/** The event at the root of the last change of the slot, before or during the look. */
function causeOf({ plan }: Judged, trace: Trace, before: number, slot: number): Event | undefined {
    for (let n = before - 1; n >= 0; n--) {
        const change = trace.changes[n];
        if (change?.slot === slot) return plan.events[change.root];
    }
    return undefined;
}

const inLimits = (band: Band | undefined, limits: Band | undefined): boolean =>
    band !== undefined && limits !== undefined && band.low >= limits.low && band.high <= limits.high;

const stateName = (slot: Slot, state: number): string => slot.states[state] ?? 'in none of its positions';
