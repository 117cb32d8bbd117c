import type { FinishedCard, Line, Step } from '../../../language/readers/finished-card/card.js';
import { finishedCard } from '../../../language/readers/finished-card/index.js';
import { made } from './made.js';

/**
 * A card so long that every kind of line comes to stand near the end of some page. Words ending in the number of the step
 * say in the text of a printed page what stands where: Title7, Warning7, First7, Ifnot7, Inside7, Hold7.
 */
export function longCard(steps: number): FinishedCard {
    const { judged, status } = made();
    const card = finishedCard(judged, status, '6f2c-91ab');
    return { ...card, steps: Array.from({ length: steps }, (_, index) => step(index + 1)) };
}

const span = { file: '', offset: 0, end: 0, line: 1, column: 1, endLine: 1, endColumn: 1 };
const says = (text: string) => [{ text, role: 'plain' }] as const;

function step(at: number): Step {
    const number = String(at);
    const line = (index: number, text: string, more: Partial<Line> = {}): Line => ({
        number: `${number}.${index}`,
        kind: 'act',
        headings: [],
        alerts: [],
        by: 'Technician',
        only: '',
        sentence: says(text),
        blanks: [],
        passes: 0,
        clears: [],
        open: '',
        moved: '',
        blocks: [],
        keys: [],
        span,
        ...more,
    });
    const alert = (kind: 'warning' | 'caution', text: string) => ({ kind, sentence: says(text), only: '', span });
    const filling = Array.from({ length: at % 7 }, (_, index) => line(index + 2, 'Do a thing that takes one line.'));
    const count = filling.length + 2;
    const inside = line(count, `Inside${at} do it again.`, { number: `${number}.${count}a` });
    const blanks = ['Name', 'Licence or stamp', `Signature${at}`, 'Date', 'Time'].map(label => ({
        label,
        limits: '',
        unit: '',
    }));
    return {
        number,
        title: `Title${at}`,
        only: '',
        takes: '',
        proves: '',
        closing: [],
        lines: [
            line(1, `First${at} is done.`, {
                alerts: [alert('warning', `Warning${at}.`), alert('caution', `Caution${at}.`)],
            }),
            ...filling,
            line(count, `Look${at} at it.`, {
                kind: 'look',
                alerts: at % 2 ? [alert('caution', `Before${at}.`)] : [],
                blocks: [{ kind: 'if-not', lines: [inside], closing: [], onward: '' }],
            }),
            line(count + 1, `Hold${at} until it is seen.`, { kind: 'hold', by: 'Inspector', blanks }),
        ],
    };
}
