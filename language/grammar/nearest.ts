/** "Did you mean ...?" */

/** The candidate that a slip of the hand explains, or nothing. Short words allow one slip, longer ones two, long ones three. */
export function nearest(word: string, candidates: Iterable<string>): string | undefined {
    const allowed = word.length < 4 ? 1 : word.length < 8 ? 2 : 3;
    let best: string | undefined;
    let least = allowed + 1;
    for (const candidate of candidates) {
        if (Math.abs(candidate.length - word.length) >= least) continue;
        const slips = distance(word, candidate, least);
        // A word that shares nothing is no slip: "at" is not "in".
        if (slips < least && slips < Math.max(word.length, candidate.length) - 1) {
            least = slips;
            best = candidate;
        }
    }
    return best;
}

/** Letters put in, left out, changed or swapped with their neighbour. `limit` is returned for anything as far or farther. */
function distance(left: string, right: string, limit: number): number {
    let before: number[] = [];
    let last = Array.from({ length: right.length + 1 }, (_, index) => index);
    for (let i = 1; i <= left.length; i++) {
        const row = [i];
        let least = i;
        for (let j = 1; j <= right.length; j++) {
            const same = left.charAt(i - 1) === right.charAt(j - 1);
            let cost = Math.min((last[j] ?? 0) + 1, (row[j - 1] ?? 0) + 1, (last[j - 1] ?? 0) + (same ? 0 : 1));
            const swapped =
                i > 1 &&
                j > 1 &&
                left.charAt(i - 1) === right.charAt(j - 2) &&
                left.charAt(i - 2) === right.charAt(j - 1);
            if (swapped) cost = Math.min(cost, (before[j - 2] ?? 0) + 1);
            row.push(cost);
            least = Math.min(least, cost);
        }
        if (least >= limit) return limit;
        before = last;
        last = row;
    }
    return last[right.length] ?? limit;
}
