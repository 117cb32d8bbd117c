/** Lines to the page: what is printed, in order, with the keys of the events it stands for. */
import { type Machine, NONE } from '../machine/machine.js';
import { type Sentence, sayProves } from '../vocabulary/sentences.js';
import type { Line } from './lines.js';
import type { Event, Page, PageLine, PageStep, Step } from './plan.js';

interface Printed {
    readonly lines: readonly Line[];
    readonly steps: readonly Step[];
    readonly events: readonly Event[];
    readonly machine: Machine;
    readonly start: readonly Sentence[];
    readonly finish: readonly Sentence[];
    /** By step, "10 min". */
    readonly takes: readonly string[];
}

export function pageOf({ lines, steps, events, machine, start, finish, takes }: Printed): Page {
    const known = new Set(events.map(event => event.key));
    const headOf = (step: number): StepHead => {
        const { label, kind, of } = steps[step] as Step;
        return {
            step,
            title: label,
            takes: takes[step] ?? '',
            proves: kind === 'test' ? sayProves(of.flatMap(each => machine.items[each] ?? [])) : '',
        };
    };
    const print = (line: Line): PageLine => printed(line, known, headOf);
    const pageSteps = lines
        .filter(line => line.kind === 'step')
        .map(
            (line): PageStep => ({
                ...headOf(line.step),
                number: (steps[line.step] as Step).number,
                only: line.only,
                lines: line.lines.map(print),
            }),
        );
    const alerts = lines.filter(line => line.kind === 'alert').map(print);
    return { steps: pageSteps, start, finish, alerts, breakers: breakersOf(events, machine) };
}

type StepHead = Pick<PageStep, 'step' | 'title' | 'takes' | 'proves'>;

function printed(line: Line, known: ReadonlySet<string>, headOf: (step: number) => StepHead): PageLine {
    const { span, calls, only } = line;
    const within = (lines: readonly Line[]) => lines.map(each => printed(each, known, headOf));
    const shared = (...drafts: readonly { readonly key: string }[]) => ({
        span,
        calls,
        only,
        keys: drafts.map(each => each.key).filter(key => known.has(key)),
    });
    switch (line.kind) {
        case 'alert':
            return { ...shared(), kind: 'alert', alert: line.alert, sentence: line.sentence };
        case 'act':
            return { ...shared(...line.drafts), kind: 'act', by: line.by, sentence: line.sentence };
        case 'torque':
            return {
                ...shared(line.draft),
                kind: 'torque',
                by: line.by,
                sentence: line.sentence,
                limits: line.draft.limits?.text ?? '',
                extension: line.extension,
            };
        case 'hold':
            return { ...shared(line.draft), kind: 'hold', by: line.by, sentence: line.sentence };
        case 'wait':
            return { ...shared(line.draft), kind: 'wait', seconds: line.draft.guaranteed, sentence: line.sentence };
        case 'look':
            return {
                ...shared(line.draft),
                kind: 'look',
                by: line.by,
                sentence: line.sentence,
                record: line.draft.record,
                limits: line.limits,
                timed: line.timed,
                ifNot: line.otherwise && within(line.otherwise.lines),
            };
        case 'branch':
            return {
                ...shared(line.draft),
                kind: 'branch',
                by: line.by,
                sentence: line.sentence,
                then: within(line.then.lines),
                otherwise: within(line.otherwise.lines),
            };
        case 'keep':
            return {
                ...shared(line.draft, { key: line.released }),
                kind: 'keep',
                by: line.by,
                sentence: line.sentence,
                lines: within(line.lines),
            };
        case 'group':
            return {
                ...shared(),
                kind: 'group',
                title: line.title,
                callee: line.callee,
                args: line.args,
                lines: within(line.lines),
            };
        case 'card':
            return {
                ...shared(line.begin, line.end),
                kind: 'card',
                card: line.card,
                revision: line.revision,
                lines: within(line.lines),
            };
        case 'step':
            return {
                ...shared(line.start, line.end),
                kind: 'step',
                ...headOf(line.step),
                lines: within(line.lines),
            };
        case 'repeat':
            return { ...shared(line.draft), kind: 'repeat', step: line.step, times: line.times };
        case 'stop':
        case 'leave-for':
            return { ...shared(line.draft), kind: line.kind, sentence: line.sentence };
    }
}

const { compare } = new Intl.Collator('en', { numeric: true });

/** The breakers that the card pulls, by place and grid. */
function breakersOf(events: readonly Event[], { items, places }: Machine): Page['breakers'] {
    const pulled = new Set(
        events.flatMap(event => (event.kind === 'operate' && event.verb === 'pull' ? [event.item] : [])),
    );
    const breakers = [...pulled].map(item => {
        const { name, label, place, grid } = items[item] as Machine['items'][number];
        return {
            item,
            order: place,
            place: place === NONE ? '' : (places[place]?.label ?? ''),
            grid: grid ?? '',
            name,
            label,
        };
    });
    breakers.sort((one, two) => one.order - two.order || compare(one.grid, two.grid) || compare(one.name, two.name));
    return breakers.map(({ order: _, ...breaker }) => breaker);
}
