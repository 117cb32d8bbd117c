/** What differs in the equipment that a card stands on: items, what feeds them, what they do, rules, failures, labels. */
import type { Condition } from '../../conditions/condition.js';
import type { Span } from '../../findings/finding.js';
import { sayCondition } from '../../machine/compile-conditions.js';
import {
    type Band,
    type Item,
    type Machine,
    NONE,
    type OwnFailure,
    type Rule,
    type RuleBody,
} from '../../machine/machine.js';
import { list } from '../../vocabulary/sentences.js';
import type { Kind } from './comparison.js';
import { type Found, found } from './found.js';
import type { Side } from './names.js';
import { nameIn, seconds } from './words.js';

interface Sides {
    readonly old: Side;
    readonly new: Side;
}

export function changesOfEquipment(sides: Sides): Found[] {
    return [...places(sides), ...items(sides), ...rules(sides), ...failures(sides), ...pairs(sides)];
}

/** One fact about a thing: as compared, and as said. */
interface Fact {
    readonly kind: Kind;
    readonly what: string;
    readonly value: string;
    readonly says: string;
    /** Of several things each by itself, so that only what differs is said. */
    readonly parts?: readonly string[];
}

const fact = (kind: Kind, what: string, value: string, says = value): Fact => ({ kind, what, value, says });

function several(what: string, all: readonly (readonly [value: string, says: string])[]): Fact {
    const parts = all.map(([, says]) => says);
    return { ...fact('behaviour', what, all.map(([value]) => value).join('; '), list(parts)), parts };
}

/** By shared name, in the order of the new side, those that are gone last. */
function byName<T extends { readonly name: string }>(
    old: readonly T[],
    now: readonly T[],
    nameOf: (side: 'old' | 'new', each: T) => string,
): { old: T | undefined; new: T | undefined }[] {
    const was = new Map(old.map(each => [nameOf('old', each), each]));
    const both = now.map(each => {
        const name = nameOf('new', each);
        const one = was.get(name);
        was.delete(name);
        return { old: one, new: each };
    });
    return [...both, ...[...was.values()].map(each => ({ old: each, new: undefined }))];
}

const inEquipment = (each: { readonly equipment: string }): string => `equipment ${each.equipment}`;

function differences(one: readonly Fact[], two: readonly Fact[]): { was: Fact | undefined; is: Fact | undefined }[] {
    const whats = new Set([...one, ...two].map(each => each.what));
    return [...whats].flatMap(what => {
        const was = one.find(each => each.what === what);
        const is = two.find(each => each.what === what);
        return was?.value === is?.value ? [] : [{ was, is }];
    });
}

/* ---- places ---- */

function places(sides: Sides): Found[] {
    const { old, new: now } = sides;
    const changes: Found[] = [];
    for (const each of byName(old.judged.machine.places, now.judged.machine.places, (side, place) =>
        sides[side].place(index(sides[side].judged.machine.places, place)),
    )) {
        const { old: one, new: two } = each;
        const where = inEquipment((two ?? one) as NonNullable<typeof one>);
        const spans = { old: one?.span, new: two?.span };
        if (!one || !two) {
            const label = (two ?? one)?.label;
            changes.push(
                found({
                    kind: 'behaviour',
                    how: two ? 'added' : 'removed',
                    says: two ? `New place: ${label}.` : `Place gone: ${label}.`,
                    where,
                    ...spans,
                }),
            );
            continue;
        }
        const about = [two.name];
        if (one.name !== two.name)
            changes.push(
                found({
                    kind: 'wording',
                    how: 'renamed',
                    says: `The place ${one.name} is now called ${two.name}.`,
                    where,
                    ...spans,
                    about,
                }),
            );
        if (one.label !== two.label)
            changes.push(
                found({
                    kind: 'wording',
                    how: 'changed',
                    says: `“${one.label}” is now labelled “${two.label}”.`,
                    where,
                    ...spans,
                    about,
                }),
            );
        const within = (side: Side, place: typeof one) => side.place(place.within);
        const behind = (side: Side, place: typeof one) => place.behind.map(side.item).sort().join(', ');
        if (within(old, one) !== within(now, two) || behind(old, one) !== behind(now, two))
            changes.push(
                found({
                    kind: 'behaviour',
                    how: 'changed',
                    says: `${two.label} is now ${lies(within(now, two), behind(now, two))} instead of ${lies(within(old, one), behind(old, one))}.`,
                    where,
                    ...spans,
                    about,
                }),
            );
    }
    return changes;
}

