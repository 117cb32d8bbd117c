import type { Condition } from '../../../conditions/condition.js';
import type { Finding } from '../../../findings/finding.js';
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
} from '../../../findings/phrases.js';
import { NONE, type Rule } from '../../../machine/machine.js';
import { CAN_FAIL, type Circumstances, evaluate } from '../../../paths/evaluate.js';
import { type Asked, byOfState, circumstances } from '../../../paths/judge.js';
import { isIn } from '../../../paths/places.js';
import { atomsOf, conditionsOf, movementRules, ruleBook, rulesOnAction } from '../../../paths/rules.js';
import { rootOfLastChange } from '../../../paths/runs.js';
import type { Event } from '../../../plan/plan.js';
import type { Visit } from '../../../trace/trace.js';
import { upperFirst } from '../../../vocabulary/sentences.js';
import type { Check, Judged } from '../../check.js';
import { heldWithoutLimit } from '../held-controls.js';
import { type Longest, longestInRun, longestOnPaths } from '../longest.js';

type Held = Extract<Condition, { op: 'held' }>;

/** A rule allows something for a time only, and nothing in the card keeps it within that time. */
export const noTimeLimit: Check = {
    code: 'no-time-limit',
    family: 'time',
    severity: 'error',
    title: 'Something is allowed for a time only, and nothing limits how long it lasts',
    ofCard: card => [...heldWithoutLimit(card), ...underRules(card)],
};

/** What a rule asks where: `how` says what comes under it. */
interface Occasion {
    readonly rule: Rule;
    readonly require: Condition;
    readonly asked: Asked;
    readonly how: 'action' | 'movement' | 'standing' | 'test';
    /** What moves, or is tested. */
    readonly item: number;
}

interface Broken {
    readonly occasion: Occasion;
    readonly atom: Held;
    readonly longest: Longest;
    readonly by: readonly number[];
}

function underRules(card: Judged): readonly Finding[] {
    // Only a rule that says that something has not been so for a time needs a limit from above.
    const rules = card.machine.rules.filter(({ body }) =>
        conditionsOf(body).some(each => atomsOf(each).some(atom => atom.op === 'held')),
    );
    if (rules.length === 0) return [];
    const limits = new Limits(card);
    const found = new Map<string, Finding>();
    for (const occasion of occasionsOf(card, new Set(rules))) {
        const broken = brokenAt(card, limits, occasion);
        if (!broken) continue;
        const told = finding(card, broken);
        if (!found.has(told.cause ?? '')) found.set(told.cause ?? '', told);
    }
    return [...found.values()];
}

function occasionsOf(card: Judged, rules: ReadonlySet<Rule>): readonly Occasion[] {
    const { machine, plan, paths, traces } = card;
    const book = ruleBook(machine);
    const found: Occasion[] = [];
    for (const event of plan.events) {
        const state = paths.at[event.id];
        if (!state) continue;
        const asked = { event: event.id, actor: event.role };
        for (const n of rulesOnAction(book, event, state)) {
            const { rule, body } = book.before[n] as (typeof book.before)[number];
            if (rules.has(rule)) found.push({ rule, require: body.require, asked, how: 'action', item: event.item });
        }
        for (const rule of rules) {
            const { body } = rule;
            const always = body.kind === 'never' || body.kind === 'while';
            const step = plan.steps[event.step];
            if (always)
                found.push({
                    rule,
                    require: alwaysOf(body),
                    asked: { ...asked, actor: NONE },
                    how: 'standing',
                    item: NONE,
                });
            else if (
                step?.kind === 'test' &&
                ((body.kind === 'end-of-test' && event.kind === 'step-end') ||
                    (body.kind === 'test' && event.kind === 'look')) &&
                step.of.some(each => isIn(machine, body.item, each))
            )
                found.push({
                    rule,
                    require: body.require,
                    asked: { ...asked, actor: NONE },
                    how: 'test',
                    item: body.item,
                });
        }
    }
    for (const { rule: n, start } of movementRules(book, plan, traces)) {
        const { rule, body } = book.before[n] as (typeof book.before)[number];
        const root = plan.events[start.root];
        if (!rules.has(rule) || !root) continue;
        const asked = { event: start.event, actor: root.role, root: root.id };
        found.push({ rule, require: body.require, asked, how: 'movement', item: start.item });
    }
    return found;
}

function alwaysOf(body: Extract<Rule['body'], { kind: 'never' | 'while' }>): Condition {
    return body.kind === 'never'
        ? { op: 'not', of: body.never }
        : { op: 'or', of: [{ op: 'not', of: body.when }, body.require] };
}

