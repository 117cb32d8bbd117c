/** Guaranteed times that have become shorter or longer: those that rules ask for, and those that waits made. */
import type { Condition } from '../../conditions/condition.js';
import { NONE } from '../../machine/machine.js';
import { held } from '../../paths/evaluate.js';
import { byOfState, circumstances } from '../../paths/judge.js';
import { atomsOf, conditionsOf, movementRules, ruleBook, rulesOnAction } from '../../paths/rules.js';
import type { Event } from '../../plan/plan.js';
import type { Consequence } from './comparison.js';
import type { Found } from './found.js';
import type { Matching } from './matching.js';
import type { Side } from './names.js';
import { allIn, type Node } from './nodes.js';
import { canonical } from './of-equipment.js';
import { nameIn, quoted, seconds } from './words.js';

export interface Effect {
    readonly consequence: Consequence;
    /** The change that brought it, where one is known. */
    readonly cause: Found | undefined;
}

/** A time that a rule asks for where something is done. */
interface Guarantee {
    readonly key: string;
    readonly node: Node;
    readonly seconds: number;
    readonly asked: number;
    readonly rule: string;
    readonly because: string;
    /** "PUMP (HYD 2 ELEC PUMP) is OFF". */
    readonly what: string;
    /** The events since which it counts. */
    readonly since: readonly number[];
    readonly event: number;
}

interface Sides<T> {
    readonly old: T;
    readonly new: T;
}

type Held = Extract<Condition, { op: 'held' }>;

export function changesOfTimes(
    changes: readonly Found[],
    trees: Sides<readonly Node[]>,
    matching: Matching,
    sides: Sides<Side>,
): Effect[] {
    const [old, now] = [guarantees(sides.old, trees.old), guarantees(sides.new, trees.new)];
    const effects: Effect[] = [];
    const covered = new Set<Found>();
    const said = new Set<string>();
    const { plan } = sides.new.judged;
    const was = new Map(old.map(each => [`${each.key} ${idOf(each.node)}`, each]));
    for (const is of now) {
        const partner = matching.partner.get(is.node);
        const then = partner && was.get(`${is.key} ${idOf(partner)}`);
        if (!then || Math.abs(then.seconds - is.seconds) < 1e-6) continue;
        const cause = bringer(changes, then, is);
        if (cause) covered.add(cause);
        // Every look of a test asks for the same time: the first says it.
        const once = `${is.key} ${plan.events[is.event]?.step} ${then.seconds} ${is.seconds}`;
        if (said.has(once)) continue;
        said.add(once);
        const shorter = is.seconds < then.seconds;
        const reason = is.because ? ` (${is.because.replace(/\.$/, '')})` : '';
        const before = then.asked === is.asked ? '' : `; it asked for ${seconds(then.asked)}`;
        const rule = is.asked > 0 ? `; rule ${is.rule} asks for ${seconds(is.asked)}${reason}${before}` : '';
        effects.push({
            cause,
            consequence: {
                ...plainConsequence,
                kind: 'time',
                effect: shorter ? 'worse' : 'better',
                says: `Before ${quoted(is.node)} ${is.what} for ${sure(is.seconds)} instead of ${sure(then.seconds)}${rule}.`,
                span: { old: then.node.span, new: is.node.span },
            },
        });
    }
    for (const change of changes) if (!covered.has(change)) effects.push(...between(change, trees, matching, sides));
    return effects;
}

export const plainConsequence = {
    only: '',
    code: null,
    severity: null,
    span: { old: null, new: null },
} as const satisfies Partial<Consequence>;

const sure = (time: number): string => (time === Number.POSITIVE_INFINITY ? 'any time' : seconds(time));

const ids = new WeakMap<Node, number>();
let next = 0;
function idOf(node: Node): number {
    const known = ids.get(node);
    if (known !== undefined) return known;
    ids.set(node, next);
    return next++;
}

/* ---- what rules ask for ---- */

function guarantees(side: Side, tree: readonly Node[]): Guarantee[] {
    const { machine, plan, paths, traces } = side.judged;
    const timed = machine.rules.some(
        ({ body }) =>
            body.kind === 'keep' || conditionsOf(body).some(each => atomsOf(each).some(atom => atom.op === 'held')),
    );
    if (!timed) return [];
    const nodes = new Map<number, Node>();
    for (const node of allIn(tree)) if (node.event) nodes.set(node.event.id, node);
    const book = ruleBook(machine);
    const found: Guarantee[] = [];
    const ask = (rule: string, because: string, atom: Held, event: number, asked = atom.seconds): void => {
        const node = nodes.get(event);
        const state = paths.at[event];
        if (!node || !state) return;
        const role = plan.events[event]?.role ?? NONE;
        const known = circumstances(side.judged, atom, { event, actor: role }, state);
        const times = known.map(at => (stands(atom, at) ? held(atom, at) : 0));
        if (times.length === 0) return;
        found.push({
            key: `${rule} ${canonical({ ...atom, seconds: 0 }, side)}`,
            node,
            seconds: Math.min(...times),
            asked,
            rule,
            because,
            what: `${nameIn(machine, atom.item)} has been ${side.state(atom.slot, atom.state)}`,
            since: byOfState(state, atom.slot, atom.state),
            event,
        });
    };
    const timedAtoms = (condition: Condition): Held[] =>
        atomsOf(condition).flatMap(atom => (atom.op === 'held' ? [atom] : []));
    for (const event of plan.events) {
        const state = paths.at[event.id];
        if (!state || event.pass > 0) continue;
        for (const n of rulesOnAction(book, event, state)) {
            const { rule, body } = book.before[n] as (typeof book.before)[number];
            for (const atom of timedAtoms(body.require)) ask(rule.name, rule.because, atom, event.id);
        }
        const of = event.kind === 'look' ? plan.steps[event.step]?.of : undefined;
        for (const { name, because, body } of machine.rules) {
            if (of && body.kind === 'test' && of.includes(body.item))
                for (const atom of timedAtoms(body.require)) ask(name, because, atom, event.id);
            if (event.kind === 'keep-start' && body.kind === 'keep' && body.item === event.item) {
                const before = state.facts[event.slot]?.[0]?.state;
                // The rest since it was let go; before the first time there is none.
                if (before === undefined || byOfState(state, event.slot, before).includes(NONE)) continue;
                const atom: Held = {
                    op: 'held',
                    item: event.item,
                    slot: event.slot,
                    state: before,
                    contact: false,
                    seconds: 0,
                };
                ask(name, because, atom, event.id, body.rest);
            }
        }
    }
    for (const { rule: n, start } of movementRules(book, plan, traces)) {
        const { rule, body } = book.before[n] as (typeof book.before)[number];
        for (const atom of timedAtoms(body.require))
            ask(rule.name, rule.because, atom, start.root === NONE ? start.event : start.root);
    }
    return found;
}

