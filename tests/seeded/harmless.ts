/**
 * The proof that a change is no defect: the card before and after it, run beside each other. Nothing has changed when
 *
 * 1. at every event that both have, and that is not itself one of those exchanged, every thing is in the same state, in all plain
 *    runs, in all forced arms and in all arms that failures lead into, and the runs end alike; where only time was taken away,
 *    things that move or show by themselves count at looks, at what rules guard and where a run ends;
 * 2. every look comes out as before, and what is disturbed or tested is revealed by the same tests when it fails;
 * 3. every state and every time that a rule asks for is there when the run comes to what the rule guards, read off the run;
 * 4. the order of tells, work and acts that need a tell is the same, but for a tell that nothing used and work that is gone;
 * 5. acts that changed places have nothing to do with each other: not in one another, not held, not covered.
 *
 * Nothing here asks a check or the joined states: this is what they are measured against.
 */
import type { Condition } from '../../language/conditions/condition.js';
import type { FailureResult } from '../../language/failures/failure.js';
import { type Machine, NONE, type Rule } from '../../language/machine/machine.js';
import type { Event, Plan } from '../../language/plan/plan.js';
import type { Trace, Traces, Visit } from '../../language/trace/trace.js';
import { cameFrom, type Mutant } from './mutants.js';

export interface Ran {
    readonly machine: Machine;
    readonly plan: Plan;
    readonly traces: Traces;
    readonly failures: () => readonly FailureResult[];
}

/** Changes that no run shows: what is printed, and what stands in the text alone. */
const ofWords: Partial<Record<Mutant['kind'], string>> = {
    'drop an alert': 'an alert is gone',
    'reverse a range': 'nothing lies in the range',
    'rate a breaker higher': 'the breaker lets through more',
    'drop a torque': 'nobody torques it',
    'drop a spare': 'the spare is not fitted',
};

/** Undefined when nothing has changed, else what has. */
export function changed(before: Ran, after: Ran, mutant: Mutant): string | undefined {
    const written = ofWords[mutant.kind];
    if (written) return written;
    const then = new Names(before);
    const now = new Names(after, mutant);
    return (
        runsDiffer(before, after, then, now, mutant) ??
        revealsLess(before, after) ??
        breaksRules(after) ??
        tellsDiffer(before, after, then, now) ??
        holdsDiffer(before, after, then, now) ??
        related(after, now, mutant)
    );
}

/** Events by where their text stood before the change, so that both cards name them alike. */
class Names {
    private readonly names: readonly string[];
    /** Original offset of the statement. */
    readonly offsets: readonly (number | undefined)[];

    constructor(ran: Ran, mutant?: Mutant) {
        const at = (span: { file: string; offset: number }) =>
            mutant && span.file === mutant.file ? cameFrom(mutant, span.offset) : span.offset;
        const seen = new Map<string, number>();
        this.offsets = ran.plan.events.map(event => at(event.statement));
        this.names = ran.plan.events.map((event, index) => {
            const calls = event.calls.map(call => `${call.span.file}:${at(call.span)}:${call.name}`).join('>');
            const item = ran.machine.items[event.item]?.name ?? '';
            const name = `${event.kind} ${event.statement.file}:${this.offsets[index]} ${calls} ${item} ${event.pass}`;
            const count = seen.get(name) ?? 0;
            seen.set(name, count + 1);
            return `${name} #${count}`;
        });
    }

    of(event: number): string {
        return this.names[event] ?? '';
    }
}

