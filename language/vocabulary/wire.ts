/**
 * Copper wire and the breaker that protects it: FAA AC 43.13-1B, chapter 11, table 11-3, "DC wire and circuit protector chart". By AWG
 * gauge, the rating in amperes of the breaker. The table says nothing of other gauges; "0" has a fuse alone.
 */
const table: ReadonlyMap<number, number> = new Map([
    [22, 5],
    [20, 7.5],
    [18, 10],
    [16, 15],
    [14, 20],
    [12, 30],
    [10, 40],
    [8, 50],
    [6, 80],
    [4, 100],
    [2, 125],
]);

/** The largest breaker that protects a copper wire of this gauge; undefined where the table does not say. */
export const largestBreaker = (gauge: number): number | undefined => table.get(gauge);

/** The thinnest wire of the table that a breaker of this rating protects; undefined where none does. */
export function thinnestWire(amperes: number): number | undefined {
    for (const [gauge, most] of table) if (amperes <= most) return gauge;
    return undefined;
}