const lies = (within: string, behind: string): string =>
    [within && `in ${within}`, behind ? `behind ${behind}` : 'open to everybody'].filter(Boolean).join(' ');

const index = <T>(all: readonly T[], each: T): number => all.indexOf(each);

/* ---- items ---- */

function items(sides: Sides): Found[] {
    const changes: Found[] = [];
    const at = { old: numbered(sides.old.judged.machine), new: numbered(sides.new.judged.machine) };
    for (const { old: one, new: two } of byName(
        sides.old.judged.machine.items,
        sides.new.judged.machine.items,
        (side, item) => sides[side].item(at[side].get(item) ?? NONE),
    )) {
        const either = (two ?? one) as Item;
        const common = { where: inEquipment(either), old: one?.span, new: two?.span, about: [either.name] };
        const kindWord = (item: Item): Kind => (item.kind === 'breaker' ? 'breaker' : 'behaviour');
        if (!one || !two) {
            const machine = (two ? sides.new : sides.old).judged.machine;
            const name = nameIn(machine, index(machine.items, either));
            changes.push(
                found({
                    ...common,
                    kind: kindWord(either),
                    how: two ? 'added' : 'removed',
                    says: two
                        ? `New in the equipment: ${either.kind} ${name}.`
                        : `Gone from the equipment: ${either.kind} ${name}.`,
                }),
            );
            continue;
        }
        const name = nameIn(sides.new.judged.machine, at.new.get(two) ?? NONE);
        // Who pulls a breaker finds it by what is written at it.
        const called: Kind = two.kind === 'breaker' ? 'breaker' : 'wording';
        if (one.name !== two.name)
            changes.push(
                found({
                    ...common,
                    kind: called,
                    how: 'renamed',
                    says: `${one.name} (${one.label}) is now called ${two.name}.`,
                }),
            );
        if (one.label !== two.label)
            changes.push(
                found({
                    ...common,
                    kind: called,
                    how: 'changed',
                    says: `${two.name} is now labelled “${two.label}” instead of “${one.label}”.`,
                }),
            );
        for (const { was, is } of differences(factsOf(one, sides.old), factsOf(two, sides.new)))
            changes.push(
                found({
                    ...common,
                    kind: (is ?? was)?.kind ?? 'behaviour',
                    how: 'changed',
                    says: `${name} ${nowIs((is ?? was)?.what ?? '')} ${sayOne(is, was)} instead of ${sayOne(was, is)}.`,
                }),
            );
    }
    return changes;
}

function sayOne(fact: Fact | undefined, other: Fact | undefined): string {
    const parts = fact?.parts?.filter(each => !other?.parts?.includes(each)) ?? [];
    return (parts.length > 0 && other?.parts?.length === fact?.parts?.length ? list(parts) : fact?.says) || 'nothing';
}

/** "is now fed from", "now has the torque". */
const nowIs = (what: string): string => (what.startsWith('is') ? what.replace(/^is/, 'is now') : `now ${what}`);

const numbered = (machine: Machine): ReadonlyMap<Item, number> => new Map(machine.items.map((item, n) => [item, n]));

