import type { Judged } from '../../checks/check.js';
import { NONE } from '../../machine/machine.js';
import type { Event, PageLine, Sentence } from '../../plan/plan.js';
import { withConverted } from '../../vocabulary/quantities.js';
import { expected, sayReading, sayRelease, sayRepeat, sentence } from '../../vocabulary/sentences.js';
import type { Block, Cleared, Heading, Line, Step } from './card.js';
import { clearedBy } from './clears.js';
import { alertOf, blanksOf, leaves, onward, spokenOf } from './lines.js';
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
export function stepsOf({ machine, plan, paths, traces }: Judged, units: readonly string[]): Printed {
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
    const open = (line: NumberedPageLine): string => {
        if (line.kind !== 'stop' && line.kind !== 'leave-for') return '';
        const event = eventsOf(line)[0]?.id ?? NONE;
        return openAt(event, plan, machine, paths) || 'nothing; everything is as found';
    };

    /** `next`: the number of the line after it. */
    const printedLine = (
        { number, line, only, headings, alerts, blocks }: NumberedLine,
        next: string,
        held: Held,
    ): Line => {
        const letGo = line.kind === 'keep' ? release(line) : undefined;
        const holding = letGo ? [letGo, ...held] : held;
        const by = 'by' in line ? line.by : leavesCard(line) ? (held[0]?.by ?? NONE) : NONE;
        return {
            number,
            kind: line.kind,
            headings: headings.map(headingOf),
            alerts: alerts.map(alertOf),
            by: plan.roles[by]?.label ?? '',
            only,
            sentence: sentenceOf(line, said(line), held),
            blanks: blanksOf(line, eventsOf(line)).map(each => ({
                ...each,
                limits: withConverted(each.limits, units),
            })),
            passes: line.kind === 'repeat' ? line.times : 0,
            clears: clears(line),
            open: open(line),
            blocks: blocks.map(block => printedBlock(block, next, holding)),
            keys: line.keys,
            span: line.span,
        };
    };
    const printedLines = (lines: readonly NumberedLine[], next: string, held: Held): readonly Line[] =>
        lines.map((line, index) => printedLine(line, lines[index + 1]?.number ?? next, held));
    const printedBlock = ({ kind, lines, closing }: NumberedBlock, next: string, held: Held): Block => ({
        kind,
        lines: printedLines(lines, next, held),
        closing: closing.map(alertOf),
        onward: kind === 'if-not' && !leaves(lines) ? onward(lines.length === 0, next) : '',
    });

    return {
        numbers,
        steps: steps.map(({ step, lines, closing }, index) => ({
            number: step.number,
            title: step.title,
            only: step.only,
            takes: step.takes,
            proves: step.proves,
            lines: printedLines(lines, firstNumber(steps.slice(index + 1)), []),
            closing: closing.map(alertOf),
        })),
    };
}

const headingOf = ({ card, step, only, closing }: NumberedHeading): Heading => ({
    kind: step ? 'step' : 'end',
    card,
    title: step?.title ?? '',
    only,
    takes: step?.takes ?? '',
    proves: step?.proves ?? '',
    closing: closing.map(alertOf),
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
