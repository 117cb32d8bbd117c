import type { Condition } from '../conditions/condition.js';
import { type Machine, NONE, type Rule, type RuleBody, type Trigger } from '../machine/machine.js';
import type { Event, Plan } from '../plan/plan.js';
import type { Traces } from '../trace/trace.js';
import { surely } from './facts.js';
import type { Pair, PathState } from './paths.js';
import { isIn } from './places.js';
import { movementsStarted, type Start } from './runs.js';

type Before = Extract<RuleBody, { kind: 'before' }>;

/** The items that somebody has hands on: operated, torqued, measured, or named in an action text. Not what is seen, read or spoken of. */
export function handsOn(event: Event): readonly number[] {
    switch (event.kind) {
        case 'operate':
        case 'press':
        case 'keep-start':
        case 'keep-end':
        case 'torque':
        case 'tag':
            return [event.item];
        case 'look':
            return event.look === 'measure' ? [event.item] : [];
        case 'prose':
            return event.refs;
        default:
            return [];
    }
}

/** Hands-on work, whatever it is done to: it voids a clearance. */
export function isHandsOn(event: Event, state: PathState): boolean {
    if (event.kind === 'prose' || (event.kind === 'clear' && event.verb === 'clear')) return true;
    return handsOn(event).length > 0 && !isAlreadySo(event, state);
}

/** An `ensure` that is surely already so does nothing, and matches no rule. */
export function isAlreadySo(event: Event, state: PathState): boolean {
    return event.kind === 'operate' && event.ensure && surely(state.facts[event.slot], event.state);
}

/** Whether an action is what the trigger speaks of. Movements are not actions: see `movementRules`. */
export function triggers(machine: Machine, trigger: Trigger, event: Event, state: PathState): boolean {
    if (trigger.kind === 'moves' || isAlreadySo(event, state) || event.kind === 'keep-end') return false;
    if (trigger.kind === 'work') return handsOn(event).some(item => isIn(machine, item, trigger.item));
    if (event.item !== trigger.item) return false;
    switch (event.kind) {
        case 'operate':
            return event.verb === trigger.verb;
        case 'keep-start':
        case 'press':
            return trigger.verb === 'set' || trigger.verb === 'press';
        case 'torque':
            return trigger.verb === 'torque';
        case 'look':
            return event.look === 'measure' && trigger.verb === 'measure';
        default:
            return false;
    }
}

export interface RuleBook {
    readonly machine: Machine;
    /** `before` rules and their places in machine.rules. */
    readonly before: readonly { readonly index: number; readonly rule: Rule; readonly body: Before }[];
    readonly pairs: readonly Pair[];
    /** By item: rules in `before` whose triggers name it or, for work, the unit that it is in. */
    readonly byItem: ReadonlyMap<number, readonly number[]>;
}

const books = new WeakMap<Machine, RuleBook>();

export function ruleBook(machine: Machine): RuleBook {
    let book = books.get(machine);
    if (book) return book;
    const before = machine.rules.flatMap((rule, index) =>
        rule.body.kind === 'before' ? [{ index, rule, body: rule.body }] : [],
    );
    const pairs: Pair[] = [];
    for (const { body } of machine.rules) {
        for (const condition of conditionsOf(body)) {
            for (const atom of atomsOf(condition)) {
                if (atom.op === 'told' && pairIndex(pairs, atom) === NONE) {
                    pairs.push({ to: atom.to, from: atom.from, once: atom.onceForEachTest });
                }
            }
        }
    }
    const byItem = new Map<number, number[]>();
    for (const item of machine.items.keys()) {
        const found = before.flatMap(({ body }, n) =>
            body.triggers.some(each => each.item === item || (each.kind === 'work' && isIn(machine, item, each.item)))
                ? [n]
                : [],
        );
        if (found.length > 0) byItem.set(item, found);
    }
    book = { machine, before, pairs, byItem };
    books.set(machine, book);
    return book;
}

/** The `before` rules, as indices into `before` of the book, that an action comes under. */
export function rulesOnAction(book: RuleBook, event: Event, state: PathState): readonly number[] {
    const items = handsOn(event);
    if (items.length === 0) return [];
    const found: number[] = [];
    for (const item of items) {
        for (const n of book.byItem.get(item) ?? []) {
            if (found.includes(n)) continue;
            if (book.before[n]?.body.triggers.some(each => triggers(book.machine, each, event, state))) found.push(n);
        }
    }
    return found;
}

export interface MovementRule {
    /** Index into `before` of the book. */
    readonly rule: number;
    readonly start: Start;
}

/** Every start of a movement that a `before ... moves` rule speaks of. */
export function movementRules(book: RuleBook, plan: Plan, traces: Traces): readonly MovementRule[] {
    const moved = book.before.flatMap(({ body }, rule) =>
        body.triggers.flatMap(each => (each.kind === 'moves' ? [{ rule, item: each.item }] : [])),
    );
    if (moved.length === 0) return [];
    return movementsStarted(plan, traces).flatMap(start =>
        moved.filter(each => each.item === start.item).map(({ rule }) => ({ rule, start })),
    );
}

export function conditionsOf(body: RuleBody): readonly Condition[] {
    switch (body.kind) {
        case 'while':
            return [body.when, body.require];
        case 'never':
            return [body.never];
        case 'keep':
            return [];
        default:
            return [body.require];
    }
}

export type Atom = Exclude<Condition, { op: 'not' | 'and' | 'or' }>;

export function atomsOf(condition: Condition): readonly Atom[] {
    switch (condition.op) {
        case 'not':
            return atomsOf(condition.of);
        case 'and':
        case 'or':
            return condition.of.flatMap(atomsOf);
        default:
            return [condition];
    }
}

export function pairIndex(pairs: readonly Pair[], told: Extract<Condition, { op: 'told' }>): number {
    return pairs.findIndex(
        each => each.to === told.to && each.from === told.from && each.once === told.onceForEachTest,
    );
}

/** The pairs that the condition speaks of. */
export function pairsIn(book: RuleBook, condition: Condition): readonly number[] {
    return atomsOf(condition).flatMap(atom => (atom.op === 'told' ? [pairIndex(book.pairs, atom)] : []));
}
