import type { Judged } from '../../checks/check.js';
import { NONE } from '../../machine/machine.js';
import type { Event, PageLine, Sentence } from '../../plan/plan.js';
import { withConverted } from '../../vocabulary/quantities.js';
import { expected, sayReading, sayRelease, sayRepeat, sentence } from '../../vocabulary/sentences.js';
import type { Block, Cleared, Heading, Line, Step } from './card.js';
import { clearedBy } from './clears.js';
import { alertOf, blanksOf, inUnits, leaves, onward, spokenOf, unsaid } from './lines.js';
import { movedAt } from './moved.js';
import {
    type KeepLine,
    type NumberedBlock,
    type NumberedHeading,
    type NumberedLine,
    type NumberedPageLine,
    numbered,
} from './numbers.js';
import { openAt } from './open.js';

interface Printed {
    readonly steps: readonly Step[];
    /** By event key, the number of its line. */
    readonly numbers: ReadonlyMap<string, string>;
}

/** The steps as they are printed. `units`: to print beside the written ones. */
export function stepsOf(judged: Judged, units: readonly string[]): Printed {
    const { machine, plan, paths, traces } = judged;
    const events = new Map(plan.events.map(event => [event.key, event]));
    const eventsOf = (line: PageLine): readonly Event[] => line.keys.flatMap(key => events.get(key) ?? []);

    const release = (keep: KeepLine): ActLine | undefined => {
        const end = eventsOf(keep).find(event => event.kind === 'keep-end');
        const item = machine.items[end?.item ?? NONE];
        if (!item || end?.kind !== 'keep-end') return undefined;
        const { by, span, calls } = keep;
        const says = sayRelease(item, machine.slots[end.slot]?.states[end.state] ?? '');
        return { kind: 'act', by, span, calls, only: '', keys: [end.key], sentence: says };
    };

    const steps = plan.page.steps.map(step => ({ step, ...numbered(step, release) }));
    const all = steps.flatMap(step => allLines(step.lines));
    const numbers = new Map(all.flatMap(({ number, line }) => line.keys.map(key => [key, number] as const)));
    const stepNames = new Map([
        ...plan.page.steps.map(({ step, number }) => [step, `step ${number}`] as const),
        ...all.flatMap(({ number, headings }) =>
            headings.flatMap(({ step }) => (step ? [[step.step, `line ${number}`] as const] : [])),
        ),
    ]);
    const said = (line: NumberedPageLine): Sentence => {
        if (line.kind === 'repeat') return sayRepeat(stepNames.get(line.step) ?? 'this step', line.times);
        const converted = line.sentence.map(phrase =>
            phrase.role === 'expected' ? { ...phrase, text: withConverted(phrase.text, units) } : phrase,
        );
        const reading = line.kind === 'torque' && line.extension ? ` ${sayReading(line.limits, line.extension)}` : '';
        return reading ? sentence(...converted, reading) : converted;
    };
    const sentences = new Map(all.map(({ number, line }) => [number, spokenOf(said(line))]));
    const cleared = clearedBy(plan, machine, paths, traces);

    const clears = (line: NumberedPageLine): readonly Cleared[] => {
        const found = eventsOf(line)
            .filter(event => event.kind === 'tell')
            .flatMap(event => cleared.get(event.id) ?? [])
            .flatMap(event => numbers.get(plan.events[event]?.key ?? '') ?? []);
        return [...new Set(found)].map(number => ({ number, sentence: sentences.get(number) ?? [] }));
    };
    const open = (line: NumberedPageLine): Pick<Line, 'open' | 'moved'> => {
        if (line.kind !== 'stop' && line.kind !== 'leave-for') return { open: '', moved: '' };
        const event = eventsOf(line)[0]?.id ?? NONE;
        const moved = movedAt(event, judged);
        const nothing = moved ? 'nothing that a person changed' : 'nothing; everything is as found';
        return { open: openAt(event, plan, machine, paths) || nothing, moved };
    };

    /** `next`: the number of the line after it. `within`: the limit of what it stands in; `outside`: of what its headings stand in. */
    const printedLine = (
        numberedLine: NumberedLine,
        next: string,
        held: Held,
        within: string,
        outside: string,
    ): Line => {
        const { number, line, only, headings, alerts, blocks } = numberedLine;
        const letGo = line.kind === 'keep' ? release(line) : undefined;
        const holding = letGo ? [letGo, ...held] : held;
        const by = 'by' in line ? line.by : leavesCard(line) ? (held[0]?.by ?? NONE) : NONE;
        return {
            number,
            kind: line.kind,
            headings: headings.map(each => headingOf(each, outside)),
            alerts: alerts.map(each => alertOf(each, within)),
            by: plan.roles[by]?.label ?? '',
            only: unsaid(only, within),
            sentence: sentenceOf(line, said(line), held),
            blanks: blanksOf(line, eventsOf(line)).map(each => inUnits(each, units)),
            passes: line.kind === 'repeat' ? line.times : 0,
            clears: clears(line),
            ...open(line),
            blocks: blocks.map(block => printedBlock(block, next, holding, only || within)),
            keys: line.keys,
            span: line.span,
        };
    };
    const printedLines = (
        lines: readonly NumberedLine[],
        next: string,
        held: Held,
        within: string,
    ): readonly Line[] => {
        let limit = within;
        return lines.map((line, index) => {
            const heading = line.headings.at(-1);
            if (heading) limit = heading.only || within;
            return printedLine(line, lines[index + 1]?.number ?? next, held, limit, within);
        });
    };
    const printedBlock = (block: NumberedBlock, next: string, held: Held, within: string): Block => ({
        kind: block.kind,
        lines: printedLines(block.lines, next, held, within),
        closing: block.closing.map(each => alertOf(each, within)),
        onward: block.kind === 'if-not' && !leaves(block.lines) ? onward(block.lines.length === 0, next) : '',
    });

    return {
        numbers,
        steps: steps.map(({ step, lines, closing }, index) => ({
            number: step.number,
            title: step.title,
            only: step.only,
            takes: step.takes,
            proves: step.proves,
            lines: printedLines(lines, firstNumber(steps.slice(index + 1)), [], step.only),
            closing: closing.map(each => alertOf(each, step.only)),
        })),
    };
}

