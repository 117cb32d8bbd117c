import type { Condition } from '../../conditions/condition.js';
import type { Finding, Fix } from '../../findings/finding.js';
import {
    calledFrom,
    changedAt,
    changedHere,
    didWhat,
    duration,
    isSo,
    lineOf,
    ruleSays,
    thing,
} from '../../findings/phrases.js';
import { type Machine, NONE, type Rule } from '../../machine/machine.js';
import { CAN_FAIL, type Circumstances, evaluate, held, lasted } from '../../paths/evaluate.js';
import { byOfState, circumstances } from '../../paths/judge.js';
import type { PathState } from '../../paths/paths.js';
import { isIn, onStates, unitsOf } from '../../paths/places.js';
import { atomsOf } from '../../paths/rules.js';
import { rootOfLastChange } from '../../paths/runs.js';
import type { Event, LookEvent } from '../../plan/plan.js';
import type { Judged } from '../check.js';
import { fix, inCard, insertBefore, replace, statementInCard, written } from '../edits.js';
import { codeOf } from '../isolation/broken-rules.js';
import { aboutOf, causeOf, rulings } from '../rulings.js';

type Held = Extract<Condition, { op: 'held' }>;

/** Something is done, or looked for in a test, sooner than a rule allows. */
export function waitTooShort(card: Judged): readonly Finding[] {
    return [...beforeActions(card), ...inTests(card)];
}

function beforeActions(card: Judged): readonly Finding[] {
    const { machine, plan, paths } = card;
    return rulings(card).flatMap((ruling): Finding[] => {
        const { event, how, broken, rule } = ruling;
        const { atom } = broken;
        if (codeOf(ruling) !== 'wait-too-short' || atom.op !== 'held') return [];
        const state = paths.at[event.id];
        const by = state ? eventsBehind(card, state, event, atom) : [];
        const subject =
            how.kind === 'movement'
                ? `${thing(machine, how.item)} moves`
                : `${thing(machine, event.item === NONE ? atom.item : event.item)} is ${didWhat(event)}`;
        return [
            {
                code: 'wait-too-short',
                severity: 'error',
                span: event.span,
                card: plan.card,
                about: aboutOf(card, ruling),
                message: `${subject} when ${soFor(machine, atom, broken.guaranteed)}; at least ${duration(atom.seconds)} must have passed.${changedAt(plan, by)}${ruleSays(rule)}`,
                related: [
                    ...calledFrom(event),
                    ...changedHere(plan, by, event.id),
                    { span: rule.span, message: `Rule ${rule.name} stands here` },
                ],
                fixes: longer(card, event, by, broken.asked - broken.guaranteed),
                cause: `${rule.name} ${causeOf(card, { ...broken, by })}`,
            },
        ];
    });
}

/** "PUMP (HYD 2 ELEC PUMP) is OFF for a guaranteed 60 s only". */
function soFor(machine: Machine, atom: Held, seconds: number): string {
    return `${thing(machine, atom.item)} ${isSo(machine, atom.slot, atom.state)} for a guaranteed ${duration(seconds)} only`;
}

function eventsBehind(card: Judged, state: PathState, event: Event, atom: Held): readonly number[] {
    if (state.facts[atom.slot]) return byOfState(state, atom.slot, atom.state);
    const at = circumstances(card, atom, { event: event.id, actor: NONE }, state)[0];
    return at?.seen ? [rootOfLastChange(at.seen, atom.slot)] : [];
}

/** A longer wait: the last one between the change and the event, or a new one. */
export function longer(card: Judged, event: Event, since: readonly number[], missing: number): readonly Fix[] {
    const after = Math.max(NONE, ...since);
    const found: Fix[] = [];
    const wait = card.plan.events.findLast(
        each =>
            each.kind === 'wait' &&
            each.id < event.id &&
            each.id > after &&
            !card.plan.arms.some(arm => isInside(arm, each.id)),
    );
    if (wait) {
        const text = written(card, wait.statement);
        const total = wait.guaranteed + missing;
        if (/^wait\s/.test(text))
            found.push(
                fix(
                    `Wait ${duration(total)} in place of ${duration(wait.guaranteed)}`,
                    replace(
                        card,
                        wait.statement.file,
                        wait.statement.offset,
                        wait.statement.end,
                        `wait ${duration(total)}`,
                    ),
                ),
            );
    }
    const title = `Wait ${duration(missing)} before it`;
    const lines = [`wait ${duration(missing)}`];
    if (event.calls.length > 0 && inCard(card, statementInCard(event)))
        found.push(fix(title, insertBefore(card, statementInCard(event), lines)));
    found.push(fix(title, insertBefore(card, event.statement, lines)));
    return found;
}

const isInside = (arm: Judged['plan']['arms'][number], event: number): boolean =>
    arm.entry !== arm.join && event >= arm.entry && (arm.join === NONE ? false : event < arm.join);

