/** What keeps any text, however odd, from overflowing the parser or from costing seconds. */
import type { IToken } from 'chevrotain';
import type { Problem } from './problem.js';

/** Braces and parentheses inside one another. A card needs four or five. */
export const deepest = 64;
/** Syntax errors of one file, after which it is not read further. */
export const mostErrors = 200;
/** Characters of one file. The longest card that is still a card has some ten thousand lines. */
export const longest = 8_000_000;

/**
 * Drops what lies deeper than `deepest`: a parser by recursive descent would overflow the stack on it and be of no use
 * afterwards. A run of `not` counts as depth too.
 */
export function limitNesting(tokens: readonly IToken[]): { tokens: IToken[]; problem?: Problem } {
    const kept: IToken[] = [];
    const open: string[] = [];
    let nots = 0;
    let first: IToken | undefined;
    for (const token of tokens) {
        const word = token.tokenType.name;
        nots = word === 'not' ? nots + 1 : 0;
        const opens = word === '{' || word === '(';
        if (opens) open.push(word);
        const tooDeep = open.length > deepest || nots > deepest;
        if (!opens && open.length && word === (open.at(-1) === '{' ? '}' : ')')) open.pop();
        // A brace outranks a parenthesis that was never closed.
        else if (word === '}' && open.includes('{')) open.length = open.lastIndexOf('{');
        if (tooDeep) first ??= token;
        else kept.push(token);
    }
    if (!first) return { tokens: kept };
    const offset = first.startOffset;
    const message = `This is nested more than ${deepest} deep and is not read.`;
    return { tokens: kept, problem: { message, offset, end: offset + first.image.length } };
}
