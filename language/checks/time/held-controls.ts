import type { Finding, Fix } from '../../findings/finding.js';
import { calledFrom, duration, lineOf, ruleSays, thing } from '../../findings/phrases.js';
import { NONE, type Rule, type RuleBody } from '../../machine/machine.js';
import { maybe, surely } from '../../paths/facts.js';
import type { Event } from '../../plan/plan.js';
import type { Judged } from '../check.js';
import { fix, inCard, replace, statementInCard, written } from '../edits.js';
import { type Longest, longestOf, onward } from './longest.js';
import { longer } from './waits.js';

type Keep = Extract<RuleBody, { kind: 'keep' }>;

/** A control may be held for longer than a rule, or the card itself, allows. */
export function keptTooLong(card: Judged): readonly Finding[] {
    const { machine, plan, paths } = card;
    const found: Finding[] = [];
    for (const event of plan.events) {
        if (event.kind !== 'keep-start' || !paths.at[event.id]) continue;
        const longest = longestInside(card, event);
        if (longest <= event.atMost) continue;
        const name = thing(machine, event.item);
        found.push({
            code: 'kept-too-long',
            severity: 'error',
            span: event.span,
            card: plan.card,
            about: [machine.items[event.item]?.name ?? ''],
            message: `What is done while ${name} is held may take ${duration(longest)}, and it is held for ${duration(event.atMost)} at most. Wait less, give the looks less time, or hold it longer.`,
            related: calledFrom(event),
            fixes: rulesOn(card, event).every(each => each.body.atMost >= longest)
                ? [...atMost(card, event, longest)]
                : [],
            cause: `${event.key} own`,
        });
    }
    for (const { rule, body } of keepRules(card)) {
        for (const event of plan.events) {
            if (!paths.at[event.id]) continue;
            const held = event.kind === 'keep-start' ? event.atMost : event.kind === 'press' ? event.guaranteed : NONE;
            const state = event.kind === 'keep-start' ? event.state : event.kind === 'press' ? event.pressed : NONE;
            if (event.item !== body.item || state !== body.state || held <= body.atMost) continue;
            found.push(
                tooLong(
                    card,
                    rule,
                    body,
                    event,
                    `may be held for ${duration(held)}`,
                    event.kind === 'keep-start' ? atMost(card, event, body.atMost) : pressed(card, event, body.atMost),
                ),
            );
        }
        found.push(...leftThere(card, rule, body).filter(each => each.code === 'kept-too-long'));
    }
    return found;
}

/** A control that may be held only for a time is set there, and nothing that is done meanwhile has a limit. */
export function heldWithoutLimit(card: Judged): readonly Finding[] {
    return keepRules(card).flatMap(({ rule, body }) =>
        leftThere(card, rule, body).filter(each => each.code === 'no-time-limit'),
    );
}

function rulesOn(card: Judged, event: Event): readonly { readonly rule: Rule; readonly body: Keep }[] {
    return keepRules(card).filter(each => each.body.item === event.item);
}

function keepRules(card: Judged): readonly { readonly rule: Rule; readonly body: Keep }[] {
    return card.machine.rules.flatMap(rule => {
        const { body } = rule;
        if (body.kind !== 'keep') return [];
        const states = card.machine.items[body.item]?.states ?? [];
        // A button is held pressed.
        return [{ rule, body: body.state === NONE ? { ...body, state: states.indexOf('PRESSED') } : body }];
    });
}

/** The longest way from where it is taken hold of to where it is let go, as far as waits and limits say. */
function longestInside(card: Judged, start: Extract<Event, { kind: 'keep-start' }>): number {
    const { plan } = card;
    const up = new Map<number, number>(onward(start).map(each => [each, 0]));
    let longest = 0;
    for (let id = start.id + 1; id < plan.events.length && up.size > 0; id++) {
        const so = up.get(id);
        const event = plan.events[id];
        if (so === undefined || !event) continue;
        up.delete(id);
        if (event.kind === 'keep-end' && event.keep === start.keep) {
            longest = Math.max(longest, so);
            continue;
        }
        const takes = longestOf(event);
        const after = so + (takes === Number.POSITIVE_INFINITY ? 0 : takes);
        longest = Math.max(longest, after);
        for (const next of onward(event)) up.set(next, Math.max(up.get(next) ?? 0, after));
    }
    return longest;
}