/** `to test X require ... for at least T`: some look that would show X's failure must be taken late enough. */
function inTests(card: Judged): readonly Finding[] {
    const { machine, plan, paths } = card;
    const found: Finding[] = [];
    const looksIn = new Map<number, LookEvent[]>();
    for (const each of plan.events) {
        if (each.kind !== 'look' || each.look === 'measure' || paths.at[each.id] === undefined) continue;
        const known = looksIn.get(each.step);
        if (known) known.push(each);
        else looksIn.set(each.step, [each]);
    }
    for (const rule of machine.rules) {
        const { body } = rule;
        if (body.kind !== 'test') continue;
        const times = parts(body.require).filter(each => each.op === 'held');
        if (times.length === 0) continue;
        for (const [index, step] of plan.steps.entries()) {
            if (step.kind !== 'test' || !step.of.some(each => isIn(machine, body.item, each))) continue;
            const looks = (looksIn.get(index) ?? []).filter(each => shows(machine, each.item, body.item));
            for (const atom of times) {
                const late = looks
                    .map(look => ({ look, ...readyFor(card, look, atom, body.item) }))
                    .filter(each => each.seconds !== undefined);
                if (late.length === 0 || late.some(each => (each.seconds ?? 0) >= atom.seconds)) continue;
                const best = late.reduce((one, other) => ((other.seconds ?? 0) >= (one.seconds ?? 0) ? other : one));
                found.push(tooSoon(card, rule, atom, body.item, best.look, best.seconds ?? 0, best.by, best.since));
            }
        }
    }
    return found;
}

const parts = (condition: Condition): readonly Condition[] =>
    condition.op === 'and' ? condition.of.flatMap(parts) : [condition];

interface Ready {
    /** Undefined: it is not even so. */
    readonly seconds: number | undefined;
    readonly by: readonly number[];
    /** What the time counts from, where it is not the change of the thing asked for. */
    readonly since: string;
}

/** For how long it has surely been so when the look is taken, counted from no earlier than the joint was closed and its area cleaned. */
function readyFor(card: Judged, look: LookEvent, atom: Held, item: number): Ready {
    const { machine, plan, paths } = card;
    const state = paths.at[look.id] as PathState;
    const all: readonly Circumstances[] = circumstances(card, atom, { event: look.id, actor: NONE }, state);
    if (all.some(at => (evaluate(machine, atom, { ...at, timeless: true }) & CAN_FAIL) !== 0))
        return { seconds: undefined, by: [], since: '' };
    let seconds = Math.min(...all.map(at => held(atom, at)));
    let by = eventsBehind(card, state, look, atom);
    let since = '';
    for (const { slot, word } of startsNoEarlier(machine, item)) {
        for (const fact of state.facts[slot] ?? []) {
            // As the card began: closed or clean long since.
            if (fact.by.every(each => each === NONE)) continue;
            const time = lasted(state, fact);
            if (time >= seconds) continue;
            seconds = time;
            by = fact.by;
            const last = plan.events[fact.by.at(-1) ?? NONE];
            since = last
                ? ` since ${thing(machine, machine.slots[slot]?.item ?? NONE)} was ${word} at line ${lineOf(last)}`
                : '';
        }
    }
    return { seconds: seconds + look.guaranteed, by, since };
}

function startsNoEarlier(machine: Machine, item: number): readonly { readonly slot: number; readonly word: string }[] {
    const own = machine.items[item];
    if (!own || own.carries === NONE) return [];
    const closed = onStates(machine, item).map(each => ({ slot: each.slot, word: 'closed' }));
    const units = unitsOf(machine, item).flatMap(unit =>
        onStates(machine, unit).map(each => ({ slot: each.slot, word: 'installed' })),
    );
    const area = machine.items[own.wets];
    return [...closed, ...units, ...(area ? [{ slot: area.slot, word: 'cleaned' }] : [])];
}

function tooSoon(
    card: Judged,
    rule: Rule,
    atom: Held,
    item: number,
    look: LookEvent,
    seconds: number,
    by: readonly number[],
    since: string,
): Finding {
    const { machine, plan } = card;
    return {
        code: 'wait-too-short',
        severity: 'error',
        span: look.span,
        card: plan.card,
        about: [machine.items[item]?.name ?? '', machine.items[atom.item]?.name ?? ''],
        message: `${thing(machine, item)} is tested with this look when ${soFor(machine, atom, seconds)}${since}; at least ${duration(atom.seconds)} must have passed.${since ? '' : changedAt(plan, by)}${ruleSays(rule)}`,
        related: [
            ...calledFrom(look),
            ...changedHere(plan, by, look.id),
            { span: rule.span, message: `Rule ${rule.name} stands here` },
        ],
        fixes: longer(card, look, by, atom.seconds - seconds),
        cause: `${rule.name} ${look.key}`,
    };
}

/** What the item shows rests on the other one, at any remove; an area on the joints that wet it. */
function shows(machine: Machine, item: number, on: number): boolean {
    const joint = machine.items[on];
    if (joint && joint.wets !== NONE) return item === joint.wets;
    const passed = new Set<number>();
    const rests = (at: number): boolean => {
        if (isIn(machine, at, on)) return true;
        const own = machine.items[at];
        if (!own || passed.has(at)) return false;
        passed.add(at);
        const conditions = [
            ...own.shows.flatMap(each => each.when ?? []),
            ...own.goes.flatMap(each => each.when ?? []),
            ...(own.live ? [own.live] : []),
        ];
        return (
            own.feeds.some(rests) ||
            conditions.some(each => atomsOf(each).some(atom => 'item' in atom && rests(atom.item)))
        );
    };
    return rests(item);
}
