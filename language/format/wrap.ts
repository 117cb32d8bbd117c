/** Lines that are too long are broken where they read best: before a clause, after a comma, before `and`. */
import { further, type Gap, isInText, type Layout, lastThatCounts } from './gaps.js';
import { is, type Token } from './tokens.js';

/** Words before which a line may be broken, besides the clauses of an item. */
const openers = new Set(
    'because require when else uses takes with within after dated independent part quantity record then'.split(' '),
);
/** A line is not broken for the sake of a better place before this part of it is full. */
const leastFilled = 0.4;

export function wrapLines(layout: Layout): void {
    const { tokens, gaps } = layout;
    const places = placesToBreak(tokens);
    let first = 0;
    for (let index = 1; index <= tokens.length; index++) {
        if (index < tokens.length && gaps[index]?.kind !== 'line') continue;
        wrap(layout, places, first, index - 1);
        first = index;
    }
}

/** How badly a line breaks before each word; nothing where it may not. */
function placesToBreak(tokens: readonly Token[]): (number | undefined)[] {
    let parentheses = 0;
    return tokens.map((token, index) => {
        const before = tokens[index - 1];
        if (is(token, '(')) parentheses++;
        else if (is(token, ')')) parentheses--;
        if (token.comment || before?.comment || isInText(before, token)) return undefined;
        if (is(before, ',')) return 2 + parentheses;
        if (!token.isKeyword) return undefined;
        if (token.text === 'and' || token.text === 'or') return 3 + parentheses;
        if (token.isClause) return 1;
        const ofRole = token.text === 'at' && token.owner?.$type === 'Role';
        const ofSpare = token.text === 'for' && token.owner?.$type === 'Spare';
        return openers.has(token.text) || ofRole || ofSpare ? 1 + 2 * parentheses : undefined;
    });
}

function wrap(layout: Layout, places: readonly (number | undefined)[], first: number, last: number): void {
    const { tokens, gaps, width } = layout;
    const counted = lastThatCounts(tokens, first, last);
    let start = gaps[first];
    // The rest of a line that a comment has broken stands no further in than it does already.
    const indent = start?.kind === 'line' ? start.indent : 0;
    const rest = indent + (isBegun(tokens, first) ? further : 0);
    let from = first;
    while (from <= counted) {
        const best = bestPlace(layout, places, from, counted, start?.kind === 'line' ? start.indent : rest, width);
        if (best === undefined) break;
        start = gaps[best] = { kind: 'line', isAfterBlank: false, indent: rest };
        from = best;
    }
    if (from > first) breakBeforeReason(layout, from + 1, last, rest);
}

/** The reason of what takes several lines begins a line of its own. */
function breakBeforeReason({ tokens, gaps }: Layout, from: number, last: number, indent: number): void {
    for (let index = last; index >= from; index--)
        if (is(tokens[index], 'because') && !tokens[index - 1]?.comment)
            gaps[index] = { kind: 'line', isAfterBlank: false, indent };
}

function isBegun(tokens: readonly Token[], first: number): boolean {
    return tokens[first]?.begins !== undefined || tokens[first]?.comment !== undefined || is(tokens[first], '}');
}

/** The word before which to break the line that begins at `from`; nothing where it fits or cannot be broken. */
function bestPlace(
    { tokens, gaps }: Layout,
    places: readonly (number | undefined)[],
    from: number,
    counted: number,
    indent: number,
    width: number,
): number | undefined {
    let column = indent + (tokens[from]?.text.length ?? 0);
    let best: number | undefined;
    let badness = Number.POSITIVE_INFINITY;
    for (let index = from + 1; index <= counted; index++) {
        const place = places[index];
        if (place !== undefined) {
            const isFull = column >= indent + (width - indent) * leastFilled;
            // The first place past the width is better than none.
            if (column > width && best !== undefined) return best;
            const score = place + (isFull ? 0 : 10);
            if (score <= badness) [best, badness] = [index, score];
        }
        column += blanks(gaps[index]) + (tokens[index]?.text.length ?? 0);
        if (column > width && best !== undefined) return best;
    }
    return undefined;
}

function blanks(gap: Gap | undefined): number {
    return gap?.kind === 'blanks' ? gap.count : 0;
}