function runsDiffer(before: Ran, after: Ran, then: Names, now: Names, mutant: Mutant): string | undefined {
    const touched = new Set(mutant.touched);
    const timeOnly = ['drop a look', 'drop a wait', 'shorten a wait'].includes(mutant.kind);
    const groups = ['plain', 'forced', 'inArms'] as const;
    for (const group of groups) {
        const old = before.traces[group].filter(trace => trace.visits.length > 0);
        const fresh = after.traces[group].filter(trace => trace.visits.length > 0);
        const label = (ran: Ran, names: Names, trace: Trace) =>
            `${trace.speed} ${trace.choice.join()} ${names.of(ran.plan.arms[trace.arm]?.event ?? NONE)} ${ran.failures()[trace.failure]?.failure.label ?? ''}`;
        const newByLabel = new Map(fresh.map(trace => [label(after, now, trace), trace]));
        if (old.length !== fresh.length) return `there are ${fresh.length} ${group} runs, not ${old.length}`;
        for (const trace of old) {
            const other = newByLabel.get(label(before, then, trace));
            if (!other) return `a ${group} run is missing`;
            if (other.end !== trace.end) return `a ${group} run ends with ${other.end}, not ${trace.end}`;
            const differs = visitsDiffer(trace, other);
            if (differs) return `${differs} in a ${group} run`;
        }
    }
    return undefined;

    function visitsDiffer(old: Trace, fresh: Trace): string | undefined {
        const visits = new Map(fresh.visits.map(visit => [now.of(visit.event), visit]));
        for (const visit of old.visits) {
            const event = before.plan.events[visit.event] as Event;
            const other = visits.get(then.of(visit.event));
            const own = touched.has(then.offsets[visit.event] ?? -1);
            if (!other) {
                if (own) continue;
                return `${event.kind} of line ${event.span.line} is not come by`;
            }
            if (other.met !== visit.met) return `the look of line ${event.span.line} comes out otherwise`;
            if (own && mutant.touched.length > 1) continue;
            // A look says by itself what it sees; what rules ask for is read off below.
            const lenient = timeOnly && event.kind !== 'stop' && event.kind !== 'end';
            const slot =
                differing(visit.before, other.before, lenient) ??
                (own ? undefined : differing(visit.after, other.after, lenient));
            if (slot !== undefined) return `${slotName(slot)} differs at line ${event.span.line}`;
        }
        const [last, otherLast] = [old.visits.at(-1), fresh.visits.at(-1)];
        const slot = last && otherLast && differing(last.after, otherLast.after);
        return slot === undefined ? undefined : `${slotName(slot)} is left otherwise`;
    }

    function differing(one: ArrayLike<number>, two: ArrayLike<number>, lenient = false): number | undefined {
        for (let slot = 0; slot < one.length; slot++) {
            if (one[slot] === two[slot]) continue;
            const { nature } = before.machine.items[before.machine.slots[slot]?.item ?? NONE] ?? {};
            if (!lenient || nature === 'operated' || nature === 'wetted') return slot;
        }
        return undefined;
    }

    function slotName(slot: number): string {
        const owner = before.machine.slots[slot];
        return `${before.machine.items[owner?.item ?? NONE]?.name} (${owner?.kind})`;
    }
}

/** Failure and test in which a look reveals it; and what is revealed at all. */
function revealed(ran: Ran): Set<string> {
    const found = new Set<string>();
    for (const { failure, class: kind, revealedBy } of ran.failures()) {
        // Of what is neither disturbed nor tested only that it comes late, or has not opened, is looked for.
        if (kind === 'other' && failure.mode !== 'SLOW' && failure.mode !== 'NOT-OPENING') continue;
        if (revealedBy.length > 0) found.add(failure.label);
        if (kind === 'other') continue;
        for (const event of revealedBy) {
            const step = ran.plan.steps[ran.plan.events[event]?.step ?? NONE];
            if (step?.kind === 'test') found.add(`${failure.label} in ${step.name}`);
        }
    }
    return found;
}

function revealsLess(before: Ran, after: Ran): string | undefined {
    const now = revealed(after);
    for (const each of revealed(before)) if (!now.has(each)) return `${each} is not revealed`;
    return undefined;
}

/** The states and times of every rule, read off the plain runs. */
function breaksRules(ran: Ran): string | undefined {
    const { machine, plan } = ran;
    for (const trace of ran.traces.plain) {
        for (const visit of trace.visits) {
            const event = plan.events[visit.event] as Event;
            for (const rule of machine.rules) {
                const wanted = asked(ran, rule, event, visit);
                if (wanted && !holds(ran, wanted, visit))
                    return `rule ${rule.name} is broken at line ${event.span.line}`;
            }
        }
        const rests = restsBroken(ran, trace);
        if (rests) return rests;
    }
    return undefined;
}

