import type { Span } from '../../language/findings/finding.js';
import { plain } from './terminal.js';

/** As much of a long line as is shown. */
const width = 100;

/** The line that a finding is about and, under it, a mark below the stretch that is meant. */
export interface Excerpt {
    readonly line: string;
    readonly mark: string;
}

/** The lines of a text, however they end. */
export function linesOf(text: string): string[] {
    return text.split(/\r\n|\r|\n/);
}

export function excerpt(lines: readonly string[], span: Span): Excerpt | undefined {
    const whole = lines[span.line - 1];
    if (whole === undefined) return undefined;
    const from = Math.min(span.column - 1, whole.length);
    const to = span.endLine > span.line ? whole.trimEnd().length : Math.min(span.endColumn - 1, whole.length);
    const { start, end } = window(whole, from);
    const indent = whole.slice(start, end).length - whole.slice(start, end).trimStart().length;
    const left = Math.min(start + indent, from);
    const ahead = start > 0 ? '…' : '';
    const shownEnd = Math.max(from, Math.min(to, end));
    const line = ahead + plain(whole.slice(left, end)) + (end < whole.length ? '…' : '');
    const blank = ahead && ' ';
    const mark = blank + spaces(whole.slice(left, from)) + '^'.repeat(Math.max(1, cells(whole.slice(from, shownEnd))));
    return { line, mark };
}

/** The part of a line around a place. Cuts fall between characters, not inside one. */
function window(line: string, place: number): { start: number; end: number } {
    if (line.length <= width) return { start: 0, end: line.length };
    const start = place < width * 0.75 ? 0 : place - Math.floor(width / 4);
    return { start: whole(line, start), end: whole(line, Math.min(line.length, start + width)) };
}

function whole(line: string, at: number): number {
    const isLow = /^[\uDC00-\uDFFF]/.test(line.slice(at, at + 1));
    return isLow ? at - 1 : at;
}

/** As wide as the text, tabs kept, so that what follows stands under what follows. */
function spaces(text: string): string {
    return [...text].map(character => (character === '\t' ? '\t' : ' '.repeat(cells(character)))).join('');
}

/** Columns of a terminal. */
function cells(text: string): number {
    let sum = 0;
    for (const character of text) {
        if (/\p{Mn}|\p{Me}|\u200B|\u200D|\uFE0F/u.test(character)) continue;
        sum +=
            /[\u1100-\u115F\u2E80-\uA4CF\uAC00-\uD7A3\uF900-\uFAFF\uFE30-\uFE6F\uFF00-\uFF60\uFFE0-\uFFE6]|\p{Emoji_Presentation}/u.test(
                character,
            )
                ? 2
                : 1;
    }
    return sum;
}