/** It holds as far as what is guaranteed goes, and would not if what has no limit lasted. */
function brokenAt(card: Judged, limits: Limits, occasion: Occasion): Broken | undefined {
    const { machine, paths } = card;
    const { require, asked } = occasion;
    const state = paths.at[asked.event];
    if (!state) return undefined;
    for (const at of circumstances(card, require, asked, state)) {
        // What is surely broken is told of elsewhere.
        if ((evaluate(machine, require, at) & CAN_FAIL) !== 0) return undefined;
        const over: { atom: Held; longest: Longest }[] = [];
        const lasting = withoutLimits(require, false, atom => {
            const longest = limits.of(atom, asked.event, at);
            if (!longest || longest.seconds < atom.seconds) return false;
            over.push({ atom, longest });
            return true;
        });
        const [first] = over;
        if (!first || (evaluate(machine, lasting, at) & CAN_FAIL) === 0) continue;
        const by = state.facts[first.atom.slot]
            ? byOfState(state, first.atom.slot, first.atom.state)
            : at.seen
              ? [rootOfLastChange(at.seen, first.atom.slot)]
              : [];
        return { occasion, ...first, by };
    }
    return undefined;
}

/** The condition with each time that may have passed, and must not, taken as passed. `must`: whether this part is under a `not`. */
function withoutLimits(condition: Condition, under: boolean, may: (atom: Held) => boolean): Condition {
    switch (condition.op) {
        case 'held': {
            if (!under || !may(condition)) return condition;
            const { seconds: _, ...rest } = condition;
            return { ...rest, op: 'is' };
        }
        case 'not':
            return { op: 'not', of: withoutLimits(condition.of, !under, may) };
        case 'and':
        case 'or':
            return { ...condition, of: condition.of.map(each => withoutLimits(each, under, may)) };
        default:
            return condition;
    }
}

/** The longest times, each worked out once. */
class Limits {
    private readonly paths = new Map<string, readonly (Longest | undefined)[]>();
    private readonly runs = new Map<object, Map<string, ReadonlyMap<Visit, Longest>>>();

    constructor(private readonly card: Judged) {}

    of({ slot, state }: Held, event: number, at: Circumstances): Longest | undefined {
        const { plan, paths } = this.card;
        const key = `${slot} ${state}`;
        if (at.state.facts[slot]) {
            const known = this.paths.get(key) ?? longestOnPaths(plan, paths, slot, state);
            this.paths.set(key, known);
            return known[event];
        }
        if (!at.seen) return undefined;
        const byKey = this.runs.get(at.seen.trace) ?? new Map<string, ReadonlyMap<Visit, Longest>>();
        this.runs.set(at.seen.trace, byKey);
        const known = byKey.get(key) ?? longestInRun(plan, at.seen.trace, slot, state);
        byKey.set(key, known);
        return known.get(at.seen.visit);
    }
}

function finding(card: Judged, { occasion, atom, longest, by }: Broken): Finding {
    const { machine, plan } = card;
    const { rule, asked, how, item } = occasion;
    const event = plan.events[asked.event] as Event;
    const cause = plan.events[by.filter(each => each !== NONE).at(-1) ?? NONE];
    const open = plan.events[longest.open];
    const name = thing(machine, atom.item);
    const so = isSo(machine, atom.slot, atom.state);
    const long = longest.seconds === Number.POSITIVE_INFINITY ? 'any length of time' : duration(longest.seconds);
    const lasts =
        how === 'standing'
            ? `${name} ${so.replace(/^is /, 'may stay ')} for ${long}`
            : `${how === 'movement' ? `${thing(machine, item)} moves` : how === 'test' ? `${thing(machine, item)} is tested` : `${thing(machine, item)} is ${didWhat(event)}`} when ${name} ${so.replace(/^is /, 'may have been ')} for ${long}`;
    const why = open
        ? ` Nothing says how long line ${lineOf(open)} takes at most.`
        : longest.seconds === Number.POSITIVE_INFINITY
          ? ' It was so when the card began, and nothing says since when.'
          : '';
    const main = how === 'standing' ? (cause ?? event) : event;
    return {
        code: 'no-time-limit',
        severity: 'error',
        span: main.span,
        card: plan.card,
        about: [...new Set([machine.items[atom.item]?.name ?? '', machine.items[item]?.name ?? '', rule.name])].filter(
            each => each !== '',
        ),
        message: `${upperFirst(lasts)}; it must be less than ${duration(atom.seconds)}.${how === 'standing' ? '' : changedAt(plan, by)}${why} Hold it with "keep ... at most", or put only waits and looks with a limit in between.${ruleSays(rule)}`,
        related: [
            ...calledFrom(main),
            ...changedHere(plan, by, main.id),
            ...(open ? [{ span: open.span, message: 'This has no limit' }, ...calledFrom(open)] : []),
            { span: rule.span, message: `Rule ${rule.name} stands here` },
        ],
        fixes: [],
        cause: `${rule.name} ${atom.slot} ${how === 'standing' ? (cause?.key ?? 'start') : event.key}`,
    };
}