function stands(atom: Held, at: Parameters<typeof held>[1]): boolean {
    const facts = at.state.facts[atom.slot];
    if (facts) return facts.every(each => each.state === atom.state);
    return !at.seen || at.seen.visit.before[atom.slot] === atom.state;
}

/** The change of a time, or else of what begins or ends it, that lies between. */
function bringer(changes: readonly Found[], then: Guarantee, is: Guarantee): Found | undefined {
    const inside = (node: Node, each: Guarantee): boolean => {
        const event = node.event?.id ?? NONE;
        const from = Math.max(...each.since, NONE);
        return event >= from && event <= each.event;
    };
    const touching = changes.filter(
        ({ nodes }) =>
            nodes.old.some(node => [...allIn([node])].some(each => inside(each, then))) ||
            nodes.new.some(node => [...allIn([node])].some(each => inside(each, is))),
    );
    return touching.find(passesTime) ?? (touching.length === 1 ? touching[0] : undefined);
}

const passesTime = ({ nodes }: Found): boolean =>
    [...nodes.old, ...nodes.new].some(node => [...allIn([node])].some(each => (each.event?.guaranteed ?? 0) > 0));

/* ---- what waits made ---- */

/** The time between what is done before a wait and what is done after it. */
function between(change: Found, trees: Sides<readonly Node[]>, matching: Matching, sides: Sides<Side>): Effect[] {
    if (!passesTime(change)) return [];
    const effects = new Map<string, Effect>();
    for (const which of ['old', 'new'] as const) {
        for (const outer of change.nodes[which]) {
            for (const node of allIn([outer])) {
                if ((node.event?.guaranteed ?? 0) <= 0) continue;
                const list = leaves(trees[which]);
                const at = list.indexOf(node);
                const stayed = (each: Node): boolean => matching.partner.has(each) && does(each);
                // What to do if it is not so is done at once.
                const within = new Set(node.blocks.flatMap(block => [...allIn(block.nodes)]));
                const before = list.slice(0, at).findLast(stayed);
                const after = list.slice(at + 1).find(each => !within.has(each) && stayed(each));
                if (!before || !after) continue;
                const [from, to] =
                    which === 'new' ? [before, after] : [matching.partner.get(before), matching.partner.get(after)];
                if (!from || !to) continue;
                const is = passed(sides.new, from, to);
                const was = passed(sides.old, matching.partner.get(from), matching.partner.get(to));
                if (is === undefined || was === undefined || Math.abs(is - was) < 1e-6) continue;
                effects.set(`${idOf(from)} ${idOf(to)}`, {
                    cause: change,
                    consequence: {
                        ...plainConsequence,
                        kind: 'time',
                        effect: is < was ? 'worse' : 'better',
                        says: `Between ${quoted(from)} and ${quoted(to)} at least ${seconds(is)} pass instead of ${seconds(was)}.`,
                        span: { old: change.span.old, new: to.span },
                    },
                });
            }
        }
    }
    return [...effects.values()];
}

const known = new WeakMap<readonly Node[], readonly Node[]>();
/** Without containers that do nothing themselves. */
function leaves(tree: readonly Node[]): readonly Node[] {
    const found = known.get(tree) ?? [...allIn(tree)].filter(node => node.event !== undefined);
    known.set(tree, found);
    return found;
}

/** Something happens at it, other than that time passes. */
const does = ({ kind }: Node): boolean => kind !== 'wait' && kind !== 'hold' && kind !== 'stop' && kind !== 'repeat';

function passed({ judged }: Side, from: Node | undefined, to: Node | undefined): number | undefined {
    const [a, b] = [clockAfter(judged.paths.at, from?.event), to?.event && judged.paths.at[to.event.id]?.clock];
    return a === undefined || b === undefined || b < a ? undefined : Math.round((b - a) * 1e6) / 1e6;
}

function clockAfter(at: Side['judged']['paths']['at'], event: Event | undefined): number | undefined {
    const state = event && at[event.id];
    return state?.clock;
}
