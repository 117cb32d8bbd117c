import type { Event, Sentence } from '../../plan/plan.js';
import { convertedLimits } from '../../vocabulary/quantities.js';
import { upperFirst } from '../../vocabulary/sentences.js';
import type { Alert, Blank } from './card.js';
import type { AlertLine, NumberedLine, NumberedPageLine } from './numbers.js';

/** Below this a time is counted or stopped with a watch; from here on the clock is written down. Seconds. */
const byTheClock = 60;

export const blank = (label: string, limits = '', unit = ''): Blank => ({ label, limits, unit });

/** `within`: the limit of what it stands in, which is not said again. */
export const alertOf = (line: AlertLine, within = ''): Alert => ({
    kind: line.alert,
    sentence: line.sentence,
    only: unsaid(line.only, within),
    span: line.span,
});

export const unsaid = (only: string, within: string): string => (only === within ? '' : only);

/** What somebody writes on a line besides initials. */
export function blanksOf(line: NumberedPageLine, events: readonly Event[]): readonly Blank[] {
    switch (line.kind) {
        case 'wait':
            return line.seconds < byTheClock ? [] : [blank('Start'), blank('Finish not before')];
        case 'hold':
            return ['Name', 'Licence or stamp', 'Signature', 'Date', 'Time'].map(label => blank(label));
        case 'torque':
            return line.extension
                ? [blank('L', '', unitIn(line.extension)), blank('Reading to set', '', unitIn(line.limits))]
                : [blank('Value', line.limits)];
        case 'look':
            return [...(line.timed ? timing(events) : []), ...(line.record ? [blank('Value', line.limits)] : [])];
        default:
            return [];
    }
}

/** A value is written down in the unit of the text. */
export function inUnits(each: Blank, units: readonly string[]): Blank {
    const converted = convertedLimits(each.limits, units);
    return converted
        ? { ...each, limits: `${each.limits}; ${converted}`, unit: each.unit || unitIn(each.limits) }
        : each;
}

const unitIn = (quantity: string): string => quantity.replace(/^.*\d /, '');

function timing(events: readonly Event[]): readonly Blank[] {
    const look = events.find(event => event.kind === 'look');
    if (!look) return [];
    if (Math.max(look.within, look.for, look.after) < byTheClock) {
        return look.within > 0 ? [blank('Time taken', '', 's')] : [];
    }
    return [
        blank('Start'),
        ...(look.for > 0 ? [blank('Finish not before')] : []),
        ...(look.after > 0 ? [blank('Not before')] : []),
        ...(look.within > 0 ? [blank('Deadline')] : []),
    ];
}

/** Whether nobody comes out of these lines at their end. */
export function leaves(lines: readonly NumberedLine[]): boolean {
    const last = lines.at(-1);
    if (!last) return false;
    if (last.line.kind === 'branch') return last.blocks.length === 2 && last.blocks.every(block => leaves(block.lines));
    return last.line.kind === 'stop' || last.line.kind === 'leave-for' || last.line.kind === 'repeat';
}

/** Where to go on after a block. */
export function onward(nothing: boolean, next: string): string {
    const where = next ? `go on with ${next}.` : 'go on.';
    return nothing ? upperFirst(where) : `Then ${where}`;
}

/** The sentence of a line as another line speaks of it: without the colon that leads to what stands below it. */
export function spokenOf(sentence: Sentence): Sentence {
    return sentence.map((phrase, index) =>
        index < sentence.length - 1 ? phrase : { ...phrase, text: phrase.text.replace(/(\. Meanwhile)?:$/, '.') },
    );
}