function factsOf(item: Item, side: Side): Fact[] {
    const { machine } = side.judged;
    const names = (all: readonly number[]): string => all.map(side.item).sort().join(', ');
    const nameOf = (other: number): string => (other === NONE ? '' : side.item(other));
    const when = (condition: Condition | undefined, otherwise: string): [string, string] =>
        condition ? [canonical(condition, side), `when ${sayCondition(condition, machine)}`] : [otherwise, otherwise];
    const facts = [
        fact('behaviour', 'is a', item.kind),
        // What is shown has its states from what shows it.
        fact('behaviour', 'has the positions', item.nature === 'shown' ? '' : item.states.join(', ')),
        fact('isolation', 'is normally', item.nature === 'shown' ? '' : (item.states[item.normal] ?? '')),
        // What is in a unit stands where the unit does.
        fact(
            'behaviour',
            'stands at',
            item.unit === NONE ? side.place(item.place) : '',
            machine.places[item.place]?.label ?? '',
        ),
        fact('behaviour', 'is in', nameOf(item.unit)),
        fact('behaviour', 'is fed from', names(item.feeds)),
        fact('behaviour', 'carries', nameOf(item.carries)),
        fact('behaviour', 'wets', nameOf(item.wets)),
        fact('behaviour', 'holds', names(item.holds)),
        fact('breaker', 'stands in the grid at', item.grid ?? ''),
        fact('torque', 'has the thread', item.thread ?? ''),
        fact('breaker', 'is rated', item.rated ? number(item.rated.amperes) : '', item.rated?.text),
        fact('breaker', 'has wire', item.wire ? number(item.wire.gauge) : '', item.wire?.text),
        fact('torque', 'has the torque', item.torque ? band(item.torque) : '', item.torque?.text),
        fact('behaviour', 'is', item.keyed ? 'keyed' : '', item.keyed ? 'keyed' : ''),
        fact('hold', 'after work is', item.inspected ? 'inspected' : ''),
        fact(
            'limit',
            'after work is measured:',
            item.measured
                .map(each => `${each.what} ${band(each.band)}`)
                .sort()
                .join(', '),
            list(item.measured.map(each => `${each.what} ${each.band.text}`)),
        ),
    ];
    const [live, liveSays] = when(item.live, item.nature === 'shown' && item.kind === 'source' ? 'always' : '');
    facts.push(fact('behaviour', 'is live', live, liveSays));
    // The first that holds wins: their order is part of what they say.
    const shows = item.shows.map(show => {
        const [value, says] = when(show.when, 'otherwise');
        const shown = show.band ? show.band.text : (item.states[show.state] ?? '');
        return [`${show.band ? band(show.band) : shown} ${value}`, `${shown} ${says}`] as const;
    });
    facts.push(several('shows', shows));
    const goes = item.goes.map(go => {
        const [value, says] = when(go.when, 'otherwise');
        const state = item.states[go.to] ?? '';
        const time =
            go.max === 0
                ? 'at once'
                : go.min === go.max
                  ? `in ${seconds(go.max)}`
                  : `in ${seconds(go.min)} to ${seconds(go.max)}`;
        return [`${state} ${number(go.min)} ${number(go.max)} ${value}`, `${state} ${time} ${says}`] as const;
    });
    facts.push(several('goes', goes));
    return facts;
}

const number = (value: number): string => String(Number(value.toPrecision(10)));
const band = (each: Band): string => `${number(each.low)} ${number(each.high)}`;

/** A condition as one word for both sides: what is joined by `and` or `or` stands in one order. */
export function canonical(condition: Condition, side: Side): string {
    switch (condition.op) {
        case 'is':
        case 'held':
            return `${side.item(condition.item)} is ${side.state(condition.slot, condition.state)}${condition.op === 'held' ? ` for ${number(condition.seconds)}` : ''}`;
        case 'live':
            return side.item(condition.item);
        case 'told':
            return `told ${side.place(condition.to)} from ${side.place(condition.from)}${condition.onceForEachTest ? ' once' : ''}`;
        case 'someone':
        case 'nobody':
            return `${condition.op} at ${side.place(condition.place)}`;
        case 'not':
            return `not (${canonical(condition.of, side)})`;
        default:
            return `(${condition.of
                .map(each => canonical(each, side))
                .sort()
                .join(` ${condition.op} `)})`;
    }
}

/* ---- rules ---- */

