import type { PageLine, PageStep } from '../../plan/plan.js';

export type AlertLine = Extract<PageLine, { kind: 'alert' }>;
type CardLine = Extract<PageLine, { kind: 'card' }>;
type StepLine = Extract<PageLine, { kind: 'step' }>;
/** What is done, and so has a number of its own. */
export type NumberedPageLine = Exclude<PageLine, { kind: 'alert' | 'group' | 'card' | 'step' }>;

export interface NumberedLine {
    readonly number: string;
    readonly line: NumberedPageLine;
    /** Of the line, or of the subtask that it was written in. */
    readonly only: string;
    readonly headings: readonly NumberedHeading[];
    readonly alerts: readonly AlertLine[];
    readonly blocks: readonly NumberedBlock[];
}
/** A step of a card done inside the step, at its first line; without one, the end of such a card, at the first line after it. */
export interface NumberedHeading {
    readonly card: CardLine;
    readonly step: StepLine | undefined;
    readonly only: string;
    /** Alerts with no line after them but those below the heading. */
    readonly closing: readonly AlertLine[];
}
export interface NumberedBlock extends NumberedLines {
    readonly kind: 'if-not' | 'then' | 'otherwise' | 'while';
}
export interface NumberedLines {
    readonly lines: readonly NumberedLine[];
    /** Alerts with no line after them. */
    readonly closing: readonly AlertLine[];
}

/**
 * The one place where a line gets its number. Lines of a step count on through subtasks and cards done inside: 3.1, 3.2. Lines in a block under
 * 3.4 are 3.4a, 3.4b, counted on through all its blocks; those under 3.4a are 3.4a1, 3.4a2, and so by turns, so that every
 * line that somebody does has a number, and no two lines have the same.
 */
export function numbered(step: PageStep, release: Release): NumberedLines {
    return numberedLines(step.lines, new Counter(`${step.number}.`, 0), release);
}

/** The line by which a thing held by hand is let go; it has a number like any other. */
export type Release = (keep: KeepLine) => PageLine | undefined;
export type KeepLine = Extract<PageLine, { kind: 'keep' }>;

class Counter {
    readonly #prefix: string;
    readonly #depth: number;
    #count = 0;

    constructor(prefix: string, depth: number) {
        this.#prefix = prefix;
        this.#depth = depth;
    }

    next(): string {
        this.#count++;
        return this.#prefix + (this.#depth % 2 === 0 ? String(this.#count) : letters(this.#count));
    }

    under(number: string): Counter {
        return new Counter(number, this.#depth + 1);
    }
}

/** a to z, then aa, ab. */
function letters(count: number): string {
    const rest = Math.floor((count - 1) / 26);
    return (rest > 0 ? letters(rest) : '') + String.fromCharCode(97 + ((count - 1) % 26));
}

function numberedLines(lines: readonly PageLine[], counter: Counter, release: Release): NumberedLines {
    const result: NumberedLine[] = [];
    let headings: NumberedHeading[] = [];
    let alerts: AlertLine[] = [];
    /** Alerts left over where a step or a card ended. */
    let left: AlertLine[] = [];
    const head = (card: CardLine, step: StepLine | undefined, only: string) => {
        // The end of one card is not told where a step of another begins at once.
        const last = headings.at(-1);
        const ended = last && !last.step ? headings.pop() : undefined;
        headings.push({ card, step, only, closing: [...(ended?.closing ?? []), ...left] });
        left = [];
    };
    const leave = () => {
        left.push(...alerts);
        alerts = [];
    };
    const walk = (each: readonly PageLine[], only: string, card?: CardLine) => {
        for (const line of each) {
            if (line.kind === 'alert') {
                alerts.push(line);
            } else if (line.kind === 'group') {
                walk(line.lines, line.only || only, card);
            } else if (line.kind === 'step') {
                if (card) head(card, line, line.only || only);
                walk(line.lines, line.only || only, card);
                leave();
            } else if (line.kind === 'card') {
                walk(line.lines, line.only || only, line);
                leave();
                head(line, undefined, '');
            } else {
                const number = counter.next();
                const own = counter.under(number);
                result.push({
                    number,
                    line,
                    only: line.only || only,
                    headings,
                    alerts: alerts.sort((a, b) => rank(a) - rank(b)),
                    blocks: blocksOf(line, release).map(block => ({
                        kind: block.kind,
                        ...numberedLines(block.lines, own, release),
                    })),
                });
                headings = [];
                alerts = [];
            }
        }
    };
    walk(lines, '');
    return { lines: result, closing: [...headings.flatMap(each => each.closing), ...left, ...alerts] };
}

const rank = (alert: AlertLine): number => ['warning', 'caution', 'note'].indexOf(alert.alert);

function blocksOf(
    line: NumberedPageLine,
    release: Release,
): { kind: NumberedBlock['kind']; lines: readonly PageLine[] }[] {
    switch (line.kind) {
        case 'look':
            return line.ifNot ? [{ kind: 'if-not', lines: line.ifNot }] : [];
        case 'branch': {
            const otherwise = { kind: 'otherwise' as const, lines: line.otherwise };
            return [{ kind: 'then', lines: line.then }, ...(line.otherwise.length > 0 ? [otherwise] : [])];
        }
        case 'keep':
            return [{ kind: 'while', lines: [...line.lines, release(line) ?? []].flat() }];
        default:
            return [];
    }
}
