import { createHash } from 'node:crypto';
import type { Finding } from '../../language/findings/finding.js';

/**
 * A mark for each finding by which another program knows it again after other lines have changed: from its code, file, card, the names it is about and the
 * words it stands at, with no line number and no wording of ours in it. Findings alike in all of these are counted in the order of the text.
 * @param textOf the text of a file
 */
export function fingerprints(
    findings: readonly Finding[],
    textOf: (file: string) => string | undefined,
): ReadonlyMap<Finding, string> {
    const seen = new Map<string, number>();
    const inOrder = [...findings].sort(
        (a, b) => a.span.offset - b.span.offset || a.span.end - b.span.end || (a.message < b.message ? -1 : 1),
    );
    return new Map(
        inOrder.map(finding => {
            const { code, card = '', about, span } = finding;
            const words = wordsAt(textOf(span.file) ?? '', span.offset, span.end);
            const same = JSON.stringify([code, span.file, card, [...about].sort(), words]);
            const count = (seen.get(same) ?? 0) + 1;
            seen.set(same, count);
            const hash = createHash('sha256').update(`${same} ${count}`).digest('hex');
            return [finding, hash.slice(0, 32)];
        }),
    );
}

/** The first line of what is meant, or of what follows where it is a place between two characters; however far it is indented. */
function wordsAt(text: string, offset: number, end: number): string {
    const stretch = end > offset ? text.slice(offset, end) : text.slice(offset);
    const [first = ''] = stretch.trimStart().split(/[\r\n]/);
    return first.trim().replace(/\s+/g, ' ');
}
