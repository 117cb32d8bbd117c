/**
 * A run as text, one event a line: when, what, how a look came out, and what changed because of what.
 *
 *     0 set ISOL SHUT | ISOL NORM>SHUT
 *     0 see WITNESS ACROSS -> yes at 4 | VLV OPEN>SHUT @4 <ISOL, WITNESS IN-LINE>ACROSS @4 <VLV
 *
 * `@4`: the change came at 4 s, where that is later than the start of the event. `<X`: because X changed; none: the event did it.
 */
import { AstUtils } from 'langium';
import { runFailures } from '../../../language/failures/runs.js';
import { compileMachine } from '../../../language/machine/compile.js';
import { type Machine, NONE } from '../../../language/machine/machine.js';
import { parseProject } from '../../../language/names/project.js';
import { lowerCard } from '../../../language/plan/lower.js';
import type { Event, Plan } from '../../../language/plan/plan.js';
import { equipmentsOfCard } from '../../../language/plan/variants.js';
import type { Trace } from '../../../language/trace/trace.js';
import { judgeArms, type Runs, runCard } from '../../../language/trace/traces.js';

export interface Told {
    readonly machine: Machine;
    readonly plan: Plan;
    readonly runs: Runs;
    /** The first plain run, without the events that do nothing. */
    readonly lines: readonly string[];
}

/** What has been told of in this file of tests: the types in the trees, and the properties that they have, as "See.record". */
export const told = new Set<string>();

/** The first card of the text, or the one named, on the aircraft that has these modifications. */
export function tell(text: string, embodied: readonly string[] = [], name?: string): Told {
    const project = parseProject([{ path: 'card.cotter', text }]);
    if (project.findings.length > 0) throw new Error(project.findings.map(each => each.message).join('\n'));
    const card = project.cards.find(each => each.name === name) ?? project.cards[0];
    if (!card) throw new Error('There is no card in the text.');
    for (const root of [...project.equipments, ...project.subtasks, ...project.cards])
        for (const node of AstUtils.streamAst(root)) {
            told.add(node.$type);
            if ('kind' in node) told.add(`${node.$type} ${node.kind}`);
            if ('verb' in node) told.add(`${node.$type} ${node.verb}`);
            for (const [key, value] of Object.entries(node))
                if (Array.isArray(value) ? value.length > 0 : value !== undefined && value !== false)
                    told.add(`${node.$type}.${key}`);
        }
    const has = new Set(embodied);
    const machine = compileMachine(project, equipmentsOfCard(project, card), has);
    const plan = lowerCard(project, card, machine, has);
    const runs = runCard(machine, plan);
    const plain = runs.plain[0];
    return { machine, plan, runs, lines: plain ? linesOf(machine, plan, plain) : [] };
}

/** Equipment and the statements of one step. `parts`: card parts besides. */
export function tellSteps(equipment: string, statements: string, parts = ''): Told {
    return tell(cardWith(equipment, statements, parts));
}

export function cardWith(equipment: string, statements: string, parts = ''): string {
    return `equipment E "Equipment" { place Here "Here" place There "There"
${equipment} }
card C-1 "Card" { uses E role tech "Technician" at Here role mate "Mate" at There
${parts}
step s "Step" {
${statements}
} }`;
}

const SILENT: ReadonlySet<Event['kind']> = new Set(['step-start', 'step-end', 'join', 'end']);

export function linesOf(machine: Machine, plan: Plan, trace: Trace): string[] {
    const lines = trace.visits.flatMap(visit => {
        const event = plan.events[visit.event] as Event;
        // What goes on by itself when nobody acts any more is not told here.
        const over = event.kind === 'end' || event.kind === 'stop';
        const changes = over ? [] : trace.changes.slice(visit.firstChange, visit.lastChange);
        if (SILENT.has(event.kind) && changes.length === 0) return [];
        const met = visit.met === undefined ? '' : ` -> ${visit.met ? 'yes' : 'no'}`;
        const until = visit.until > visit.time && !over ? (met ? ` at ${visit.until}` : ` -> ${visit.until}`) : '';
        const told = changes.map(each => {
            const states = machine.slots[each.slot]?.states ?? [];
            const by = trace.changes[each.cause];
            const when = each.time > visit.time ? ` @${each.time}` : '';
            return `${slotName(machine, each.slot)} ${states[each.from] ?? '-'}>${states[each.to] ?? '-'}${when}${by ? ` <${slotName(machine, by.slot)}` : ''}`;
        });
        return [
            `${visit.time} ${does(machine, plan, event)}${met}${until}${told.length > 0 ? ` | ${told.join(', ')}` : ''}`,
        ];
    });
    return trace.end === 'end' || trace.end === 'arm-end' ? lines : [...lines, trace.end];
}