/** Set, not held: then only waits and limits bound how long it stays there, and something must take it away again. */
function leftThere(card: Judged, rule: Rule, body: Keep): readonly Finding[] {
    const { machine, plan, paths } = card;
    const slot = machine.items[body.item]?.slot ?? NONE;
    const up = new Map<number, Longest & { readonly from: Event }>();
    const told = new Map<number, Finding>();
    const tell = (from: Event, said: string, open?: Event): void => {
        if (!told.has(from.id)) told.set(from.id, tooLong(card, rule, body, from, said, [], open));
    };
    for (const event of plan.events) {
        const state = paths.at[event.id];
        if (!state) continue;
        const so = up.get(event.id);
        if (so && maybe(state.facts[slot], body.state)) {
            const where = stateOf(card, slot, body.state);
            if (so.seconds === Number.POSITIVE_INFINITY)
                tell(so.from, `may stay at ${where} for any length of time`, plan.events[so.open]);
            else if (so.seconds > body.atMost) tell(so.from, `may stay at ${where} for ${duration(so.seconds)}`);
            else if (event.next === NONE)
                tell(so.from, `stays at ${where} when the card ends at line ${lineOf(event)}`);
        }
        const sets =
            event.kind === 'operate' &&
            event.slot === slot &&
            event.state === body.state &&
            !surely(state.facts[slot], body.state);
        const leaves =
            'slot' in event && event.kind !== 'look' && event.kind !== 'branch' && event.slot === slot && !sets;
        const here = sets
            ? { seconds: 0, open: NONE, from: event }
            : leaves || !so || !maybe(state.facts[slot], body.state)
              ? undefined
              : so;
        if (!here) continue;
        const takes = sets ? 0 : longestOf(event);
        const opens = takes === Number.POSITIVE_INFINITY && here.open === NONE;
        const after = { seconds: here.seconds + takes, open: opens ? event.id : here.open, from: here.from };
        for (const next of onward(event)) {
            const there = up.get(next);
            if (!there || there.seconds < after.seconds) up.set(next, after);
        }
    }
    return [...told.values()];
}

const stateOf = (card: Judged, slot: number, state: number): string => card.machine.slots[slot]?.states[state] ?? '';

function tooLong(
    card: Judged,
    rule: Rule,
    body: Keep,
    event: Event,
    said: string,
    fixes: readonly Fix[],
    open?: Event,
): Finding {
    const { machine, plan } = card;
    const why = open ? ` Nothing says how long line ${lineOf(open)} takes at most.` : '';
    return {
        code: open ? 'no-time-limit' : 'kept-too-long',
        severity: 'error',
        span: event.span,
        card: plan.card,
        about: [machine.items[body.item]?.name ?? '', rule.name],
        message: `${thing(machine, body.item)} ${said}; ${duration(body.atMost)} is the most.${why} ${event.kind === 'operate' ? 'Use "keep ... at most".' : 'Hold it for less.'}${rule.because ? ruleSays(rule) : ''}`,
        related: [
            ...calledFrom(event),
            ...(open ? [{ span: open.span, message: 'This has no limit' }, ...calledFrom(open)] : []),
            { span: rule.span, message: `Rule ${rule.name} stands here` },
        ],
        fixes,
        cause: `${rule.name} ${event.key}`,
    };
}

