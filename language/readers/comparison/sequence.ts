/**
 * The longest common run of two lists, as pairs of places in order. Exact where the lists are short or have few repeats; long lists are cut at
 * what stands once in each.
 */
export function commonRun(old: readonly number[], now: readonly number[]): [number, number][] {
    const pairs: [number, number][] = [];
    find(old, 0, old.length, now, 0, now.length, pairs);
    return pairs.sort((a, b) => a[0] - b[0]);
}

/** More cells than this are not worked out one by one. */
const mostCells = 1_000_000;

function find(
    old: readonly number[],
    fromOld: number,
    toOld: number,
    now: readonly number[],
    fromNow: number,
    toNow: number,
    pairs: [number, number][],
): void {
    let [a, b, c, d] = [fromOld, toOld, fromNow, toNow];
    while (a < b && c < d && old[a] === now[c]) pairs.push([a++, c++]);
    while (a < b && c < d && old[b - 1] === now[d - 1]) pairs.push([--b, --d]);
    if (a === b || c === d) return;
    if ((b - a) * (d - c) <= mostCells) {
        table(old, a, b, now, c, d, pairs);
        return;
    }
    const anchors = anchorsIn(old, a, b, now, c, d);
    // Nothing stands once in each: what is alike is found among what has moved.
    if (anchors.length === 0) return;
    for (const [x, y] of anchors) {
        find(old, a, x, now, c, y, pairs);
        pairs.push([x, y]);
        [a, c] = [x + 1, y + 1];
    }
    find(old, a, b, now, c, d, pairs);
}

function table(
    old: readonly number[],
    a: number,
    b: number,
    now: readonly number[],
    c: number,
    d: number,
    pairs: [number, number][],
): void {
    const width = d - c + 1;
    const best = new Uint32Array((b - a + 1) * width);
    for (let x = b - a - 1; x >= 0; x--) {
        for (let y = d - c - 1; y >= 0; y--) {
            best[x * width + y] =
                old[a + x] === now[c + y]
                    ? (best[(x + 1) * width + y + 1] as number) + 1
                    : Math.max(best[(x + 1) * width + y] as number, best[x * width + y + 1] as number);
        }
    }
    for (let x = 0, y = 0; x < b - a && y < d - c; ) {
        if (old[a + x] === now[c + y]) pairs.push([a + x++, c + y++]);
        else if ((best[(x + 1) * width + y] as number) >= (best[x * width + y + 1] as number)) x++;
        else y++;
    }
}

/** What stands once in each, as far as it stands in the same order: the longest rising run of places. */
function anchorsIn(
    old: readonly number[],
    a: number,
    b: number,
    now: readonly number[],
    c: number,
    d: number,
): [number, number][] {
    const once = (list: readonly number[], from: number, to: number): Map<number, number> => {
        const at = new Map<number, number>();
        for (let n = from; n < to; n++) at.set(list[n] as number, at.has(list[n] as number) ? -1 : n);
        return at;
    };
    const there = once(now, c, d);
    const candidates = [...once(old, a, b)].flatMap(([word, x]): [number, number][] => {
        const y = there.get(word) ?? -1;
        return x >= 0 && y >= 0 ? [[x, y]] : [];
    });
    const tails: number[] = [];
    const before: number[] = [];
    for (const [n, [, y]] of candidates.entries()) {
        let [low, high] = [0, tails.length];
        while (low < high) {
            const middle = (low + high) >> 1;
            if ((candidates[tails[middle] as number] as [number, number])[1] < y) low = middle + 1;
            else high = middle;
        }
        before[n] = low > 0 ? (tails[low - 1] as number) : -1;
        tails[low] = n;
    }
    const run: [number, number][] = [];
    for (let n = tails.at(-1) ?? -1; n >= 0; n = before[n] as number) run.push(candidates[n] as [number, number]);
    return run.reverse();
}