export function slotName(machine: Machine, slot: number): string {
    const { item, kind } = machine.slots[slot] as Machine['slots'][number];
    const { name, slot: own } = machine.items[item] as Machine['items'][number];
    return slot === own ? name : `${name}/${kind}`;
}

/** The event in a few words, without who does it. */
export function does(machine: Machine, plan: Plan, event: Event): string {
    const name = machine.items[event.item]?.name ?? '';
    const place = machine.places[event.place]?.name ?? '';
    const state = (slot: number, index: number): string => machine.slots[slot]?.states[index] ?? '?';
    switch (event.kind) {
        case 'operate':
            return `${event.ensure ? 'ensure ' : ''}${event.verb}${event.fresh ? ' new' : ''} ${name} ${state(event.slot, event.state)}`;
        case 'tag':
            return `${event.verb} ${name}`;
        case 'keep-start':
            return `keep ${name} ${state(event.slot, event.state)}`;
        case 'keep-end':
            return `let go ${name} ${state(event.slot, event.state)}`;
        case 'look': {
            const what = event.look === 'see' ? state(event.slot, event.state) : (event.limits?.text ?? '');
            const time = (word: string, seconds: number): string => (seconds === NONE ? '' : ` ${word} ${seconds}`);
            return `${event.look} ${name} ${what}${time('after', event.after)}${time('within', event.within)}${time('for', event.for)}`;
        }
        case 'branch':
            return `if ${name} ${state(event.slot, event.state)}`;
        case 'tell':
            return `tell ${plan.roles[event.to]?.name}`;
        case 'go':
            return `go ${place}`;
        case 'clear':
            return `${event.verb} ${place}`;
        case 'leave-for':
            return `leave for ${event.card}`;
        case 'step-start':
        case 'step-end':
            return `${event.kind === 'step-start' ? 'begin' : 'end'} ${plan.steps[event.step]?.name}`;
        default:
            return `${event.kind}${name ? ` ${name}` : ''}`;
    }
}

export interface FailuresTold {
    /** "MB DEAD, disturbed, from disconnect P1: see WITNESS ACROSS, ..."; after the colon the looks that fail, "masked" where none does. */
    readonly lines: readonly string[];
    /** By arm: the look or branch it hangs on, its side, how it is judged. */
    readonly arms: readonly string[];
    /** By run inside an arm: the failure, then the events. */
    readonly inArms: readonly (readonly string[])[];
}

export function tellFailures({ machine, plan, runs }: Told): FailuresTold {
    const { results, inArms, reached } = runFailures(machine, plan, runs);
    const word = (each: (typeof results)[number]['failure']): string =>
        each.mode === 'STUCK'
            ? `stuck ${each.word}`
            : each.mode === 'CROSSED'
              ? `CROSSED with ${machine.items[each.detail]?.name}`
              : each.word;
    const named = (index: number): string => {
        const failure = results[index]?.failure;
        return failure ? `${machine.items[failure.item]?.name} ${word(failure)}` : '?';
    };
    const at = (id: number): string => (plan.events[id] ? does(machine, plan, plan.events[id]) : 'never');
    return {
        lines: results.map(({ class: kind, begins, revealedBy }, n) => {
            const shown = revealedBy.map(at).join('; ') || 'masked';
            return `${named(n)}, ${kind}, before ${at(begins)}: ${shown}`;
        }),
        arms: judgeArms(plan, runs.taken, reached).map(
            (how, n) => `${at(plan.arms[n]?.event ?? NONE)} ${plan.arms[n]?.side}: ${how}`,
        ),
        inArms: inArms.map(trace => [named(trace.failure), ...linesOf(machine, plan, trace)]),
    };
}
