/** From the gaps between words to the smallest changes of a text. */
import type { Gap } from './gaps.js';
import type { Token } from './tokens.js';

/** Puts `newText` in place of what stands from one offset to another; UTF-16 units, the end exclusive. */
export interface TextEdit {
    readonly offset: number;
    readonly end: number;
    readonly newText: string;
}

/** Ordered, and of blanks and line breaks alone. */
export function editsFor(text: string, tokens: readonly Token[], gaps: readonly Gap[], ending: string): TextEdit[] {
    const edits: TextEdit[] = [];
    let from = text.startsWith('\uFEFF') ? 1 : 0;
    const put = (to: number, newText: string): void => {
        const edit = smallest(text, from, to, newText);
        if (edit) edits.push(edit);
    };
    tokens.forEach((token, index) => {
        const gap = gaps[index];
        if (index === 0) put(token.start, '');
        else if (gap && gap.kind !== 'as-written') put(token.start, written(gap, ending));
        from = token.end;
    });
    if (tokens.length > 0) put(text.length, ending);
    return edits;
}

function written(gap: Exclude<Gap, { kind: 'as-written' }>, ending: string): string {
    if (gap.kind === 'blanks') return ' '.repeat(gap.count);
    return ending.repeat(gap.isAfterBlank ? 2 : 1) + ' '.repeat(gap.indent);
}

/** Leaves out what is the same at both ends. A line ending is never split. */
function smallest(text: string, from: number, to: number, newText: string): TextEdit | undefined {
    const old = text.slice(from, to);
    if (old === newText) return undefined;
    const most = Math.min(old.length, newText.length);
    let start = 0;
    while (start < most && old[start] === newText[start]) start++;
    if (old[start - 1] === '\r') start--;
    let end = 0;
    while (end < most - start && old.at(-1 - end) === newText.at(-1 - end)) end++;
    if (old.at(-end) === '\n' && end > 0) end--;
    return { offset: from + start, end: to - end, newText: newText.slice(start, newText.length - end) };
}

/** The line ending that the text uses most. */
export function lineEndingOf(text: string): string {
    const counts = new Map<string, number>([['\n', 0]]);
    for (const [ending] of text.matchAll(/\r\n|\n|\r/g)) counts.set(ending, (counts.get(ending) ?? 0) + 1);
    return [...counts].reduce((most, each) => (each[1] > most[1] ? each : most))[0];
}
