import type { Condition } from '../conditions/condition.js';
import { type Machine, NONE } from '../machine/machine.js';
import type { Plan } from '../plan/plan.js';
import type { Traces } from '../trace/trace.js';
import { CAN_FAIL, CAN_HOLD, type Circumstances, evaluate, held } from './evaluate.js';
import { expanded, isOfActions } from './live.js';
import type { Clear, PathState, Paths } from './paths.js';
import { atomsOf, pairIndex, ruleBook } from './rules.js';
import { rootOfLastChange, type Seen, seenAt } from './runs.js';

/** What a judgement is made from. */
export interface Known {
    readonly machine: Machine;
    readonly plan: Plan;
    readonly traces: Traces;
    readonly paths: Paths;
}

/** Which part of a requirement does not hold, and why. */
export interface Broken {
    /** told: a clearance. time: it is so, but not for long enough. state: it is not so. */
    readonly kind: 'told' | 'time' | 'state';
    readonly part: Condition;
    /** The atom in it that fails, as far as one can be named. */
    readonly atom: Condition;
    /** For time: the seconds guaranteed and those asked for. */
    readonly guaranteed: number;
    readonly asked: number;
    /** For state: what it may be instead, NONE for none of its states, and the events that brought it there (NONE: as the card began). */
    readonly found: number;
    readonly by: readonly number[];
    /** For told: what stands against it. */
    readonly clear?: Clear;
}

export interface Asked {
    readonly event: number;
    /** The role that acts. */
    readonly actor: number;
    /** The action that started the movement that is judged. */
    readonly root?: number;
}

/** The parts of what is required that do not hold on every path and in every run at an event. Empty: all is well. */
export function brokenParts(known: Known, require: Condition, asked: Asked): readonly Broken[] {
    const state = known.paths.at[asked.event];
    if (!state) return [];
    const broken: Broken[] = [];
    for (const part of conjuncts(require)) {
        const at = failing(known, part, asked, state);
        if (at) broken.push(explain(known.machine, part, at));
    }
    return broken;
}

function conjuncts(condition: Condition): readonly Condition[] {
    return condition.op === 'and' ? condition.of.flatMap(conjuncts) : [condition];
}

/** The first circumstances in which the condition can fail. */
function failing(known: Known, condition: Condition, asked: Asked, state: PathState): Circumstances | undefined {
    return circumstances(known, condition, asked, state).find(
        at => (evaluate(known.machine, condition, at) & CAN_FAIL) !== 0,
    );
}

/** On paths where actions alone decide; else in each run that comes by. */
export function circumstances(
    known: Known,
    condition: Condition,
    asked: Asked,
    state: PathState,
): readonly Circumstances[] {
    const at: Circumstances = { state, actor: asked.actor, ...(asked.root === undefined ? {} : { root: asked.root }) };
    if (isOfActions(known.machine, condition)) return [at];
    return seenAt(known.plan, known.traces, asked.event).map(seen => ({ ...at, seen }));
}

/** Whether the condition may hold before the event, on some path or in some run. */
export function mayHold(known: Known, condition: Condition, asked: Asked): boolean {
    const state = known.paths.at[asked.event];
    if (!state) return false;
    return circumstances(known, condition, asked, state).some(
        at => (evaluate(known.machine, condition, at) & CAN_HOLD) !== 0,
    );
}

