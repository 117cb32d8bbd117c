import type { Finding } from '../../findings/finding.js';
import { calledFrom, didWhat, thing } from '../../findings/phrases.js';
import type { Band, Item, Machine } from '../../machine/machine.js';
import { surelyOff } from '../../paths/places.js';
import type { Event, LookEvent } from '../../plan/plan.js';
import type { Judged } from '../check.js';
import { fix, insertAfter, itemThere, replace, roleThere, written } from '../edits.js';
import { handled } from './disturbed.js';
import { type Owed, owedAlong, owedAtEnd, owing, settled } from './owed.js';

/** One value that the equipment asks for. What is owed of it: at twice its place in the list that it is measured, at the next that it is recorded. */
interface Asked {
    readonly item: number;
    readonly what: string;
    readonly band: Band;
}

interface Missing {
    readonly asked: Asked;
    /** The event that handled the thing last. */
    readonly event: Event;
}

interface Measures {
    readonly unmeasured: readonly Missing[];
    readonly unrecorded: readonly { readonly asked: Asked; readonly look: LookEvent }[];
}

const cache = new WeakMap<Judged, Measures>();

/** What is measured too little on some way to the end, and what is measured and not written down; computed once a card. */
function measuresOf(card: Judged): Measures {
    let found = cache.get(card);
    if (!found) {
        found = compute(card);
        cache.set(card, found);
    }
    return found;
}

function askedIn(machine: Machine): readonly Asked[] {
    return machine.items.flatMap((each, item) => each.measured.map(({ what, band }) => ({ item, what, band })));
}

const words = (what: string): string => what.trim().toLowerCase().replaceAll(/\s+/g, ' ');
const CLOSE = 1e-9;

/** The look measures what is asked for. */
function isOf(look: LookEvent, { item, what }: Asked): boolean {
    return look.look === 'measure' && look.item === item && words(look.what) === words(what);
}

/** Wider limits on the card let a value pass that the equipment does not. */
function isWithin({ limits }: LookEvent, { band }: Asked): boolean {
    const room = CLOSE * Math.max(1, Math.abs(band.low), Math.abs(band.high));
    return limits !== undefined && limits.low >= band.low - room && limits.high <= band.high + room;
}

function compute(card: Judged): Measures {
    const { machine, plan } = card;
    const asked = askedIn(machine);
    if (asked.length === 0) return { unmeasured: [], unrecorded: [] };
    // Nothing has been recorded yet; that nobody has measured it either is no fault as long as nobody has handled it.
    const start: Owed = new Map(asked.map((_, n) => [2 * n + 1, []]));
    const along = owedAlong(card, start, (owed, event, state) => {
        let left = owed;
        if (event.kind === 'look' && event.look === 'measure') {
            for (const [n, each] of asked.entries()) {
                if (!isOf(event, each)) continue;
                if (isWithin(event, each)) left = settled(left, 2 * n);
                const unrecorded = left.get(2 * n + 1);
                if (event.record) left = settled(left, 2 * n + 1);
                else if (unrecorded) left = owing(left, 2 * n + 1, [...unrecorded, event.id]);
            }
            return left;
        }
        const items = handled(machine, event, state);
        if (items.length === 0) return owed;
        for (const [n, each] of asked.entries())
            if (items.includes(each.item)) left = owing(owing(left, 2 * n, [event.id]), 2 * n + 1, []);
        return left;
    });
    const unmeasured: Missing[] = [];
    const unrecorded = new Map<string, Measures['unrecorded'][number]>();
    for (const { owed, state } of owedAtEnd(card, along))
        for (const [n, each] of asked.entries()) {
            const event = plan.events[owed.get(2 * n)?.at(-1) ?? -1];
            if (event && !surelyOff(machine, state, each.item)) unmeasured.push({ asked: each, event });
            for (const by of owed.get(2 * n + 1) ?? []) {
                const look = plan.events[by];
                if (look?.kind === 'look') unrecorded.set(`${n} ${by}`, { asked: each, look });
            }
        }
    return { unmeasured, unrecorded: [...unrecorded.values()] };
}

export function notMeasured(card: Judged): readonly Finding[] {
    const { machine, plan } = card;
    return measuresOf(card).unmeasured.map(({ asked, event }) => {
        const item = machine.items[asked.item] as Item;
        const looks = plan.events.filter(each => each.kind === 'look' && each.look === 'measure');
        const own = looks.filter((each): each is LookEvent => each.kind === 'look' && each.item === asked.item);
        const wide = own.find(each => isOf(each, asked) && !isWithin(each, asked));
        const later = own.some(each => isOf(each, asked) && isWithin(each, asked) && each.id > event.id);
        const other = own.find(each => !isOf(each, asked));
        const why = later
            ? 'there is a way to the end of the card on which it is not measured after that'
            : wide
              ? `the limits of ${wide.limits?.text} on the card let more pass`
              : other
                ? `what the card measures of it is called "${other.what}"`
                : 'the card does not measure it after that';
        return {
            code: 'not-measured',
            severity: 'warning',
            span: event.span,
            card: plan.card,
            about: [item.name],
            message: `${thing(machine, event.item)} is ${didWhat(event)} here, and the equipment asks for the ${asked.what} of ${asked.item === event.item ? 'it' : thing(machine, asked.item)} to be ${asked.band.text} afterwards: ${why}. Measure it once all is back in place.`,
            related: [
                ...calledFrom(event),
                ...own.map(each => ({ span: each.span, message: `The ${each.what} is measured here` })),
                { span: item.span, message: `${thing(machine, asked.item)} stands here` },
            ],
            fixes: later || wide ? [] : measuring(card, asked, event),
            cause: `${event.key} ${asked.item} ${asked.what}`,
        };
    });
}

function measuring(card: Judged, asked: Asked, event: Event): Finding['fixes'] {
    const role = roleThere(card, event, event.role);
    const name = itemThere(card, event, asked.item);
    if (!role || !name) return [];
    const line = `${role}: measure "${asked.what}" of ${name} ${asked.band.text} record`;
    return [fix(`Measure the ${asked.what} of ${name} after it`, insertAfter(card, event.statement, [line]))];
}

export function notRecorded(card: Judged): readonly Finding[] {
    const { machine, plan } = card;
    return measuresOf(card).unrecorded.map(({ asked, look }) => ({
        code: 'not-recorded',
        severity: 'warning',
        span: look.span,
        card: plan.card,
        about: [machine.items[asked.item]?.name ?? ''],
        message: `The ${asked.what} of ${thing(machine, asked.item)} is measured here, and the card has no blank for it. The equipment asks for the value: write "record" behind the limits.`,
        related: [
            ...calledFrom(look),
            ...(machine.items[asked.item]
                ? [{ span: (machine.items[asked.item] as Item).span, message: 'The equipment asks for it here' }]
                : []),
        ],
        fixes: recording(card, look),
        cause: `${look.statement.file} ${look.statement.offset}`,
    }));
}

/** "record" behind the limits, before the block if there is one. */
function recording(card: Judged, look: LookEvent): Finding['fixes'] {
    const { file, offset } = look.statement;
    const text = written(card, look.statement);
    const limits = /\b(?:to|at least|at most)\s+-?[\d.,]+\s+(?:US\s+gal|[^\s{]+)/.exec(
        text.replace(/"[^"]*"/, each => 'x'.repeat(each.length)),
    );
    if (!limits) return [];
    const at = offset + limits.index + limits[0].length;
    return [fix('Record the value', replace(card, file, at, at, ' record'))];
}
