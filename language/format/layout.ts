/** Where lines begin, how far they stand in, and which blocks stay on the line of their brace. */
import { alignColumns } from './columns.js';
import {
    betweenMembers,
    blanksBefore,
    flatLength,
    flatLengths,
    further,
    type Gap,
    isAfterBlank,
    isInText,
    type Layout,
    laidLength,
    step,
} from './gaps.js';
import { is, type Token } from './tokens.js';
import { type Block, treeOf } from './tree.js';
import { wrapLines } from './wrap.js';

/** The gap before each word and comment. */
export function layOut(text: string, tokens: readonly Token[], width: number): readonly Gap[] {
    const root = treeOf(text, tokens);
    const flat = flatLengths(tokens, root);
    for (;;) {
        const layout: Layout = { text, tokens, width, root, gaps: [], flat };
        settle(layout, root, 0);
        breakLines(layout);
        alignColumns(layout);
        // A block opened for good changes the columns around it; each round opens one at least, and two are rare.
        if (openTooLong(layout)) continue;
        wrapLines(layout);
        return layout.gaps;
    }
}

/** Says which blocks stay on their lines: all of an entry or none, and only where the whole entry fits. */
function settle(layout: Layout, block: Block, depth: number): void {
    for (const entry of block.entries) {
        const fits = depth * step + flatLength(layout, entry.first, entry.last) <= layout.width;
        if (fits && entry.blocks.every(each => each.mayStay)) entry.blocks.forEach(stay);
        else
            for (const each of entry.blocks) {
                // A pair of braces with nothing in it is never broken.
                each.stays = each.close === each.open + 1;
                settle(layout, each, depth + 1);
            }
    }
}

function stay(block: Block): void {
    block.stays = true;
    for (const entry of block.entries) entry.blocks.forEach(stay);
}

/** Opens the blocks of lines that the columns made too long; says whether there was one. */
function openTooLong(layout: Layout): boolean {
    let opened = false;
    const visit = (block: Block, depth: number): void => {
        for (const { first, last, blocks } of block.entries) {
            const filled = blocks.filter(each => each.close > each.open + 1);
            if (!filled.some(each => each.stays)) for (const each of filled) visit(each, depth + 1);
            else if (depth * step + laidLength(layout, first, last) > layout.width) {
                for (const each of filled) each.mayStay = false;
                opened = true;
            }
        }
    };
    visit(layout.root, 0);
    return opened;
}

function breakLines(layout: Layout): void {
    const { tokens, root, gaps } = layout;
    /** Braces of blocks that stand on lines of their own. */
    const broken = new Set<number>();
    /** First words of entries that stand on one line with their block's brace, and whether another stands before. */
    const inline = new Map<number, boolean>();
    const visit = (block: Block): void => {
        if (!block.stays) broken.add(block.open).add(block.close);
        block.entries.forEach((entry, at) => {
            if (block.stays) inline.set(entry.first, at > 0);
            entry.blocks.forEach(visit);
        });
    };
    visit(root);

    const nextWord = followingWords(tokens);
    let depth = 0;
    /** Nothing but comments stands on the line so far. */
    let onlyComments = false;
    let word: Token | undefined;
    tokens.forEach((token, index) => {
        const before = tokens[index - 1];
        const closes = is(token, '}') && broken.has(index);
        const begins = token.begins !== undefined && !inline.has(index);
        if (closes) depth--;
        let breaks = index === 0 || before?.comment === 'line' || closes;
        if (token.comment || onlyComments) breaks ||= token.breaks > 0;
        else breaks ||= begins;

        if (breaks) {
            const next = token.comment ? tokens[nextWord[index] ?? -1] : token;
            const isBetween = begins || (token.comment !== undefined && isBoundary(next));
            const standsOut = isBetween || closes || is(word, '}');
            const indent = depth * step + (standsOut ? 0 : further);
            const isAfterBlank = isBetween && index > 0 && token.breaks > 1 && !is(before, '{');
            gaps.push({ kind: 'line', isAfterBlank, indent });
        } else if (isInText(before, token)) gaps.push({ kind: 'as-written' });
        else gaps.push({ kind: 'blanks', count: inline.get(index) ? betweenMembers : blanksBefore(tokens, index) });

        onlyComments = token.comment !== undefined && (breaks || onlyComments);
        if (is(token, '{') && broken.has(index)) depth++;
        if (!token.comment) word = token;
    });
    separateDeclarations(layout);
}

/** A comment before it stands between two lines, and not in the midst of one. */
function isBoundary(next: Token | undefined): boolean {
    return next === undefined || next.begins !== undefined || is(next, '}');
}

/** For each index the next one, itself included, that is no comment. */
function followingWords(tokens: readonly Token[]): number[] {
    const next: number[] = Array(tokens.length).fill(-1);
    let word = -1;
    for (let index = tokens.length - 1; index >= 0; index--) {
        if (!tokens[index]?.comment) word = index;
        next[index] = word;
    }
    return next;
}

/** A declaration with a block has a blank line before and after it. */
function separateDeclarations({ root, gaps }: Layout): void {
    root.entries.forEach((entry, at) => {
        const last = root.entries[at - 1];
        if (!last || (entry.blocks.length === 0 && last.blocks.length === 0)) return;
        let first: number | undefined;
        for (let index = entry.first; index > last.last; index--) {
            if (isAfterBlank(gaps[index])) return;
            if (gaps[index]?.kind === 'line') first = index;
        }
        if (first !== undefined) gaps[first] = { kind: 'line', isAfterBlank: true, indent: 0 };
    });
}
