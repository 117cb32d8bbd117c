/** Slips of the hand: every way to spoil one line of a text. */

export interface Mutation {
    readonly kind: 'delete line' | 'duplicate line' | 'swap lines' | 'truncate line' | 'delete token' | 'misspell word';
    /** Lines of the original that the slip touches, counted from 0. */
    readonly lines: readonly number[];
    readonly text: string;
}

/** Texts in quotes whole, then words, numbers and single signs. */
const token = /"(?:\\.|[^"\\])*"|[A-Za-z0-9_][\w·.,-]*(?<![,.])|\S/g;

export function mutationsOf(text: string): Mutation[] {
    const lines = text.split('\n');
    const found: Mutation[] = [];
    const withLine = (index: number, ...instead: string[]) =>
        [...lines.slice(0, index), ...instead, ...lines.slice(index + 1)].join('\n');
    for (const [index, line] of lines.entries()) {
        if (!line.trim()) continue;
        found.push({ kind: 'delete line', lines: [index], text: withLine(index) });
        found.push({ kind: 'duplicate line', lines: [index], text: withLine(index, line, line) });
        const next = lines[index + 1];
        if (next?.trim()) {
            const swapped = [...lines.slice(0, index), next, line, ...lines.slice(index + 2)].join('\n');
            found.push({ kind: 'swap lines', lines: [index, index + 1], text: swapped });
        }
        for (const [turn, match] of [...line.matchAll(token)].entries()) {
            const [word] = match;
            const before = line.slice(0, match.index);
            const after = line.slice(match.index + word.length);
            if (turn > 0)
                found.push({ kind: 'truncate line', lines: [index], text: withLine(index, before.trimEnd()) });
            found.push({ kind: 'delete token', lines: [index], text: withLine(index, before + after.trimStart()) });
            if (/^[A-Za-z]{3,}/.test(word)) {
                const misspelt = misspell(word, index + turn);
                found.push({ kind: 'misspell word', lines: [index], text: withLine(index, before + misspelt + after) });
            }
        }
    }
    return found;
}

/** Two letters swapped, one left out or one doubled, in turn. */
function misspell(word: string, turn: number): string {
    const at = 1 + (turn % (word.length - 2));
    const here = word.charAt(at);
    const next = word.charAt(at + 1);
    if (turn % 3 === 0 && here !== next) return word.slice(0, at) + next + here + word.slice(at + 2);
    if (turn % 3 === 1) return word.slice(0, at) + word.slice(at + 1);
    return word.slice(0, at) + here + word.slice(at);
}
