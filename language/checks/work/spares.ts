import type { Finding, Fix } from '../../findings/finding.js';
import { calledFrom, changedHere, didWhat, lineOf, thing, things } from '../../findings/phrases.js';
import { type Item, type Machine, NONE } from '../../machine/machine.js';
import { surely } from '../../paths/facts.js';
import type { PathState } from '../../paths/paths.js';
import { isIn, unitsOf } from '../../paths/places.js';
import type { Event, Plan, Spare } from '../../plan/plan.js';

import type { Judged } from '../check.js';
import { fix, inCard, replace, written } from '../edits.js';
import { handles } from './disturbed.js';
import { type Owed, owedAlong, owedAtEnd, owing, settled } from './owed.js';

type Operate = Extract<Event, { kind: 'operate' }>;

const sparesOf = (plan: Plan, event: Operate): readonly Spare[] =>
    event.spares.flatMap(each => plan.spares[each] ?? []);

/** The event fits a new one: it is installed new, or with a spare that is for it; or the unit that it is in is. */
function renews(machine: Machine, plan: Plan, event: Operate, seal: number): boolean {
    if (event.verb !== 'install' || !isIn(machine, seal, event.item)) return false;
    return event.fresh || sparesOf(plan, event).some(each => each.forItems.includes(seal));
}

interface OldSeal {
    readonly seal: number;
    /** The event with which it went back. */
    readonly event: Operate;
}

const cache = new WeakMap<Judged, readonly OldSeal[]>();

/** Seals that go back as they came off, each time; computed once a card. */
function oldSeals(card: Judged): readonly OldSeal[] {
    let found = cache.get(card);
    if (!found) {
        found = compute(card);
        cache.set(card, found);
    }
    return found;
}

/**
 * Two things are owed of a seal, each under a number of its own: at twice its place, a new one for when it goes back (since it came off); at the next, a new
 * one for one that has gone back old.
 */
function compute(card: Judged): readonly OldSeal[] {
    const { machine, plan, paths } = card;
    const seals = machine.items.flatMap((item, n) => (item.kind === 'seal' ? [n] : []));
    if (seals.length === 0) return [];
    const start = startingOff(card, seals);
    const along = owedAlong(card, start, (owed, event, state) => {
        if (!handles(event, state)) return owed;
        let left = owed;
        for (const seal of seals) {
            if (!isIn(machine, seal, event.item) || event.slot !== machine.items[event.item]?.presence) continue;
            if (event.verb === 'remove') left = owing(settled(left, 2 * seal + 1), 2 * seal, [event.id]);
            else if (renews(machine, plan, event, seal)) left = settled(left, 2 * seal, 2 * seal + 1);
            else if (left.has(2 * seal) && mayBeAway(machine, state, event))
                left = owing(settled(left, 2 * seal), 2 * seal + 1, [event.id]);
        }
        return left;
    });
    const old = new Map<string, OldSeal>();
    const note = (owed: Owed, of: readonly number[]): void => {
        for (const seal of of)
            for (const by of owed.get(2 * seal + 1) ?? []) {
                const event = plan.events[by];
                if (event?.kind === 'operate') old.set(`${seal} ${by}`, { seal, event });
            }
    };
    for (const { owed } of owedAtEnd(card, along)) note(owed, seals);
    // Each time: one that comes off once more has been old until then.
    for (const event of plan.events) {
        const owed = along[event.id];
        const state = paths.at[event.id];
        if (owed && state && event.kind === 'operate' && event.verb === 'remove' && handles(event, state))
            note(
                owed,
                seals.filter(each => isIn(machine, each, event.item)),
            );
    }
    return [...old.values()].sort((a, b) => a.event.id - b.event.id || a.seal - b.seal);
}

/** What the card finds taken off came off under another card. */
function startingOff({ machine, plan }: Judged, seals: readonly number[]): Owed {
    const off = plan.start.filter(
        ({ slot, item, states }) => slot === machine.items[item]?.presence && states.includes(1),
    );
    return new Map(seals.filter(seal => off.some(each => isIn(machine, seal, each.item))).map(seal => [2 * seal, []]));
}

