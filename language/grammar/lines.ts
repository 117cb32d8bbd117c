/** Offsets at which lines begin: after LF, CR LF or a lone CR. */
export function lineStarts(text: string): number[] {
    const starts = [0];
    for (let at = 0; at < text.length; at++) {
        const code = text.charCodeAt(at);
        if (code === 10 || (code === 13 && text.charCodeAt(at + 1) !== 10)) starts.push(at + 1);
    }
    return starts;
}

/** The line, counted from 0, in which an offset lies. */
export function lineOf(starts: readonly number[], offset: number): number {
    let low = 0;
    let high = starts.length - 1;
    while (low < high) {
        const middle = (low + high + 1) >> 1;
        if ((starts[middle] ?? 0) <= offset) low = middle;
        else high = middle - 1;
    }
    return low;
}
