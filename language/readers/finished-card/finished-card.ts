import type { Judged } from '../../checks/check.js';
import type { CardStatus } from '../../findings/finding.js';
import { NONE } from '../../machine/machine.js';
import type { Event, Plan, Sentence } from '../../plan/plan.js';
import { list, noun, the, thing, upperFirst } from '../../vocabulary/sentences.js';
import { breakersOf } from './breakers.js';
import type { Alert, Blank, Block, CardState, Cleared, FinishedCard, Line, Person, Spare, Step } from './card.js';
import { clearedBy } from './clears.js';
import { type AlertLine, type NumberedBlock, type NumberedLine, type NumberedPageLine, numbered } from './numbers.js';
import { openAt } from './open.js';
import { caution, counted, notApproved, writtenDate } from './words.js';

/** Everything that the finished card of one variant says. `digest`: vocabulary/digest.ts, of all texts that the card draws on. */
export function finishedCard(judged: Judged, status: CardStatus, digest: string): FinishedCard {
    const { machine, plan, paths, traces } = judged;
    const steps = plan.page.steps.map(step => ({ step, ...numbered(step) }));
    const all = steps.flatMap(step => allLines(step.lines));
    const numbers = new Map(all.flatMap(({ number, line }) => line.keys.map(key => [key, number] as const)));
    const events = new Map(plan.events.map(event => [event.key, event]));
    const cleared = clearedBy(plan, machine, paths, traces);
    const sentences = new Map(all.map(({ number, line }) => [number, line.sentence]));

    const eventsOf = (line: NumberedPageLine): readonly Event[] =>
        line.keys.map(key => events.get(key)).filter(event => event !== undefined);
    const clears = (line: NumberedPageLine): readonly Cleared[] => {
        const found = eventsOf(line)
            .filter(event => event.kind === 'tell')
            .flatMap(event => cleared.get(event.id) ?? [])
            .map(event => numbers.get(plan.events[event]?.key ?? ''))
            .filter(number => number !== undefined);
        return [...new Set(found)].map(number => ({ number, sentence: sentences.get(number) ?? [] }));
    };
    const open = (line: NumberedPageLine): string => {
        if (line.kind !== 'stop' && line.kind !== 'leave-for') return '';
        const [event] = eventsOf(line);
        return openAt(event?.id ?? NONE, plan, machine, paths) || 'nothing; everything is as found';
    };
    const nounOf = (item: number): string => {
        const found = machine.items[item];
        return found ? noun(found) : '';
    };
    const by = (line: NumberedPageLine): string => ('by' in line ? (plan.roles[line.by]?.label ?? '') : '');

    /** How a thing held by hand is let go at the end of its block. */
    const release = (line: NumberedPageLine): string => {
        const start = eventsOf(line).find(event => event.kind === 'keep-start');
        const end = eventsOf(line).find(event => event.kind === 'keep-end');
        const item = machine.items[start?.item ?? NONE];
        if (!item || end?.kind !== 'keep-end') return '';
        const state = machine.slots[end.slot]?.states[end.state];
        return item.kind === 'button' ? `Then release ${thing(item)}.` : `Then return ${thing(item)} to ${state}.`;
    };

    const printed = ({ number, line, only, alerts, blocks }: NumberedLine, next: string): Line => ({
        number,
        kind: line.kind,
        alerts: alerts.map(alertOf),
        by: by(line),
        only,
        sentence: line.sentence,
        blanks: blanksOf(line, eventsOf(line)),
        clears: clears(line),
        open: open(line),
        blocks: blocks.map(block => printedBlock(block, next, release(line))),
        keys: line.keys,
        span: line.span,
    });
    const printedLines = (lines: readonly NumberedLine[], next: string): readonly Line[] =>
        lines.map((line, index) => printed(line, lines[index + 1]?.number ?? next));
    const printedBlock = (block: NumberedBlock, next: string, letGo: string): Block => ({
        kind: block.kind,
        lines: printedLines(block.lines, next),
        closing: block.closing.map(alertOf),
        onward:
            block.kind === 'while'
                ? letGo
                : block.kind === 'if-not' && !leaves(block.lines)
                  ? onward(block.lines.length === 0, next)
                  : '',
    });
    const printedSteps = steps.map(
        ({ step, lines, closing }, index): Step => ({
            number: step.number,
            title: step.title,
            only: step.only,
            takes: step.takes,
            proves: step.proves,
            lines: printedLines(lines, firstNumber(steps.slice(index + 1))),
            closing: closing.map(alertOf),
        }),
    );

    const revision = plan.revision || 'not given';
    const end = plan.events.filter(event => event.kind === 'end').at(-1);
    const minutes = Math.round(plan.steps.reduce((sum, step) => sum + step.takes, 0) / 60);
    return {
        number: plan.card,
        title: plan.label,
        applies: plan.applies,
        variant: plan.variant.modifications.map(
            each => `${each.embodied ? 'With' : 'Without'} ${each.label.replace(/: (.*)$/, ' ($1)')}`,
        ),
        variantShort: plan.variant.modifications
            .map(each => `${each.embodied ? 'with' : 'without'} ${each.name}`)
            .join(', '),
        revision,
        date: plan.dated ? writtenDate(plan.dated) : 'not given',
        effort: effortOf(plan, minutes),
        minutes,
        status: stateOf(status, plan),
        blanks: ['Registration', 'Work order', 'Place', 'Date', 'Name', 'Licence number'].map(label => blank(label)),
        caution: caution(plan.card, revision, digest),
        notApproved: `${notApproved} Generated from ${plan.card}, revision ${revision}, text digest ${digest}.`,
        foot: `${notApproved} Text digest ${digest}.`,
        before: [...plan.after.map(({ card }) => says(`${card} is complete.`)), ...plan.page.start].map(sentence => ({
            sentence,
        })),
        persons: plan.roles.map(
            (role): Person => ({
                label: role.label,
                place: machine.places[role.place]?.label ?? '',
                independent: list(role.independentOf.map(other => the(plan.roles[other]?.label ?? ''))),
            }),
        ),
        tools: plan.tools.map(tool => ({ label: tool.label, range: tool.range?.text ?? '' })),
        spares: plan.spares.map(
            (spare): Spare => ({
                label: spare.label,
                part: spare.part,
                quantity: spare.quantity,
                goesIn: list(spare.forItems.map(item => nounOf(item))),
            }),
        ),
        materials: plan.materials.map(({ label }) => ({ label })),
        breakers: breakersOf(plan, machine, paths, numbers),
        alerts: plan.page.alerts.filter(line => line.kind === 'alert').map(alertOf),
        steps: printedSteps,
        after: plan.page.finish.map(sentence => ({ sentence })),
        leftOpen: end ? openAt(end.id, plan, machine, paths, plan.finish) : '',
        accepted: plan.accepts.map(({ code, name, because }) => ({ code, name, because })),
        // 14 CFR 43.9(a): who did the work, when; name, signature, certificate and its kind of who approves it.
        signatures: [...plan.roles.map(role => role.label), 'Approves the work'],
        signatureBlanks: ['Name', 'Licence number and kind', 'Signature', 'Date and time'],
    };
}