const mayBeAway = (machine: Machine, state: PathState, event: Operate): boolean => {
    const presence = machine.items[event.item]?.presence ?? NONE;
    return presence !== NONE && !surely(state.facts[presence], 0);
};

export function sealNotRenewed(card: Judged): readonly Finding[] {
    const { machine, plan } = card;
    const byEvent = new Map<Operate, number[]>();
    for (const { event, seal } of oldSeals(card)) byEvent.set(event, [...(byEvent.get(event) ?? []), seal]);
    return [...byEvent].map(([event, seals]) => {
        const inside = seals.filter(each => each !== event.item);
        const what =
            inside.length === 0
                ? `${thing(machine, event.item)} is ${didWhat(event)} here as it came off`
                : `${thing(machine, event.item)} is ${didWhat(event)} here with the old ${things(machine, inside)}`;
        const first = machine.items[seals[0] ?? NONE] as Item;
        const spares = plan.spares.filter(each => each.forItems.some(item => seals.includes(item)));
        return {
            code: 'seal-not-renewed',
            severity: 'warning',
            span: event.span,
            card: plan.card,
            about: [...new Set([...seals, event.item])].map(each => machine.items[each]?.name ?? ''),
            message: `${what}. A seal that has come off is not fitted again: install it with a new one each time, ${spares[0] ? `as in "with ${spares[0].name}"` : `with a spare that is declared "for ${first.name}"`}.`,
            related: [
                ...calledFrom(event),
                ...seals.map(each => ({
                    span: (machine.items[each] as Item).span,
                    message: `${thing(machine, each)} stands here`,
                })),
            ],
            fixes: withSpares(card, event, spares),
            cause: event.key,
        };
    });
}

/** The spares written behind the line that installs the thing. */
function withSpares(card: Judged, event: Operate, spares: readonly Spare[]): readonly Fix[] {
    const { file, offset, end } = event.statement;
    if (spares.length === 0 || event.ensure || !inCard(card, event.statement)) return [];
    const text = written(card, event.statement);
    const names = spares.map(each => each.name).join(', ');
    const sign = /\swith\s/.test(text) ? ', ' : ' with ';
    return [
        fix(`Install it with ${names}`, replace(card, file, offset + text.trimEnd().length, end, `${sign}${names}`)),
    ];
}

interface Use {
    readonly event: Operate;
    readonly spare: number;
    /** How many of the spare it takes. */
    readonly count: number;
}

function usesOf({ machine, plan, paths }: Judged): readonly Use[] {
    return plan.events.flatMap(event => {
        if (event.kind !== 'operate' || !paths.at[event.id]) return [];
        return event.spares.flatMap((spare): Use[] => {
            const own = plan.spares[spare];
            if (!own) return [];
            return [{ event, spare, count: Math.max(1, fitted(machine, own, event.item).length) }];
        });
    });
}

/** What it is for of what is installed: the thing itself, what is in it, or what it is in. */
function fitted(machine: Machine, spare: Spare, item: number): readonly number[] {
    const inside = spare.forItems.filter(each => isIn(machine, each, item));
    return inside.length > 0 ? inside : spare.forItems.filter(each => unitsOf(machine, item).includes(each));
}

export function spareNotUsed(card: Judged): readonly Finding[] {
    const { machine, plan } = card;
    if (plan.spares.length === 0) return [];
    const uses = usesOf(card);
    const found: Finding[] = [];
    const old = new Set(oldSeals(card).map(each => each.seal));
    for (const [n, spare] of plan.spares.entries()) {
        const own = uses.filter(each => each.spare === n);
        const wrong = own.filter(
            ({ event }) => spare.forItems.length > 0 && fitted(machine, spare, event.item).length === 0,
        );
        for (const { event } of wrong) found.push(strange(card, spare, event));
        if (own.length === 0) {
            // A spare for nothing in particular may be spoken of in a text; and that a seal goes back old has been said.
            if (spare.forItems.length > 0 && !spare.forItems.some(each => old.has(each)))
                found.push(unused(card, spare));
            continue;
        }
        const most = mostUsed(card, own);
        if (most.count > spare.quantity) found.push(tooOften(card, spare, most));
    }
    return found;
}