function atMost(card: Judged, event: Event, limit: number): readonly Fix[] {
    const text = written(card, event.statement);
    const found = /\bat\s+most\s+(\d[\d.,]*\s*[^\s{]+)/.exec(text.slice(0, Math.max(0, text.indexOf('{'))));
    if (!found?.[1]) return [];
    const from = event.statement.offset + found.index + found[0].length - found[1].length;
    return [
        fix(
            `Hold it for ${duration(limit)} at most`,
            replace(card, event.statement.file, from, from + found[1].length, duration(limit)),
        ),
    ];
}

function pressed(card: Judged, event: Event, limit: number): readonly Fix[] {
    const text = written(card, event.statement);
    const found = /\bfor\s+(\d[\d.,]*\s*\S+)/.exec(text);
    if (!found?.[1]) return [];
    const from = event.statement.offset + found.index + found[0].length - found[1].length;
    return [
        fix(
            `Press it for ${duration(limit)}`,
            replace(card, event.statement.file, from, from + found[1].length, duration(limit)),
        ),
    ];
}

interface Rest {
    /** In use now: no rest passes. */
    readonly inUse: boolean;
    /** The most uses since the last long rest, and the least seconds since the last one ended. */
    readonly uses: number;
    readonly rested: number;
    readonly released: number;
}

/** A control is used again before it has rested as its rule asks. */
export function restTooShort(card: Judged): readonly Finding[] {
    const { plan, paths, machine } = card;
    const found: Finding[] = [];
    for (const { rule, body } of keepRules(card)) {
        if (body.rest <= 0 && body.longRest <= 0) continue;
        const slot = machine.items[body.item]?.slot ?? NONE;
        const fresh: Rest = { inUse: false, uses: 0, rested: Number.POSITIVE_INFINITY, released: NONE };
        const at: (Rest | undefined)[] = [fresh];
        for (const event of plan.events) {
            let rest = at[event.id];
            at[event.id] = undefined;
            const state = paths.at[event.id];
            if (!rest || !state) continue;
            const to =
                'slot' in event && event.slot === slot && event.kind !== 'look' && event.kind !== 'branch'
                    ? target(event)
                    : undefined;
            const begins = to === body.state && !(event.kind === 'operate' && surely(state.facts[slot], body.state));
            if (begins) {
                const long = body.times > 0 && rest.uses >= body.times;
                const asked = long ? body.longRest : body.rest;
                if (rest.rested < asked) found.push(tooSoon(card, rule, body, event, rest, asked, long));
                const anew = long || (body.times > 0 && rest.rested >= body.longRest);
                rest = { inUse: true, uses: anew ? 1 : rest.uses + 1, rested: 0, released: NONE };
            }
            const ends = event.kind === 'press' && begins ? true : to !== undefined && to !== body.state && rest.inUse;
            if (ends) rest = { ...rest, inUse: false, rested: 0, released: event.id };
            const onWay = (taken: number): Rest =>
                rest.inUse || begins || ends
                    ? (rest as Rest)
                    : { ...(rest as Rest), rested: (rest as Rest).rested + taken };
            const failed = event.kind === 'look' ? Math.max(0, event.after) : event.guaranteed;
            if (event.next !== NONE) at[event.next] = least(at[event.next], onWay(event.guaranteed));
            if (event.other !== NONE) at[event.other] = least(at[event.other], onWay(failed));
        }
    }
    return found;
}

function target(event: Event): number | undefined {
    switch (event.kind) {
        case 'press':
            return event.pressed;
        case 'operate':
        case 'keep-start':
        case 'keep-end':
            return event.state;
        default:
            return undefined;
    }
}

function least(a: Rest | undefined, b: Rest): Rest {
    if (!a) return b;
    const shorter = a.rested <= b.rested ? a : b;
    return {
        inUse: a.inUse || b.inUse,
        uses: Math.max(a.uses, b.uses),
        rested: shorter.rested,
        released: shorter.released,
    };
}

function tooSoon(
    card: Judged,
    rule: Rule,
    body: Keep,
    event: Event,
    rest: Rest,
    asked: number,
    long: boolean,
): Finding {
    const { machine, plan } = card;
    const before = plan.events[rest.released];
    const name = thing(machine, body.item);
    const after = long
        ? `after ${body.times} times it rests ${duration(asked)}`
        : `it rests ${duration(asked)} after each time`;
    return {
        code: 'rest-too-short',
        severity: 'error',
        span: event.span,
        card: plan.card,
        about: [machine.items[body.item]?.name ?? '', rule.name],
        message: `${name} is used again after a guaranteed rest of ${duration(rest.rested)} only; ${after}.${before ? ` Let go at line ${lineOf(before)}.` : ''}${rule.because ? ruleSays(rule) : ''}`,
        related: [
            ...calledFrom(event),
            ...(before ? [{ span: before.span, message: 'Let go here' }] : []),
            { span: rule.span, message: `Rule ${rule.name} stands here` },
        ],
        fixes: longer(card, event, [rest.released], asked - rest.rested).filter(each =>
            each.edits.every(
                edit =>
                    inCard(card, edit.span) ||
                    event.calls.length === 0 ||
                    edit.span.file !== statementInCard(event).file,
            ),
        ),
        cause: `${rule.name} ${event.key}`,
    };
}
