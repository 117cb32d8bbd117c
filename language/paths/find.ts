import { type Machine, NONE } from '../machine/machine.js';
import type { Event, Plan } from '../plan/plan.js';
import type { Traces } from '../trace/trace.js';
import { joined, union } from './facts.js';
import type { Clear, Facts, Pair, PathState, Paths } from './paths.js';
import { afterEvent, clearances, come, joinClear, joinHands, joinSets, peopleAtStart } from './people.js';
import { movementRules, pairsIn, ruleBook, rulesOnAction } from './rules.js';
import { seenWholeAt } from './runs.js';
import { afterAction, afterPress, jointsOf, refined, seeped, statesAtStart, view } from './states.js';

/** One pass over the events in order of their ids; every event is reached from smaller ids alone. */
export function findPaths(machine: Machine, plan: Plan, traces: Traces): Paths {
    const book = ruleBook(machine);
    const { pairs } = book;
    const joints = jointsOf(machine);
    const startedBy = new Map<number, Set<number>>();
    for (const { rule, start } of movementRules(book, plan, traces)) {
        const spent = startedBy.get(start.root) ?? new Set<number>();
        const body = book.before[rule]?.body;
        if (body) for (const pair of pairsIn(book, body.require)) spent.add(pair);
        startedBy.set(start.root, spent);
    }

    const incoming: (PathState | undefined)[] = plan.events.map(() => undefined);
    const at: (PathState | undefined)[] = plan.events.map(() => undefined);
    if (plan.events.length > 0) incoming[0] = atStart(machine, plan, pairs);
    for (const event of plan.events) {
        const arrived = incoming[event.id];
        incoming[event.id] = undefined;
        if (!arrived) continue;
        const before = come(machine, plan, pairs, arrived, event);
        at[event.id] = before;

        const spent = new Set(startedBy.get(event.id));
        for (const n of rulesOnAction(book, event, before)) {
            const body = book.before[n]?.body;
            if (body) for (const pair of pairsIn(book, body.require)) spent.add(pair);
        }
        let after = afterAction(machine, before, event);
        if (event.kind === 'press') after = seeped(machine, plan, traces, joints, after, event);
        // A look that fails has surely taken no more than its `after`.
        const failed = event.kind === 'look' ? Math.max(0, event.after) : event.guaranteed;
        const finish = (seconds: number): PathState => {
            let done = seconds > 0 ? { ...after, clock: after.clock + seconds } : after;
            done = afterPress(machine, done, event);
            done = afterEvent(machine, plan, pairs, done, event, spent, before);
            done = seeped(machine, plan, traces, joints, done, event);
            return done.clear === before.clear ? done : { ...done, told: clearances(plan, pairs, done.clear) };
        };
        const done = finish(event.guaranteed);
        const seen = seenWholeAt(plan, traces, event.id);
        lead(event.next, refined(machine, done, event, true, seen));
        if (event.other === NONE) continue;
        lead(event.other, refined(machine, failed === event.guaranteed ? done : finish(failed), event, false, seen));
    }
    return { at, pairs };

    function lead(to: number, state: PathState): void {
        if (to === NONE) return;
        const there = incoming[to];
        incoming[to] = there ? join(machine, plan, pairs, there, state) : state;
    }
}

function atStart(machine: Machine, plan: Plan, pairs: readonly Pair[]): PathState {
    return { clock: 0, ...statesAtStart(machine, plan), ...peopleAtStart(machine, plan, pairs) };
}

/** Both together. The slower clock is kept, so that what neither path has changed keeps its reading. */
function join(machine: Machine, plan: Plan, pairs: readonly Pair[], a: PathState, b: PathState): PathState {
    if (a === b) return a;
    const clock = Math.min(a.clock, b.clock);
    const laterA = a.clock - clock;
    const laterB = b.clock - clock;
    let { facts, states, by } = a;
    if (a.facts !== b.facts) {
        let changed: (Facts | undefined)[] | undefined;
        let newStates: number[] = [];
        let newBy: (readonly number[])[] = [];
        for (let slot = 0; slot < a.facts.length; slot++) {
            const one = a.facts[slot];
            const other = b.facts[slot];
            if (one === other || !one || !other) continue;
            if (!changed) {
                changed = [...a.facts];
                newStates = [...a.states];
                newBy = [...a.by];
            }
            const both = joined(one, other, laterA, laterB);
            changed[slot] = both;
            view(machine, slot, both, newStates, newBy);
        }
        if (changed) {
            facts = changed;
            states = newStates;
            by = newBy;
        }
    }
    const clear = a.clear === b.clear ? a.clear : a.clear.map((each, n) => joinClear(each, b.clear[n] as Clear));
    return {
        clock,
        facts,
        states,
        by,
        base: a.base === b.base ? a.base : a.base.map((each, n) => joinSets(each, b.base[n] ?? each)),
        stands: a.stands === b.stands ? a.stands : a.stands.map((each, n) => joinSets(each, b.stands[n] ?? each)),
        hands: a.hands === b.hands ? a.hands : a.hands.map((each, n) => joinHands(each, b.hands[n] ?? each)),
        clear,
        told: clear === a.clear ? a.told : clearances(plan, pairs, clear),
        worked: a.worked === b.worked ? a.worked : a.worked.map((each, n) => union(each, b.worked[n] ?? each)),
    };
}

/** The events in which a way through the card ends: the end, a stop, a leave. */
export function waysOut(plan: Plan): readonly Event[] {
    return plan.events.filter(event => event.kind === 'end' || event.kind === 'stop' || event.kind === 'leave-for');
}