const headingOf = ({ card, step, only, closing }: NumberedHeading, within: string): Heading => ({
    kind: step ? 'step' : 'end',
    card: card.card,
    revision: card.revision,
    title: step?.title ?? '',
    only: unsaid(only, within),
    takes: step?.takes ?? '',
    proves: step?.proves ?? '',
    closing: closing.map(each => alertOf(each)),
});

type ActLine = Extract<PageLine, { kind: 'act' }>;
/** How to let go of each thing that is held by hand, the last one first. */
type Held = readonly ActLine[];

const allLines = (lines: readonly NumberedLine[]): readonly NumberedLine[] =>
    lines.flatMap(line => [line, ...line.blocks.flatMap(block => allLines(block.lines))]);

const firstNumber = (steps: readonly { readonly lines: readonly NumberedLine[] }[]): string =>
    steps.flatMap(step => step.lines)[0]?.number ?? '';

const leavesCard = ({ kind }: NumberedPageLine): boolean =>
    kind === 'stop' || kind === 'leave-for' || kind === 'repeat';

/** Whoever leaves the block of something held by hand lets go of it first. */
function sentenceOf(line: NumberedPageLine, said: Sentence, held: Held): Sentence {
    if (!leavesCard(line)) return said;
    const letGo = held.flatMap(each => [...each.sentence, ' ']);
    return sentence(...letGo, ...(line.kind === 'stop' ? [expected('Stop.'), ' '] : []), ...said);
}