function explain(machine: Machine, part: Condition, at: Circumstances): Broken {
    const none = { part, guaranteed: 0, asked: 0, found: NONE, by: [] };
    switch (part.op) {
        case 'told':
            return { ...none, kind: 'told', atom: part, clear: clearOf(machine, part, at) };
        case 'held': {
            if ((evaluate(machine, part, { ...at, timeless: true }) & CAN_FAIL) === 0) {
                return { ...none, kind: 'time', atom: part, guaranteed: held(part, at), asked: part.seconds };
            }
            return { ...none, kind: 'state', atom: part, ...foundOf(machine, part, at) };
        }
        case 'is':
            return { ...none, kind: 'state', atom: part, ...foundOf(machine, part, at) };
        case 'and': {
            // Within an `or`: the gravest part.
            const parts = part.of
                .filter(each => (evaluate(machine, each, at) & CAN_FAIL) !== 0)
                .map(each => explain(machine, each, at));
            const gravest =
                parts.find(each => each.kind === 'state') ?? parts.find(each => each.kind === 'time') ?? parts[0];
            return gravest ? { ...gravest, part } : { ...none, kind: 'state', atom: part };
        }
        case 'or': {
            // The alternative that lacks least is the one to mend.
            const parts = part.of.map(each => explain(machine, each, at));
            const least =
                parts.find(each => each.kind === 'time') ?? parts.find(each => each.kind === 'told') ?? parts[0];
            return least ? { ...least, part } : { ...none, kind: 'state', atom: part };
        }
        case 'not': {
            const inner = atomsOf(part.of).find(each => each.op === 'is' || each.op === 'held' || each.op === 'live');
            const found =
                inner && (inner.op === 'is' || inner.op === 'held')
                    ? standing(machine, inner.slot, inner.state, at)
                    : inner?.op === 'live'
                      ? madeLive(machine, inner.item, at)
                      : undefined;
            return { ...none, kind: 'state', atom: inner ?? part, ...found };
        }
        default:
            return {
                ...none,
                kind: 'state',
                atom: part,
                ...(part.op === 'live' ? liveOf(machine, part.item, at) : {}),
            };
    }
}

type Found = Pick<Broken, 'found' | 'by'>;

/** What the slot may be instead of what is asked. */
function foundOf(machine: Machine, atom: Extract<Condition, { op: 'is' | 'held' }>, at: Circumstances): Found {
    if (at.seen) {
        const found = (at.vector ?? at.seen.visit.before)[atom.slot] as number;
        return {
            found,
            by: at.state.facts[atom.slot] ? byOfState(at.state, atom.slot, found) : rootBy(at.seen, atom.slot),
        };
    }
    const wrong = at.state.facts[atom.slot]?.find(each => each.state !== atom.state);
    return wrong ? standing(machine, atom.slot, wrong.state, at) : { found: NONE, by: [] };
}

function standing(_machine: Machine, slot: number, state: number, at: Circumstances): Found {
    if (at.state.facts[slot]) return { found: state, by: byOfState(at.state, slot, state) };
    return { found: state, by: at.seen ? rootBy(at.seen, slot) : [] };
}

function liveOf(machine: Machine, item: number, at: Circumstances): Found {
    const slot = machine.items[item]?.slot ?? NONE;
    if (at.seen) return { found: at.seen.visit.before[slot] as number, by: rootBy(at.seen, slot) };
    const facts = at.state.facts[slot];
    const bare = facts?.find(each => each.state !== 0);
    return bare ? { found: bare.state, by: bare.by } : { found: NONE, by: [] };
}

/** What has made it live last. */
function madeLive(machine: Machine, item: number, at: Circumstances): Found | undefined {
    if (at.seen) return { found: NONE, by: rootBy(at.seen, machine.items[item]?.slot ?? NONE) };
    const by = new Set<number>();
    const passed = new Set<number>();
    const visit = (index: number): void => {
        if (passed.has(index)) return;
        passed.add(index);
        for (const atom of atomsOf(expanded(machine, index))) {
            if (atom.op === 'live') visit(atom.item);
            else if (atom.op === 'is') for (const each of byOfState(at.state, atom.slot, atom.state)) by.add(each);
        }
    };
    visit(item);
    return { found: NONE, by: by.size > 0 ? [Math.max(...by)] : [] };
}

function rootBy(seen: Seen, slot: number): readonly number[] {
    const root = rootOfLastChange(seen, slot);
    return [root];
}

/** The events that may have brought a slot to this state. */
export function byOfState(state: PathState, slot: number, wanted: number): readonly number[] {
    const by = new Set<number>();
    for (const fact of state.facts[slot] ?? []) if (fact.state === wanted) for (const event of fact.by) by.add(event);
    return [...by].sort((a, b) => a - b);
}

function clearOf(machine: Machine, told: Extract<Condition, { op: 'told' }>, at: Circumstances): Clear | undefined {
    const { pairs } = ruleBook(machine);
    const pair = pairIndex(pairs, told);
    const roles = at.state.stands.length;
    return at.actor === undefined || at.actor === NONE ? undefined : at.state.clear[pair * roles + at.actor];
}