/** What a rule asks for at this event. */
function asked(ran: Ran, { body }: Rule, event: Event, visit: Visit): Condition | undefined {
    const { machine, plan } = ran;
    switch (body.kind) {
        case 'before':
            return body.triggers.some(trigger => {
                if (trigger.kind === 'moves') return visit.started.includes(trigger.item);
                if (trigger.kind === 'verb')
                    return verbOf(event, machine) === trigger.verb && event.item === trigger.item;
                return worksOn(machine, event, trigger.item);
            })
                ? body.require
                : undefined;
        case 'while':
            return { op: 'or', of: [{ op: 'not', of: body.when }, body.require] };
        case 'never':
            return { op: 'not', of: body.never };
        case 'end-of-test':
            return event.kind === 'step-end' && plan.steps[event.step]?.of.includes(body.item)
                ? body.require
                : undefined;
        case 'test': {
            if (event.kind !== 'look' || !plan.steps[event.step]?.of.includes(body.item)) return undefined;
            const firsts = ran
                .failures()
                .filter(each => each.class !== 'other' && each.failure.item === body.item)
                .map(each => each.revealedBy.find(look => plan.events[look]?.step === event.step));
            return firsts.includes(event.id) ? body.require : undefined;
        }
        case 'keep':
            return undefined;
    }
}

function verbOf(event: Event, machine: Machine): string {
    if (event.kind === 'operate')
        return event.verb === 'ensure' && machine.items[event.item]?.kind === 'control' ? 'set' : event.verb;
    if (event.kind === 'press') return 'press';
    if (event.kind === 'keep-start') return machine.items[event.item]?.kind === 'button' ? 'press' : 'set';
    if (event.kind === 'torque') return 'torque';
    return event.kind === 'look' && event.look === 'measure' ? 'measure' : '';
}

function worksOn(machine: Machine, event: Event, item: number): boolean {
    const items =
        event.kind === 'prose'
            ? event.refs
            : event.kind === 'operate' ||
                event.kind === 'torque' ||
                event.kind === 'press' ||
                event.kind === 'keep-start'
              ? [event.item]
              : event.kind === 'look' && event.look === 'measure'
                ? [event.item]
                : [];
    return items.some(each => isIn(machine, each, item));
}

function isIn(machine: Machine, item: number, other: number): boolean {
    for (let at = item; at !== NONE; at = machine.items[at]?.unit ?? NONE) if (at === other) return true;
    return false;
}

/** People are another matter: what is asked of them counts as given here. */
function holds(ran: Ran, condition: Condition, visit: Visit): boolean {
    const { machine } = ran;
    switch (condition.op) {
        case 'is':
            return visit.before[condition.slot] === condition.state;
        case 'held': {
            if (visit.before[condition.slot] !== condition.state) return false;
            const since = visit.since[condition.slot] ?? Number.NEGATIVE_INFINITY;
            const said = ran.plan.start.find(each => each.slot === condition.slot)?.atLeast ?? 0;
            const held = Number.isFinite(since) ? visit.guaranteed - since : visit.guaranteed + said;
            return held >= condition.seconds;
        }
        case 'live': {
            const item = machine.items[condition.item];
            const state = item ? item.states[visit.before[item.slot] ?? NONE] : undefined;
            return (
                state !== undefined &&
                [
                    'LIVE',
                    'RUNNING',
                    'ON',
                    'SOUNDING',
                    'CLOSED',
                    'CONNECTED',
                    'INSTALLED',
                    'PRESSED',
                    'APPLIED',
                ].includes(state)
            );
        }
        case 'not':
            return isOfPeople(condition.of) || !holds(ran, condition.of, visit);
        case 'and':
            return condition.of.every(each => holds(ran, each, visit));
        case 'or':
            return condition.of.some(each => holds(ran, each, visit));
        default:
            return true;
    }
}

function isOfPeople(condition: Condition): boolean {
    return condition.op === 'told' || condition.op === 'someone' || condition.op === 'nobody';
}