function rules(sides: Sides): Found[] {
    const changes: Found[] = [];
    const body = (side: 'old' | 'new', rule: Rule): string => canonicalBody(rule.body, sides[side]);
    const { old: one, new: two } = { old: sides.old.judged.machine.rules, new: sides.new.judged.machine.rules };
    // Names of rules may stand once in each equipment.
    const key = (rule: Rule): string => `${rule.equipment} ${rule.name}`;
    const kept = new Set(two.map(key));
    const known = new Set(one.map(key));
    const renamed = new Map<string, string>();
    for (const rule of one) {
        if (kept.has(key(rule))) continue;
        const now = two.find(
            each =>
                !known.has(key(each)) &&
                ![...renamed.values()].includes(key(each)) &&
                body('new', each) === body('old', rule),
        );
        if (now) renamed.set(key(rule), key(now));
    }
    const nameOf = (side: 'old' | 'new', rule: Rule): string =>
        side === 'old' ? (renamed.get(key(rule)) ?? key(rule)) : key(rule);
    for (const { old: was, new: is } of byName(one, two, nameOf)) {
        const either = (is ?? was) as Rule;
        const side = is ? sides.new : sides.old;
        const common = { where: inEquipment(either), old: was?.span, new: is?.span, about: itemsOfRule(either, side) };
        if (!was || !is) {
            changes.push(
                found({
                    ...common,
                    kind: 'rule',
                    how: is ? 'added' : 'removed',
                    says: `${is ? 'New' : 'Gone'}: Rule ${either.name} (${sayRule(either, side)}${either.because && `, because “${either.because}”`}).`,
                }),
            );
            continue;
        }
        if (was.name !== is.name)
            changes.push(
                found({
                    ...common,
                    kind: 'wording',
                    how: 'renamed',
                    says: `Rule ${was.name} is now called ${is.name}.`,
                }),
            );
        if (body('old', was) !== body('new', is))
            changes.push(
                found({
                    ...common,
                    kind: 'rule',
                    how: 'changed',
                    says: sayOtherRule(was, is, sides),
                }),
            );
        if (was.because !== is.because && unlabelled(was, sides.old) !== unlabelled(is, sides.new))
            changes.push(
                found({
                    ...common,
                    kind: 'rule',
                    how: 'changed',
                    says: `Rule ${is.name} is now there because “${is.because}”; it said “${was.because}”.`,
                }),
            );
    }
    return changes;
}

/** The reason as written, so that a new label is told once. */
function unlabelled(rule: Rule, side: Side): string {
    const written = side.judged.text(rule.span.file).slice(rule.span.offset, rule.span.end);
    const because = /\bbecause\s*"((?:[^"\\]|\\.)*)"\s*$/.exec(written)?.[1] ?? rule.because;
    return because.replace(/\[([^\]]*)\]/g, (_, name: string) => `[${side.named(name.trim())}]`);
}

function itemsOfRule(rule: Rule, side: Side): string[] {
    const { body } = rule;
    const own = body.kind === 'before' ? body.triggers.map(each => each.item) : 'item' in body ? [body.item] : [];
    return own.map(side.item);
}

function canonicalBody(body: RuleBody, side: Side): string {
    switch (body.kind) {
        case 'before': {
            const triggers = body.triggers.map(
                each => `${each.kind === 'verb' ? each.verb : each.kind} ${side.item(each.item)}`,
            );
            return `before ${triggers.sort().join(', ')} require ${canonical(body.require, side)}`;
        }
        case 'while':
            return `while ${canonical(body.when, side)} require ${canonical(body.require, side)}`;
        case 'never':
            return `never ${canonical(body.never, side)}`;
        case 'test':
        case 'end-of-test':
            return `${body.kind} ${side.item(body.item)} require ${canonical(body.require, side)}`;
        case 'keep':
            return `keep ${side.item(body.item)} ${side.itemOf(body.item)?.states[body.state] ?? ''} ${[body.atMost, body.rest, body.times, body.longRest].map(number).join(' ')}`;
    }
}

/** Where only what is asked for differs, that alone is said twice. */
function sayOtherRule(was: Rule, is: Rule, sides: Sides): string {
    const parts = ({ body }: Rule, side: Side): { when: string; asked: string } | undefined => {
        if (!('require' in body)) return undefined;
        const asked = sayCondition(body.require, side.judged.machine);
        const all = sayRule({ body }, side);
        return { when: all.slice(0, all.length - asked.length).replace(/, $/, ''), asked };
    };
    const [one, two] = [parts(was, sides.old), parts(is, sides.new)];
    return one && two && one.when === two.when
        ? `Rule ${is.name} now asks, ${two.when}, that ${two.asked}; it asked that ${one.asked}.`
        : `Rule ${is.name} now says: ${sayRule(is, sides.new)}; it said: ${sayRule(was, sides.old)}.`;
}

