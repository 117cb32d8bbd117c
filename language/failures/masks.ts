import type { Condition } from '../conditions/condition.js';
import { circuitOf } from '../machine/circuit.js';
import { type Item, type Machine, NONE } from '../machine/machine.js';
import type { Simulator } from '../machine/simulator.js';
import type { Event, LookEvent, Plan } from '../plan/plan.js';
import { perform } from '../trace/perform.js';
import type { Runs } from '../trace/traces.js';
import type { FailureResult } from './failure.js';
import { faultOf } from './runs.js';
import { isIn, movedBehind, within } from './which.js';

/** One test of the card as the plain run performs it. */
export interface TestRun {
    readonly step: number;
    /** Its events in the order of the plain run, and how each came out. */
    readonly events: readonly number[];
    readonly met: readonly (boolean | undefined)[];
    /** Position of its first event in the plain run. */
    readonly at: number;
}

/** A failure of what the test names that the test's own looks do not show. */
export interface Unproven {
    readonly test: TestRun;
    /** The item named after `of` that the failure belongs to. */
    readonly named: number;
    readonly result: FailureResult;
    /** What did its work instead, the likeliest first. */
    readonly instead: readonly number[];
    /** The failure begins only after the test: what is tested is worked on afterwards. */
    readonly tooEarly: boolean;
}

/** The tests that the plain run performs and that come out as written. */
export function testRuns(plan: Plan, runs: Runs): TestRun[] {
    const plain = runs.plain[0];
    if (!plain) return [];
    const found: { step: number; at: number; events: number[]; met: (boolean | undefined)[] }[] = [];
    let open: (typeof found)[number] | undefined;
    for (const [at, visit] of plain.visits.entries()) {
        const event = plan.events[visit.event] as Event;
        if (event.kind === 'step-start' && plan.steps[event.step]?.kind === 'test') {
            open = { step: event.step, at, events: [], met: [] };
            found.push(open);
        }
        if (!open) continue;
        open.events.push(event.id);
        open.met.push(visit.met);
        if (event.kind === 'step-end' && event.step === open.step) open = undefined;
    }
    return found.filter(test => !runs.contradicted.some(each => test.events.includes(each.event)));
}

/** The machine before the first event of the test, with the failure in it from when it begins. */
export function beforeTest(
    machine: Machine,
    plan: Plan,
    runs: Runs,
    test: TestRun,
    result: FailureResult | undefined,
): Simulator | undefined {
    const plain = runs.plain[0];
    const first = test.events[0];
    if (!plain || first === undefined) return undefined;
    const from = result ? plain.visits.findIndex(visit => visit.event === result.begins) : test.at;
    if (from < 0 || from > test.at) return undefined;
    const sim = runs
        .checkpointsAt(new Set([plain.visits[from]?.event ?? first]))
        .get(plain.visits[from]?.event ?? first);
    if (!sim) return undefined;
    if (result) {
        sim.event = NONE;
        sim.begin(faultOf(machine, result.failure));
    }
    for (let n = from; n < test.at; n++) perform(sim, plan.events[plain.visits[n]?.event ?? 0] as Event);
    sim.notes.started.length = 0;
    return sim;
}

/** Performs the events of a test; the first look that comes out otherwise than in the plain run, or NONE. */
export function firstDifference(plan: Plan, test: TestRun, sim: Simulator): number {
    for (const [n, id] of test.events.entries()) {
        const event = plan.events[id] as Event;
        const met = perform(sim, event);
        if (event.kind === 'look' && met !== undefined && met !== test.met[n]) return id;
        if (sim.notes.stuck) return NONE;
    }
    return NONE;
}

/**
 * For each test and each thing that it names (a unit: everything in it), every failure but SLOW with which all looks of the test still come out as
 * written. A light that fails to go out counts as shown wherever in the card it is seen to be off.
 */
