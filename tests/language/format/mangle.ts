/** Texts as nobody would write them: other blanks, other lines, comments in odd places. Words stay as they are. */

/** Comments, texts in quotes, words, signs. */
const piece = /\/\/[^\n\r]*|\/\*[\s\S]*?\*\/|"(?:\\.|[^"\\\r\n])*"|[^\s,:(){}"]+|\S/g;

export interface Piece {
    readonly text: string;
    /** Blanks and line breaks before it. */
    readonly gap: string;
}

export function piecesOf(text: string): Piece[] {
    let from = 0;
    return [...text.matchAll(piece)].map(({ 0: word, index }) => {
        const gap = text.slice(from, index);
        from = index + word.length;
        return { text: word, gap };
    });
}

/** All words and comments in their order, without what stands between them. */
export const wordsOf = (text: string): string[] => piecesOf(text).map(each => each.text);
export const commentsOf = (text: string): string[] => wordsOf(text).filter(word => /^\/[/*]/.test(word));

export type Random = () => number;

/** Numbers from 0 to 1, the same for the same seed. */
export function randomFrom(seed: number): Random {
    let state = seed >>> 0;
    return () => {
        state = (state + 0x6d2b79f5) >>> 0;
        let mixed = Math.imul(state ^ (state >>> 15), state | 1);
        mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
        return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
    };
}

/** Other blanks and line breaks where the house style does not ask the writer: all of it can be made good again. */
export function mangle(text: string, random: Random): string {
    const pieces = piecesOf(text);
    const onOneLine = insideOneLine(pieces);
    const some = (most: number) => ' '.repeat(Math.floor(random() * most));
    return `${pieces
        .map(({ text: word, gap }, index) => {
            const before = pieces[index - 1]?.text ?? '';
            if (index === 0 || gap === '') return gap + word;
            const breaks = gap.split('\n').length - 1;
            // A blank line is the writer's own; there may be more of them.
            if (breaks > 1) return `${'\n'.repeat(2 + Math.floor(random() * 3))}${some(9)}${word}`;
            const isComment = /^\/[/*]/.test(before) || /^\/[/*]/.test(word);
            if (isComment) return `${breaks ? `\n${some(9)}` : gap}${word}`;
            // Whether a block stands on one line is the writer's own too.
            const wide = ' '.repeat(random() < 0.5 ? 1 : 9 + Math.floor(random() * 9));
            if (onOneLine[index]) return wide + word;
            if (breaks && before === '{') return `${'\n'.repeat(1 + Math.floor(random() * 3))}${some(9)}${word}`;
            return random() < 0.3 ? `\n${some(9)}${word}` : wide + word;
        })
        .join('')}${'\n'.repeat(Math.floor(random() * 3))}`;
}

/** Which words stand in a pair of braces that is on one line. */
function insideOneLine(pieces: readonly Piece[]): boolean[] {
    const inside: boolean[] = pieces.map(() => false);
    const open: number[] = [];
    pieces.forEach(({ text }, index) => {
        if (text === '{') open.push(index);
        if (text !== '}') return;
        const from = open.pop() ?? 0;
        const within = pieces.slice(from + 1, index + 1);
        if (within.every(({ gap }) => !gap.includes('\n'))) inside.fill(true, from + 1, index + 1);
    });
    return inside;
}

/** Comments of all kinds, blanks and line breaks anywhere between words. */
export function strew(text: string, random: Random): string {
    let count = 0;
    return piecesOf(text)
        .map(({ text: word, gap }, index, all) => {
            // Within a word such as `tech:` nothing may stand, and a comment ends with its line.
            if (gap === '' || all[index - 1]?.text.startsWith('//')) return gap + word;
            const at = random();
            count++;
            if (at < 0.03) return ` // c${count}\n${word}`;
            if (at < 0.06) return `${gap}// c${count}\n  ${word}`;
            if (at < 0.09) return ` /* c${count} */ ${word}`;
            if (at < 0.12) return `\n/* c${count}\n     of two lines */\n${word}`;
            if (at < 0.14) return `\n\n/* c${count} */ ${word}`;
            if (at < 0.16) return ` /* c${count} */\n${word}`;
            if (at < 0.2) return `\n\n\n${word}`;
            if (at < 0.3) return ` ${word}`;
            return gap + word;
        })
        .join('');
}
