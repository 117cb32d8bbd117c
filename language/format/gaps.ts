/** What stands between words, and what the parts of the formatter share to work it out. */
import { is, type Token } from './tokens.js';
import type { Block } from './tree.js';

/** How far a block stands in. */
export const step = 2;
/** How far the rest of a broken line stands in: further than the block that may follow it. */
export const further = 4;

/** What stands before a word or comment. */
export type Gap =
    | { readonly kind: 'blanks'; readonly count: number }
    | { readonly kind: 'line'; readonly isAfterBlank: boolean; readonly indent: number }
    /** Inside a text, where nothing is touched. */
    | { readonly kind: 'as-written' };

export interface Layout {
    readonly text: string;
    readonly tokens: readonly Token[];
    readonly width: number;
    readonly root: Block;
    /** By index of the word that follows. */
    readonly gaps: Gap[];
    /** Length of everything before a word if all stood on one line. */
    readonly flat: readonly number[];
}

/** Blanks before a word that stands on one line with the word before it. */
export function blanksBefore(tokens: readonly Token[], index: number): number {
    const [before, token] = [tokens[index - 1], tokens[index]];
    if (isInText(before, token)) return (token?.start ?? 0) - (before?.end ?? 0);
    if (is(token, ',') || is(token, ':') || is(token, ')') || is(before, '(')) return 0;
    return is(token, '(') && token?.owner?.$type === 'Do' ? 0 : 1;
}

export function isInText(before: Token | undefined, token: Token | undefined): boolean {
    return before?.type === 'TEXT_START' || before?.type === 'TEXT_MID' || isRest(token?.type);
}

function isRest(type: string | undefined): boolean {
    return type === 'TEXT_MID' || type === 'TEXT_END';
}

/** Between the members of a block on one line. */
export const betweenMembers = 2;

export function flatLengths(tokens: readonly Token[], root: Block): number[] {
    const second = new Set<number>();
    const visit = (block: Block): void => {
        block.entries.forEach((entry, at) => {
            if (at > 0) second.add(entry.first);
            entry.blocks.forEach(visit);
        });
    };
    visit(root);
    const flat = [0];
    let length = 0;
    tokens.forEach((token, index) => {
        if (index > 0) length += second.has(index) ? betweenMembers : blanksBefore(tokens, index);
        length += token.text.length;
        flat.push(length);
    });
    return flat;
}

/** Length of the words from one index to another, both included, if all stood on one line. */
export function flatLength({ flat, tokens }: Layout, first: number, last: number): number {
    return (flat[last + 1] ?? 0) - (flat[first + 1] ?? 0) + (tokens[first]?.text.length ?? 0);
}

/** Length of the words from one index to another as they are laid out, all on one line. */
export function laidLength({ tokens, gaps }: Layout, first: number, last: number): number {
    let length = tokens[first]?.text.length ?? 0;
    for (let index = first + 1; index <= last; index++) {
        const gap = gaps[index];
        const count = gap?.kind === 'blanks' ? gap.count : blanksBefore(tokens, index);
        length += count + (tokens[index]?.text.length ?? 0);
    }
    return length;
}

/** The last word of a line that counts towards its length: comments and a text at its end may run over. */
export function lastThatCounts(tokens: readonly Token[], first: number, last: number): number {
    let at = last;
    while (at > first && tokens[at]?.comment) at--;
    if (tokens[at]?.type === 'STRING') return Math.max(first, at - 1);
    if (tokens[at]?.type !== 'TEXT_END') return at;
    while (at > first && tokens[at]?.type !== 'TEXT_START') at--;
    return Math.max(first, at - 1);
}

export function isAfterBlank(gap: Gap | undefined): boolean {
    return gap?.kind === 'line' && gap.isAfterBlank;
}
