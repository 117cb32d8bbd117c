import { filledIn, type Situation } from './situation.js';

/** How far, from 0 to 1, a name is from what is being written: what was written last is near, and what belongs to it by its name; what the line has already is far. */
export function nearness({ line, recent, here }: Situation): (name: string) => number {
    const own = filledIn(here.expected.find(each => each.filled)?.filled, 'Item', 'name')?.word;
    const inLine = line.match(/[\w-]+/g) ?? [];
    const written = new Set(inLine);
    const last = inLine.filter(each => each !== 'and' && each !== 'or').at(-1) ?? own;
    const side = [...inLine, own ?? '']
        .map(sideOf)
        .filter(each => each !== '')
        .at(-1);
    return name => {
        const age = recent.get(name);
        const isLike = last !== undefined && last !== name && differInOne(last, name);
        const isSameSide = side !== undefined && sideOf(name) === side;
        return (
            (isLike ? 0 : isSameSide ? 0.1 : 0.3) +
            (written.has(name) || name === own ? 0.5 : 0) +
            (age === undefined ? 0.2 : (0.2 * age) / (age + 20))
        );
    };
}

/** The "L" of WHEEL-L: which of several alike. */
const sideOf = (name: string): string => /-([A-Z]|\d+)$/.exec(name)?.[1] ?? '';

/** CB-217 and CB-218, MA and MB, WHEEL-L and WHEEL-R. */
function differInOne(one: string, two: string): boolean {
    if (one.length !== two.length || one.length < 2) return false;
    let different = 0;
    for (let n = 0; n < one.length; n++) if (one[n] !== two[n]) different++;
    return different === 1;
}
