/** A Plan as text, one event a line: "4 deck pull CB-217 -> 5 | 9". */
import { readFileSync } from 'node:fs';
import { compileMachine } from '../../../language/machine/compile.js';
import { type Machine, NONE } from '../../../language/machine/machine.js';
import { type ParsedProject, parseProject } from '../../../language/names/project.js';
import { type ArgumentChange, lowerCard } from '../../../language/plan/lower.js';
import type { Event, PageLine, Plan } from '../../../language/plan/plan.js';
import { embodiedIn, equipmentsOfCard, variantsOf } from '../../../language/plan/variants.js';
import { wordsOf } from '../../../language/vocabulary/sentences.js';

export const sample = readFileSync(new URL('../sample/valve.cotter', import.meta.url), 'utf8');

export interface Lowered {
    readonly project: ParsedProject;
    readonly machine: Machine;
    readonly plan: Plan;
}

/** The card of the text (the first, or the one named) on the aircraft that has these modifications. */
export function lower(text: string, embodied: readonly string[] = [], name?: string, change?: ArgumentChange): Lowered {
    const project = parseProject([{ path: 'card.cotter', text }]);
    const card = project.cards.find(each => each.name === name) ?? project.cards[0];
    if (!card) throw new Error('There is no card in the text.');
    const has = new Set(embodied);
    const machine = compileMachine(project, equipmentsOfCard(project, card), has);
    return { project, machine, plan: lowerCard(project, card, machine, has, change) };
}

export function variantNames(text: string): string[] {
    const project = parseProject([{ path: 'card.cotter', text }]);
    const card = project.cards[0];
    return card ? variantsOf(project, card).variants.map(each => [...embodiedIn(each)].join(' ') || '-') : [];
}

/** `-> 5` is left out where it is the next event; `| 9` is where it goes when it is not so. */
export function flow({ plan, machine }: Lowered): string[] {
    return plan.events.map(event => {
        const who = event.role === NONE ? '' : `${plan.roles[event.role]?.name} `;
        const next = event.next === event.id + 1 ? '' : event.next === NONE ? ' -> out' : ` -> ${event.next}`;
        const other = event.other === NONE ? '' : ` | ${event.other}`;
        return `${event.id} ${who}${does(event, plan, machine)}${event.guaranteed > 0 ? ` (${event.guaranteed} s)` : ''}${next}${other}`;
    });
}

function does(event: Event, plan: Plan, machine: Machine): string {
    const name = event.item === NONE ? '' : (machine.items[event.item]?.name ?? '?');
    const at = event.place === NONE ? '' : (machine.places[event.place]?.name ?? '?');
    const state = (slot: number, index: number) => machine.slots[slot]?.states[index] ?? '?';
    const names = (items: readonly number[]) => items.map(each => machine.items[each]?.name ?? '?').join('+');
    switch (event.kind) {
        case 'operate': {
            const more = [
                event.fresh ? 'new' : '',
                ...event.spares.map(each => plan.spares[each]?.name ?? '?'),
                ...event.materials.map(each => plan.materials[each]?.name ?? '?'),
            ];
            return [event.ensure ? 'ensure' : '', event.verb, name, state(event.slot, event.state), ...more]
                .filter(Boolean)
                .join(' ');
        }
        case 'tag':
            return `${event.verb} ${name} ${state(event.slot, event.state)}`;
        case 'press':
            return `press ${name}`;
        case 'keep-start':
            return `keep${event.keep} ${name} ${state(event.slot, event.state)} ${event.atMost} s`;
        case 'keep-end':
            return `release${event.keep} ${name} ${state(event.slot, event.state)}`;
        case 'look': {
            const what =
                event.look === 'see'
                    ? state(event.slot, event.state)
                    : `${event.what && `${event.what} `}${event.limits?.text}`;
            const times = [
                ['within', event.within],
                ['for', event.for],
                ['after', event.after],
            ].filter(([, time]) => time !== NONE);
            return [
                event.look,
                name,
                what,
                ...times.map(([word, time]) => `${word} ${time}`),
                event.record ? 'record' : '',
            ]
                .filter(Boolean)
                .join(' ');
        }
        case 'branch':
            return `if ${name} ${state(event.slot, event.state)}`;
        case 'tell':
            return `tell ${plan.roles[event.to]?.name} "${event.text}"`;
        case 'go':
            return `go ${at}`;
        case 'clear':
            return `${event.verb} ${at}`;
        case 'prose':
            return `"${event.text}" on ${names(event.refs) || '-'} at ${at || '-'}`;
        case 'torque':
            return `torque ${name} ${event.limits?.text ?? '-'} ${plan.tools[event.tool]?.name ?? '-'}${event.extension === NONE ? '' : ` ${event.extension.toFixed(4)} m`}`;
        case 'hold':
            return `hold "${event.text}" on ${names(event.refs) || '-'}`;
        case 'step-start':
            return `${plan.steps[event.step]?.kind} ${plan.steps[event.step]?.name}`;
        case 'step-end':
            return `done ${plan.steps[event.step]?.name}`;
        case 'stop':
            return `stop "${event.text}"`;
        case 'leave-for':
            return `leave for ${event.card}`;
        default:
            return event.kind;
    }
}

/** One line a sentence, indented inside blocks. */
export function printed({ plan }: Lowered): string[] {
    const lines = (all: readonly PageLine[], indent: string): string[] => all.flatMap(line => print(line, indent));
    const print = (line: PageLine, indent: string): string[] => {
        const by = 'by' in line ? `${plan.roles[line.by]?.name}: ` : '';
        const only = line.only && ` ${line.only}`;
        if (line.kind === 'group' || line.kind === 'step')
            return [`${indent}[${line.title}]${only}`, ...lines(line.lines, `${indent}  `)];
        if (line.kind === 'card') return [`${indent}[card ${line.card}]${only}`, ...lines(line.lines, `${indent}  `)];
        if (line.kind === 'repeat')
            return [`${indent}repeat ${plan.steps[line.step]?.name}, at most ${line.times} times`];
        const alert =
            line.kind === 'alert'
                ? `${line.alert}: `
                : line.kind === 'stop' || line.kind === 'hold'
                  ? `${line.kind}: `
                  : '';
        const own = `${indent}${by}${alert}${wordsOf(line.sentence)}${only}`;
        const inner = `${indent}  `;
        if (line.kind === 'look' && line.ifNot) return [own, `${indent}if not`, ...lines(line.ifNot, inner)];
        if (line.kind === 'branch')
            return [own, ...lines(line.then, inner), `${indent}otherwise`, ...lines(line.otherwise, inner)];
        return line.kind === 'keep' ? [own, ...lines(line.lines, inner)] : [own];
    };
    return plan.page.steps.flatMap(step => [
        [step.number, step.title, step.takes, step.proves, step.only].filter(Boolean).join(' | '),
        ...lines(step.lines, '  '),
    ]);
}