function restsBroken({ machine, plan }: Ran, trace: Trace): string | undefined {
    for (const { name, body } of machine.rules) {
        if (body.kind !== 'keep') continue;
        let times = 0;
        let released = Number.NEGATIVE_INFINITY;
        for (const visit of trace.visits) {
            const event = plan.events[visit.event] as Event;
            if (event.item !== body.item) continue;
            if (event.kind === 'keep-start') {
                const rest = times > 0 && body.times > 0 && times % body.times === 0 ? body.longRest : body.rest;
                if (times > 0 && visit.guaranteed - released < rest)
                    return `rule ${name} is broken at line ${event.span.line}`;
                if (event.atMost > body.atMost) return `rule ${name} is broken at line ${event.span.line}`;
                times++;
            }
            if (event.kind === 'keep-end') released = visit.guaranteed + event.guaranteed;
        }
    }
    return undefined;
}

interface Said {
    readonly what: 'tell' | 'guarded' | 'work' | 'visible';
    readonly name: string;
}

/** Tells, acts that need one, and hands-on work, in the order of the plain run. */
function spoken(ran: Ran, names: Names, trace: Trace | undefined): Said[] {
    const { machine, plan } = ran;
    const said: Said[] = [];
    const needTell = machine.rules.flatMap(({ body }) =>
        body.kind === 'before' && speaks(body.require) ? body.triggers : [],
    );
    for (const visit of trace?.visits ?? []) {
        const event = plan.events[visit.event] as Event;
        const guarded = needTell.some(trigger =>
            trigger.kind === 'moves'
                ? visit.started.includes(trigger.item)
                : trigger.kind === 'verb'
                  ? trigger.verb === verbOf(event, machine) && event.item === trigger.item
                  : worksOn(machine, event, trigger.item),
        );
        if (event.kind === 'tell') said.push({ what: 'tell', name: `${event.role} ${event.to}` });
        else if (guarded) said.push({ what: 'guarded', name: names.of(event.id) });
        else if (
            event.kind === 'prose' ||
            event.kind === 'operate' ||
            event.kind === 'torque' ||
            event.kind === 'press' ||
            event.kind === 'go' ||
            event.kind === 'clear'
        ) {
            said.push({ what: 'work', name: `${event.role} ${event.place}` });
        } else if (event.place !== NONE && event.role !== NONE)
            said.push({ what: 'visible', name: `${event.role} ${event.place}` });
    }
    return said;
}

function speaks(condition: Condition): boolean {
    if (condition.op === 'and' || condition.op === 'or') return condition.of.some(speaks);
    return condition.op === 'not' ? speaks(condition.of) : isOfPeople(condition);
}

/** Between one tell or guarded act and the next, the places where somebody works or stands. */
function stretches(
    said: readonly Said[],
): { readonly between: ReadonlySet<string>; readonly then: Said | undefined }[] {
    const list: { between: Set<string>; then: Said | undefined }[] = [];
    let between = new Set<string>();
    for (const each of said) {
        if (each.what === 'work') between.add(each.name);
        if (each.what === 'tell' || each.what === 'guarded') {
            list.push({ between, then: each });
            between = new Set();
        }
    }
    list.push({ between, then: undefined });
    return list;
}

function tellsDiffer(before: Ran, after: Ran, then: Names, now: Names): string | undefined {
    const guards = before.machine.rules.some(({ body }) => body.kind === 'before' && speaks(body.require));
    if (!guards) return undefined;
    // The runs are as many and in the same order, or something has been found already.
    const runs = (ran: Ran) => [...ran.traces.plain.slice(0, 1), ...ran.traces.forced, ...ran.traces.inArms];
    const fresh = runs(after);
    for (const [index, trace] of runs(before).entries()) {
        const old = stretches(useful(spoken(before, then, trace)));
        const differs = stretchesDiffer(old, stretches(useful(spoken(after, now, fresh[index]))));
        if (differs) return differs;
    }
    return undefined;
}

function stretchesDiffer(old: ReturnType<typeof stretches>, fresh: ReturnType<typeof stretches>): string | undefined {
    if (old.length !== fresh.length) return 'somebody is told, or acts on it, more or less often';
    for (const [index, { between, then: next }] of fresh.entries()) {
        const was = old[index];
        if (was?.then?.what !== next?.what || was?.then?.name !== next?.name) {
            return 'tells and the acts that need them stand in another order';
        }
        for (const each of between)
            if (!was?.between.has(each)) return 'work has come between a tell and what it clears';
    }
    return undefined;
}

