/** The formatter: one text alone, as written in the house style. */
import { longest } from '../grammar/guards.js';
import { parseText } from '../grammar/parse.js';
import { declarationsIn } from './declarations.js';
import { editsFor, lineEndingOf, type TextEdit } from './edits.js';
import { layOut } from './layout.js';
import { tokensOf } from './tokens.js';

export type { TextEdit } from './edits.js';

export interface FormatOptions {
    /** Columns of a line; a text at the end of a line, and a comment there, may run over. */
    readonly lineWidth?: number;
}

/** Offsets in UTF-16 units, the end exclusive. */
export interface FormatRange {
    readonly offset: number;
    readonly end: number;
}

export const defaultLineWidth = 120;

/**
 * The changes that bring a text into the house style: smallest first to last, of blanks and line breaks alone, so that no
 * word and no comment is ever lost. They keep the byte order mark and the line ending that the text uses most. With a
 * range, only those that touch it. In a text with syntax errors every declaration that can be read by itself is
 * formatted, and the others stay exactly as they are.
 */
export function format(text: string, { lineWidth }: FormatOptions = {}, range?: FormatRange): readonly TextEdit[] {
    if (text.length > longest) return [];
    const width = lineWidth ?? defaultLineWidth;
    const ending = lineEndingOf(text);
    const edits = whole(text, width, ending) ?? declarationsIn(text).flatMap(part => alone(text, part, width, ending));
    return range ? edits.filter(({ offset, end }) => end >= range.offset && offset <= range.end) : edits;
}

/** The text with the changes made. */
export function applyTextEdits(text: string, edits: readonly TextEdit[]): string {
    let done = '';
    let from = 0;
    for (const { offset, end, newText } of edits) {
        done += text.slice(from, offset) + newText;
        from = end;
    }
    return done + text.slice(from);
}

function whole(text: string, width: number, ending: string): TextEdit[] | undefined {
    const { root, problems } = parseText(text);
    const tokens = problems.length === 0 ? tokensOf(text, root) : undefined;
    return tokens && editsFor(text, tokens, layOut(text, tokens, width), ending);
}

/** A declaration of a text that is broken elsewhere; what stands before and after it is left alone. */
function alone(text: string, { offset, end }: FormatRange, width: number, ending: string): TextEdit[] {
    const part = text.slice(offset, end);
    const edits = whole(part, width, ending) ?? [];
    return edits
        .filter(edit => edit.offset > 0 && edit.end < part.length)
        .map(edit => ({ ...edit, offset: edit.offset + offset, end: edit.end + offset }));
}
