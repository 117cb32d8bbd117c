import type { Condition } from '../conditions/condition.js';
import { type Machine, NONE } from '../machine/machine.js';
import { expanded, isLiveIn, isOfActions } from './live.js';
import { CLEAR, type Fact, type PathState, SPENT } from './paths.js';
import { nobodyAt, someoneAt } from './people.js';
import { pairIndex, ruleBook } from './rules.js';
import type { Seen } from './runs.js';

/** Bits of an answer: on some path the condition may hold; on some path it may not. */
export const CAN_HOLD = 1;
export const CAN_FAIL = 2;

export interface Circumstances {
    readonly state: PathState;
    /** A run that comes by. With it every state is the one of the run; without it actions alone decide. */
    readonly seen?: Seen;
    /** The vector to read in the run, where it is not the one before the event. */
    readonly vector?: ArrayLike<number>;
    /** The role that acts; NONE or absent: nobody in particular. */
    readonly actor?: number;
    /** The action that started the movement that is judged: a clearance that it has used up still counts for it. */
    readonly root?: number;
    /** Times do not matter: only whether the state holds. */
    readonly timeless?: boolean;
}

const only = (holds: boolean): number => (holds ? CAN_HOLD : CAN_FAIL);

/** Whether the condition can hold, and can fail, as bits. Of `and` and `or` over different slots every combination counts as possible. */
export function evaluate(machine: Machine, condition: Condition, at: Circumstances): number {
    switch (condition.op) {
        case 'not': {
            const inner = evaluate(machine, condition.of, at);
            return ((inner & CAN_HOLD) << 1) | ((inner & CAN_FAIL) >> 1);
        }
        case 'and': {
            let answer = CAN_HOLD;
            for (const each of condition.of) {
                const inner = evaluate(machine, each, at);
                answer = (answer & inner & CAN_HOLD) | ((answer | inner) & CAN_FAIL);
            }
            return answer;
        }
        case 'or': {
            let answer = CAN_FAIL;
            for (const each of condition.of) {
                const inner = evaluate(machine, each, at);
                answer = ((answer | inner) & CAN_HOLD) | (answer & inner & CAN_FAIL);
            }
            return answer;
        }
        case 'is':
        case 'held':
            return item(condition, at);
        case 'live': {
            if (!at.seen && isOfActions(machine, condition))
                return evaluate(machine, expanded(machine, condition.item), at);
            const vector = at.vector ?? at.seen?.visit.before;
            if (!vector) return CAN_HOLD | CAN_FAIL;
            const own = machine.items[condition.item];
            if (own?.nature === 'operated') return evaluate(machine, expanded(machine, condition.item), at);
            return only(isLiveIn(machine, condition.item, vector));
        }
        case 'told':
            return only(isTold(machine, condition, at));
        case 'someone':
            return someoneAt(machine, at.state, condition.place)
                ? CAN_HOLD
                : nobodyAt(machine, at.state, condition.place)
                  ? CAN_FAIL
                  : CAN_HOLD | CAN_FAIL;
        default:
            return nobodyAt(machine, at.state, condition.place)
                ? CAN_HOLD
                : someoneAt(machine, at.state, condition.place)
                  ? CAN_FAIL
                  : CAN_HOLD | CAN_FAIL;
    }
}

type OfItem = Extract<Condition, { op: 'is' | 'held' }>;

function item(condition: OfItem, at: Circumstances): number {
    const seconds = condition.op === 'held' && !at.timeless ? condition.seconds : 0;
    const facts = at.state.facts[condition.slot];
    if (at.seen) {
        const vector = at.vector ?? at.seen.visit.before;
        if (vector[condition.slot] !== condition.state) return CAN_FAIL;
        return only(seconds === 0 || held(condition, at) >= seconds);
    }
    if (!facts) return CAN_HOLD | CAN_FAIL;
    let answer = 0;
    for (const fact of facts) {
        answer |= only(fact.state === condition.state && (seconds === 0 || lasted(at.state, fact) >= seconds));
    }
    return answer;
}

/** The guaranteed seconds for which a possibility has been so. */
export function lasted(state: PathState, fact: Fact): number {
    // Sums of written seconds differ from what was written by rounding alone.
    return Math.round((state.clock - fact.since) * 1e6) / 1e6;
}

/** The least guaranteed seconds for which it has been so: on every path for what actions change, in the run for the rest. */
export function held(condition: OfItem, at: Circumstances): number {
    const facts = at.state.facts[condition.slot];
    if (facts) {
        let least = Number.POSITIVE_INFINITY;
        for (const fact of facts) if (fact.state === condition.state) least = Math.min(least, lasted(at.state, fact));
        return least === Number.POSITIVE_INFINITY ? 0 : least;
    }
    const visit = at.seen?.visit;
    return visit ? Math.round((visit.guaranteed - (visit.since[condition.slot] ?? 0)) * 1e6) / 1e6 : 0;
}

function isTold(machine: Machine, condition: Extract<Condition, { op: 'told' }>, at: Circumstances): boolean {
    const pair = pairIndex(ruleBook(machine).pairs, condition);
    const roles = at.state.stands.length;
    const holds = (role: number): boolean => {
        const clear = at.state.clear[pair * roles + role];
        if (!clear) return false;
        return clear.level === CLEAR || (clear.level === SPENT && at.root !== undefined && clear.by.includes(at.root));
    };
    if (pair === NONE) return false;
    if (at.actor !== undefined && at.actor !== NONE) return holds(at.actor);
    return at.state.stands.some((_, role) => holds(role)) || nobodyAt(machine, at.state, condition.from);
}

/** On some path, or in some run, the source may be live. */
export function mayBeLive(machine: Machine, state: PathState, source: number, seen: readonly Seen[]): boolean {
    const condition: Condition = { op: 'live', item: source };
    if (isOfActions(machine, condition)) return (evaluate(machine, condition, { state }) & CAN_HOLD) !== 0;
    // Where no run comes by, nothing speaks against it.
    return (
        seen.length === 0 ||
        seen.some(({ visit }) => isLiveIn(machine, source, visit.before) || isLiveIn(machine, source, visit.after))
    );
}