/** Without tells on which nobody acts before the same is told again. */
function useful(said: readonly Said[]): Said[] {
    return said.filter((each, index) => {
        if (each.what !== 'tell') return true;
        for (const next of said.slice(index + 1)) {
            if (next.what === 'guarded') return true;
            if (next.what === 'tell' && next.name === each.name) return false;
        }
        return false;
    });
}

/** A hold that has moved over work on what it names, or over something that may hide it. */
function holdsDiffer(before: Ran, after: Ran, then: Names, now: Names): string | undefined {
    const order = (ran: Ran, names: Names) => ran.traces.plain[0]?.visits.map(visit => names.of(visit.event)) ?? [];
    const [old, fresh] = [order(before, then), order(after, now)];
    for (const visit of before.traces.plain[0]?.visits ?? []) {
        const event = before.plan.events[visit.event] as Event;
        if (event.kind !== 'hold') continue;
        const name = then.of(event.id);
        const was = new Set(old.slice(0, old.indexOf(name)));
        const is = new Set(fresh.slice(0, fresh.indexOf(name)));
        for (const other of before.plan.events) {
            const its = then.of(other.id);
            if (was.has(its) === is.has(its) || !fresh.includes(its)) continue;
            if (bearsOn(before.machine, event, other)) {
                return `the hold of line ${event.span.line} has moved over line ${other.span.line}`;
            }
        }
    }
    return undefined;
}

/** Work on what the hold names, or something that may come between it and the one who looks. */
function bearsOn(machine: Machine, hold: Event, other: Event): boolean {
    if (hold.kind !== 'hold') return false;
    if (other.kind === 'hold') return true;
    const touched = other.kind === 'prose' ? other.refs : other.item === NONE ? [] : [other.item];
    if (other.kind === 'look' && other.look !== 'measure') return false;
    return hold.refs.some(named =>
        touched.some(
            each =>
                isIn(machine, each, named) ||
                isIn(machine, named, each) ||
                machine.items[each]?.holds.includes(named) ||
                covering(machine, machine.items[named]?.place ?? NONE).includes(each),
        ),
    );
}

/** Acts that changed places and have to do with each other. */
function related(ran: Ran, names: Names, mutant: Mutant): string | undefined {
    if (mutant.kind !== 'swap neighbours') return undefined;
    const { machine, plan } = ran;
    const [first, second] = mutant.touched.map(offset =>
        plan.events.filter((event, index) => event.statement.file === mutant.file && names.offsets[index] === offset),
    );
    for (const one of first ?? []) {
        for (const two of second ?? []) {
            if (one.kind === 'look' && two.kind === 'look') continue;
            const clears = [one, two].some(each => each.kind === 'clear');
            if (clears && one.place === two.place) return 'work is done where tools were cleared out';
            for (const a of touchedBy(one)) {
                if (covering(machine, two.place).includes(a)) return `${machine.items[a]?.name} may cover what is done`;
                for (const b of touchedBy(two)) {
                    const held = machine.items[a]?.holds.includes(b) || machine.items[b]?.holds.includes(a);
                    if (held || isIn(machine, a, b) || isIn(machine, b, a)) {
                        return `${machine.items[a]?.name} and ${machine.items[b]?.name} have to do with each other`;
                    }
                }
            }
            for (const b of touchedBy(two)) {
                if (covering(machine, one.place).includes(b)) return `${machine.items[b]?.name} may cover what is done`;
            }
        }
    }
    return undefined;
}

function touchedBy(event: Event): readonly number[] {
    if (event.kind === 'prose' || event.kind === 'hold') return event.refs;
    return event.item === NONE ? [] : [event.item];
}

function covering(machine: Machine, place: number): number[] {
    const covers: number[] = [];
    for (let at = place; at !== NONE; at = machine.places[at]?.within ?? NONE)
        covers.push(...(machine.places[at]?.behind ?? []));
    return covers;
}