export function unprovenFailures(
    machine: Machine,
    plan: Plan,
    runs: Runs,
    results: readonly FailureResult[],
): Unproven[] {
    const unproven: Unproven[] = [];
    const plain = runs.plain[0];
    if (!plain) return unproven;
    const tests = testRuns(plan, runs);
    const testOf = new Map(tests.flatMap((test, n) => test.events.map(event => [event, n] as const)));
    const ofItem = new Map<number, { result: FailureResult; shownIn: ReadonlySet<number | undefined> }[]>();
    for (const result of results) {
        if (result.failure.mode === 'SLOW') continue;
        const shownIn = new Set(result.revealedBy.map(look => testOf.get(look)));
        ofItem.set(result.failure.item, [...(ofItem.get(result.failure.item) ?? []), { result, shownIn }]);
    }
    for (const [n, test] of tests.entries()) {
        const step = plan.steps[test.step] as Plan['steps'][number];
        const seen = new Set<number>();
        for (const named of step.of) {
            for (const item of within(machine, named)) {
                if (seen.has(item)) continue;
                seen.add(item);
                for (const { result, shownIn } of ofItem.get(item) ?? []) {
                    const { failure } = result;
                    if (shownIn.has(n)) continue;
                    if (
                        machine.items[item]?.kind === 'light' &&
                        failure.mode === 'STUCK' &&
                        !isOffState(machine, item, failure.detail) &&
                        result.revealedBy.length > 0
                    )
                        continue;
                    const begins = plain.visits.findIndex(visit => visit.event === result.begins);
                    const tooEarly = begins < 0 || begins > test.at;
                    unproven.push({
                        test,
                        named,
                        result,
                        tooEarly,
                        instead: tooEarly ? [] : workedInstead(machine, plan, runs, test, result),
                    });
                }
            }
        }
    }
    return unproven;
}

/** The state of a light in which it is dark. */
function isOffState(machine: Machine, index: number, state: number): boolean {
    return ((machine.items[index] as Item).shows.find(show => !show.when)?.state ?? 0) === state;
}

/**
 * What held when the moved items that the test's looks rest on last started; those of the failed item's kind first. Where nothing moved: what made the
 * things looked at show what they showed.
 */
function workedInstead(machine: Machine, plan: Plan, runs: Runs, test: TestRun, result: FailureResult): number[] {
    const sim = beforeTest(machine, plan, runs, test, result);
    // Crossed ends are hidden by no other thing.
    if (!sim || result.failure.mode === 'CROSSED') return [];
    const replay = sim.clone();
    firstDifference(plan, test, sim);
    // What has failed and is looked at itself is nobody else's work.
    const isOfOthers = (event: Event | undefined): event is LookEvent =>
        event?.kind === 'look' && event.look !== 'measure' && !isIn(machine, event.item, result.failure.item);
    const looks = test.events.map(id => plan.events[id]).filter(isOfOthers);
    const looked = new Set(looks.flatMap(event => [...movedBehind(machine, event.item)]));
    const circuit = circuitOf(machine);
    const { failure } = result;
    const kind = (machine.items[failure.item] as Item).kind;
    const holding = new Set<number>();
    const seen = new Set<number>();
    const visit = (index: number, at: Simulator): void => {
        const item = machine.items[index];
        if (!item || seen.has(index) || isIn(machine, index, failure.item)) return;
        seen.add(index);
        if (!at.holds(circuit.compile({ op: 'live', item: index }))) return;
        holding.add(index);
        // A source or a light passes on the work of what makes it so.
        if (item.nature === 'shown' && item.kind !== kind) {
            for (const show of item.shows) if (show.state === at.cells[item.slot]) collect(show.when, at);
            collect(item.live, at);
        }
    };
    const collect = (condition: Condition | undefined, at: Simulator): void => {
        if (!condition) return;
        if (condition.op === 'and' || condition.op === 'or') for (const each of condition.of) collect(each, at);
        else if (condition.op === 'live') visit(condition.item, at);
        else if (
            condition.op === 'is' &&
            at.holds(circuit.compile(condition)) &&
            !isIn(machine, condition.item, failure.item)
        )
            holding.add(condition.item);
    };
    const last = sim.notes.started.filter(each => looked.has(each.item)).at(-1);
    for (const id of test.events) {
        const event = plan.events[id] as Event;
        perform(replay, event);
        if (last && id === last.event)
            for (const go of (machine.items[last.item] as Item).goes) if (go.to === last.to) collect(go.when, replay);
        if (!isOfOthers(event)) continue;
        const item = machine.items[event.item] as Item;
        for (const show of item.shows) if (show.state === replay.cells[item.slot]) collect(show.when, replay);
    }
    const found = [...holding];
    const same = found.filter(each => machine.items[each]?.kind === kind);
    return same.length > 0 ? same : found.filter(each => machine.items[each]?.nature !== 'operated');
}
