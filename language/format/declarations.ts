/** Where the declarations of a broken text may begin and end. */

/** Comments and texts, so that no word in them counts, then words and signs. */
const pieces = /\/\/[^\n\r]*|\/\*[\s\S]*?(?:\*\/|$)|"(?:\\.|[^"\\\r\n])*"?|[\w-]+|\S/g;
/** These are never names. */
const opening = /^(modification|equipment|subtask|card|exercise)$/;

/** From the word that opens each declaration to the last before the next one; comments after it are left out. */
export function declarationsIn(text: string): { offset: number; end: number }[] {
    const parts: { offset: number; end: number }[] = [];
    for (const { 0: piece, index } of text.matchAll(pieces)) {
        if (/^\/[/*]/.test(piece)) continue;
        if (opening.test(piece)) parts.push({ offset: index, end: index });
        const part = parts.at(-1);
        if (part) part.end = index + piece.length;
    }
    return parts;
}