function sayRule({ body }: Pick<Rule, 'body'>, side: Side): string {
    const { machine } = side.judged;
    const thing = (item: number): string => nameIn(machine, item);
    switch (body.kind) {
        case 'before': {
            const acts = body.triggers.map(each =>
                each.kind === 'work'
                    ? `work on ${thing(each.item)}`
                    : each.kind === 'moves'
                      ? `${thing(each.item)} moves`
                      : `${each.verb} ${thing(each.item)}`,
            );
            return `before ${list(acts)}, ${sayCondition(body.require, machine)}`;
        }
        case 'while':
            return `while ${sayCondition(body.when, machine)}, ${sayCondition(body.require, machine)}`;
        case 'never':
            return `never ${sayCondition(body.never, machine)}`;
        case 'test':
            return `to test ${thing(body.item)}, ${sayCondition(body.require, machine)}`;
        case 'end-of-test':
            return `at the end of the test of ${thing(body.item)}, ${sayCondition(body.require, machine)}`;
        case 'keep': {
            const rest = body.rest > 0 ? `, then rest ${seconds(body.rest)}` : '';
            const long = body.times > 0 ? `, after ${body.times} times rest ${seconds(body.longRest)}` : '';
            return `keep ${thing(body.item)} at most ${seconds(body.atMost)}${rest}${long}`;
        }
    }
}

/* ---- failures and pairs ---- */

function failures(sides: Sides): Found[] {
    const of = (side: Side): Map<string, { each: OwnFailure; says: string }> => {
        const { machine } = side.judged;
        return new Map(
            machine.ownFailures.map(each => {
                const state = each.band ? band(each.band) : (machine.items[each.changes]?.states[each.state] ?? '');
                const value = [
                    side.item(each.item),
                    each.label,
                    side.item(each.changes),
                    state,
                    each.when ? canonical(each.when, side) : 'always',
                ].join('\u0001');
                const when = each.when ? ` when ${sayCondition(each.when, machine)}` : '';
                const says = `“${each.label}” of ${nameIn(machine, each.item)}: ${nameIn(machine, each.changes)} is ${each.band?.text ?? state}${when}`;
                return [value, { each, says }];
            }),
        );
    };
    const [old, now] = [of(sides.old), of(sides.new)];
    const where = (side: Side, each: OwnFailure): string => `equipment ${side.itemOf(each.item)?.equipment ?? ''}`;
    return [
        ...[...now].flatMap(([value, { each, says }]) =>
            old.has(value)
                ? []
                : [
                      found({
                          kind: 'behaviour',
                          how: 'added',
                          says: `New failure: ${says}.`,
                          where: where(sides.new, each),
                          new: each.span,
                          about: [sides.new.item(each.item)],
                      }),
                  ],
        ),
        ...[...old].flatMap(([value, { each, says }]) =>
            now.has(value)
                ? []
                : [
                      found({
                          kind: 'behaviour',
                          how: 'removed',
                          says: `Failure gone: ${says}.`,
                          where: where(sides.old, each),
                          old: each.span,
                          about: [sides.old.item(each.item)],
                      }),
                  ],
        ),
    ];
}

function pairs(sides: Sides): Found[] {
    const of = (side: Side): string[] => side.judged.machine.pairs.map(pair => list(pair.map(side.item).sort()));
    const [old, now] = [of(sides.old), of(sides.new)];
    const span = (side: Side): Span | undefined =>
        side.judged.machine.items[side.judged.machine.pairs[0]?.[0] ?? NONE]?.span;
    return [
        ...now
            .filter(each => !old.includes(each))
            .map(each =>
                found({
                    kind: 'role',
                    how: 'added',
                    says: `Like work on ${each} is now for different hands.`,
                    where: 'the equipment',
                    new: span(sides.new),
                }),
            ),
        ...old
            .filter(each => !now.includes(each))
            .map(each =>
                found({
                    kind: 'role',
                    how: 'removed',
                    says: `Like work on ${each} is no longer for different hands.`,
                    where: 'the equipment',
                    old: span(sides.old),
                }),
            ),
    ];
}
