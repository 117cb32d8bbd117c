/**
 * Declarations that stand together stand in columns: kind, name, first clause; the `because` of rules. What is much
 * shorter or longer than most stands by itself, so that one long name does not push everything else away.
 */
import type { AstNode } from 'langium';
import { flatLength, isAfterBlank, type Layout, laidLength, lastThatCounts, step } from './gaps.js';
import { is, type Token } from './tokens.js';
import type { Block, Entry } from './tree.js';

/** How much longer than the shortest in a column the longest may be. */
const spread = { kind: 6, name: 5, clause: 14, because: 40 } as const;
/** A column that its writer has set straight stays, even when it stands so many blanks further right than it must. */
const slack = 2;

type Column = keyof typeof spread;

interface Row {
    readonly entry: Entry;
    readonly group: string;
    readonly depth: number;
}

/** Something that ends where a column may begin. */
interface Cell {
    readonly row: Row;
    readonly length: number;
    /** Its length and all blanks but one up to the next word, as written; nothing where they do not stand on one line. */
    readonly written: number | undefined;
    /** Index of the word that begins in the column. */
    readonly next: number;
}

export function alignColumns(layout: Layout): void {
    const visit = (block: Block, depth: number): void => {
        if (block.stays) return;
        for (const rows of runsOf(layout, block, depth)) alignRun(layout, rows);
        for (const entry of block.entries) for (const each of entry.blocks) visit(each, depth + 1);
    };
    visit(layout.root, 0);
}

/** Neighbours of one kind without a blank line, or a block of several lines, between them. */
function runsOf({ tokens, gaps }: Layout, { entries }: Block, depth: number): Row[][] {
    const runs: Row[][] = [];
    let run: Row[] = [];
    let ended = true;
    entries.forEach((entry, at) => {
        const group = groupOf(tokens[entry.first]?.begins);
        for (let index = (entries[at - 1]?.last ?? entry.first - 1) + 1; index <= entry.first; index++)
            ended ||= isAfterBlank(gaps[index]);
        if (ended || group !== run[0]?.group) {
            run = [];
            if (group) runs.push(run);
        }
        if (group) run.push({ entry, group, depth });
        ended = !group || opensBlock(entry);
    });
    return runs;
}

function opensBlock({ blocks }: Entry): boolean {
    return blocks.some(block => !block.stays);
}

function groupOf(node: AstNode | undefined): string | undefined {
    switch (node?.$type) {
        case 'Place':
        case 'Item':
            return 'things';
        case 'Tool':
        case 'Spare':
        case 'Material':
            return 'means';
        case 'Role':
        case 'Rule':
        case 'Modification':
            return node.$type;
        default:
            return undefined;
    }
}

function alignRun(layout: Layout, rows: readonly Row[]): void {
    if (rows.length < 2) return;
    const { tokens } = layout;
    if (rows[0]?.group === 'Rule') {
        // `rule`, the name, a colon: the column begins after the colon.
        align(
            layout,
            'name',
            cells(layout, rows, entry => [entry.first + 1, entry.first + 2]),
        );
        align(
            layout,
            'because',
            cells(layout, rows, entry => bodyOf(tokens, entry)),
        );
        return;
    }
    align(
        layout,
        'kind',
        cells(layout, rows, entry => [entry.first, entry.first]),
    );
    align(
        layout,
        'name',
        cells(layout, rows, entry => [entry.first + 1, entry.first + 1]),
    );
    if (rows[0]?.group === 'things')
        align(
            layout,
            'clause',
            cells(layout, rows, entry => labelOf(tokens, entry)),
        );
}

/** What a rule says up to its `because`. */
function bodyOf(tokens: readonly Token[], { first, last }: Entry): [number, number] | undefined {
    for (let index = last; index > first + 3; index--) {
        const token = tokens[index];
        if (is(token, 'because') && token?.owner?.$type === 'Rule') return [first + 3, index - 1];
    }
    return undefined;
}

/** The label, where a clause follows it. What a thing is `in` stands right beside it and not in the column. */
function labelOf(tokens: readonly Token[], entry: Entry): [number, number] | undefined {
    const label = entry.first + 2;
    const next = tokens[label + 1];
    const isAlone = label >= entry.last || next?.comment || is(next, '{') || is(next, 'in') || opensBlock(entry);
    return isAlone ? undefined : [label, label];
}

/** A cell for each row that has one: from its first word to its last, where no comment stands among them. */
function cells(layout: Layout, rows: readonly Row[], of: (entry: Entry) => [number, number] | undefined): Cell[] {
    const { text, tokens, gaps } = layout;
    return rows.flatMap((row): Cell[] => {
        const [first, last] = of(row.entry) ?? [0, -1];
        const next = last + 1;
        const [from, to, after] = [tokens[first], tokens[last], tokens[next]];
        if (!from || !to || !after || last >= row.entry.last) return [];
        for (let index = first; index <= next; index++)
            if (tokens[index]?.comment || (index > first && gaps[index]?.kind === 'line')) return [];
        const isStraight =
            /^ +$/.test(text.slice(to.end, after.start)) && !/[\r\n]/.test(text.slice(from.start, to.end));
        const written = isStraight ? after.start - from.start - 1 : undefined;
        return [{ row, length: flatLength(layout, first, last), written, next }];
    });
}

function align(layout: Layout, column: Column, all: readonly Cell[]): void {
    const longest = longestOfMost(all, spread[column]);
    const members = all.filter(({ length }) => length <= longest && length >= longest - spread[column]);
    if (members.length < 2) return;
    const mayRunOver = column === 'kind' || column === 'name';
    const fits = (cell: Cell, width: number) => mayRunOver || fitsAt(layout, cell, width);
    const straight = straightAt(members, longest);
    const isKept = straight !== undefined && members.every(cell => fits(cell, straight));
    const width = isKept ? straight : longest;
    for (const cell of members) {
        if (isKept && standsBefore(cell, longest)) continue;
        if (fits(cell, width)) layout.gaps[cell.next] = { kind: 'blanks', count: width - cell.length + 1 };
    }
}

/** The length up to which, within the spread, the most cells come; of several the least. */
function longestOfMost(all: readonly Cell[], within: number): number {
    const lengths = all.map(each => each.length).sort((a, b) => a - b);
    let [longest, most, low] = [0, 0, 0];
    lengths.forEach((length, high) => {
        while ((lengths[low] ?? 0) < length - within) low++;
        // Of equal lengths the last one counts them all.
        if (high - low + 1 > most) [longest, most] = [length, high - low + 1];
    });
    return longest;
}

/** The length at which all are set as written, if they are and it is not far from the longest. */
function straightAt(members: readonly Cell[], longest: number): number | undefined {
    const others = members.filter(cell => !standsBefore(cell, longest));
    const straight = others[0]?.written ?? 0;
    if (others.length < 2 || straight < longest || straight > longest + slack) return undefined;
    return others.every(each => each.written === straight) ? straight : undefined;
}

/** The longest may end right before a column that stands further right than it must. */
function standsBefore({ length, written }: Cell, longest: number): boolean {
    return length === longest && written === longest;
}

function fitsAt(layout: Layout, { row, length }: Cell, width: number): boolean {
    const { first, last } = row.entry;
    const counted = lastThatCounts(layout.tokens, first, last);
    return row.depth * step + laidLength(layout, first, counted) + width - length <= layout.width;
}