interface Most {
    readonly count: number;
    /** The last use on the way on which most are used. */
    readonly event: Operate;
}

/** The most that any one way through the card uses. */
function mostUsed({ plan, paths }: Judged, uses: readonly Use[]): Most {
    const counts = new Map(uses.map(each => [each.event.id, each]));
    const before: (Most | undefined)[] = plan.events.map(() => undefined);
    let most: Most = { count: 0, event: (uses[0] as Use).event };
    for (const event of plan.events) {
        if (!paths.at[event.id]) continue;
        const use = counts.get(event.id);
        const here = before[event.id];
        const after = use ? { count: (here?.count ?? 0) + use.count, event: use.event } : here;
        if (!after) continue;
        if (after.count > most.count) most = after;
        for (const to of [event.next, event.other])
            if (to !== NONE && after.count > (before[to]?.count ?? 0)) before[to] = after;
    }
    return most;
}

function about(
    card: Judged,
    spare: Spare,
    message: string,
    event: Operate | undefined,
    fixes: readonly Fix[],
): Finding {
    const { machine, plan } = card;
    return {
        code: 'spare-not-used',
        severity: 'warning',
        span: event?.span ?? spare.span,
        card: plan.card,
        about: [spare.name, ...(event ? [machine.items[event.item]?.name ?? ''] : [])],
        message,
        related: event ? [...calledFrom(event), { span: spare.span, message: `${spare.name} is declared here` }] : [],
        fixes,
        cause: `${spare.name} ${event?.key ?? ''}`,
    };
}

const called = (spare: Spare): string => (spare.label === spare.name ? spare.name : `${spare.name} (${spare.label})`);

function unused(card: Judged, spare: Spare): Finding {
    const { machine, plan, paths } = card;
    const installs = plan.events.filter(
        (event): event is Operate =>
            event.kind === 'operate' &&
            event.verb === 'install' &&
            paths.at[event.id] !== undefined &&
            spare.forItems.some(each => isIn(machine, each, event.item)),
    );
    const [first] = installs;
    const message = `${called(spare)} is for ${things(machine, spare.forItems)}, and nothing on the card is installed with it. ${first ? `Write "with ${spare.name}" behind the line that installs ${thing(machine, first.item)} (line ${lineOf(first)}), or take the spare out.` : 'Install it, or take the spare out.'}`;
    return about(
        card,
        spare,
        message,
        undefined,
        first && installs.length === 1 ? withSpares(card, first, [spare]) : [],
    );
}

function strange(card: Judged, spare: Spare, event: Operate): Finding {
    const { machine } = card;
    return about(
        card,
        spare,
        `${thing(machine, event.item)} is ${didWhat(event)} here with ${called(spare)}, which is for ${things(machine, spare.forItems)}. Install it with the right spare, or say "for ${machine.items[event.item]?.name}" where the spare is declared.`,
        event,
        [],
    );
}

function tooOften(card: Judged, spare: Spare, { count, event }: Most): Finding {
    const { plan } = card;
    const lines = plan.events.filter(
        each => each.kind === 'operate' && each.id !== event.id && each.spares.some(n => plan.spares[n] === spare),
    );
    const finding = about(
        card,
        spare,
        `With this, ${count} of ${called(spare)} are used on one way through the card, and there ${spare.quantity === 1 ? 'is 1' : `are ${spare.quantity}`}. Say "quantity ${count}" where it is declared, or use another.`,
        event,
        quantity(card, spare, count),
    );
    return {
        ...finding,
        related: [
            ...finding.related,
            ...changedHere(
                plan,
                lines.map(each => each.id),
                event.id,
                'used',
            ),
        ],
    };
}

/** The quantity as it is used. */
function quantity(card: Judged, spare: Spare, count: number): readonly Fix[] {
    const { file, end } = spare.span;
    const text = written(card, spare.span);
    const stated = /\bquantity\s+(\d[\d,]*)\s*$/.exec(text);
    const edit = stated
        ? replace(card, file, end - (stated[1]?.length ?? 0), end, String(count))
        : replace(card, file, end, end, ` quantity ${count}`);
    return [fix(`Say that ${count} are needed`, edit)];
}