function stateOf(status: CardStatus, plan: Plan): CardState {
    return {
        status: status.status,
        word: status.status === 'unknown' ? 'not known' : status.status,
        why: status.why,
        unknown: plan.unknown.filter(each => !status.why.includes(each)),
    };
}

function effortOf(plan: Plan, minutes: number): string {
    const persons = counted(plan.roles.length, 'person', 'persons');
    const silent = plan.steps.filter(step => step.takes === 0).length;
    if (silent === plan.steps.length) return `Time not given, ${persons}`;
    const time = `${minutes} ${minutes === 1 ? 'minute' : 'minutes'}`;
    return silent === 0
        ? `About ${time}, ${persons}`
        : `At least ${time} (${counted(silent, 'step says', 'steps say')} no time), ${persons}`;
}

const blank = (label: string, limits = '', unit = ''): Blank => ({ label, limits, unit });
const says = (text: string): Sentence => [{ text, role: 'plain' }];
const alertOf = (line: AlertLine): Alert => ({
    kind: line.alert,
    sentence: line.sentence,
    only: line.only,
    span: line.span,
});
const allLines = (lines: readonly NumberedLine[]): readonly NumberedLine[] =>
    lines.flatMap(line => [line, ...line.blocks.flatMap(block => allLines(block.lines))]);

/** Below this a time is counted by stop-watch or by mouth; from here on the clock is written down. */
const byTheClock = 60;

function blanksOf(line: NumberedPageLine, events: readonly Event[]): readonly Blank[] {
    switch (line.kind) {
        case 'wait':
            return [blank('Start'), blank('Finish not before')];
        case 'hold':
            return ['Name', 'Licence or stamp', 'Signature', 'Date', 'Time'].map(label => blank(label));
        case 'torque':
            return [blank('Value', line.limits)];
        case 'look': {
            const value = line.record ? [blank('Value', line.limits)] : [];
            return [...(line.timed ? timing(events) : []), ...value];
        }
        default:
            return [];
    }
}

function timing(events: readonly Event[]): readonly Blank[] {
    const look = events.find(event => event.kind === 'look');
    if (!look) return [];
    const longest = Math.max(look.within, look.for, look.after);
    if (longest < byTheClock) return look.within > 0 ? [blank('Time taken', '', 's')] : [];
    return [
        blank('Start'),
        ...(look.for > 0 ? [blank('Finish not before')] : []),
        ...(look.after > 0 ? [blank('Not before')] : []),
        ...(look.within > 0 ? [blank('Deadline')] : []),
    ];
}

/** Whether nobody comes out of these lines at their end. */
function leaves(lines: readonly NumberedLine[]): boolean {
    const last = lines.at(-1);
    if (!last) return false;
    if (last.line.kind === 'branch') return last.blocks.length === 2 && last.blocks.every(block => leaves(block.lines));
    return last.line.kind === 'stop' || last.line.kind === 'leave-for' || last.line.kind === 'repeat';
}

function onward(nothing: boolean, next: string): string {
    const where = next ? `go on with ${next}.` : 'go on.';
    return nothing ? upperFirst(where) : `Then ${where}`;
}

const firstNumber = (steps: readonly { readonly lines: readonly NumberedLine[] }[]): string =>
    steps.flatMap(step => step.lines)[0]?.number ?? '';
