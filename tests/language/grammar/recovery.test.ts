import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { parseText } from '../../../language/grammar/parse.js';
import { lostFrom } from './inventory.js';
import { type Mutation, mutationsOf } from './mutations.js';

const text = readFileSync(new URL('../sample/valve.cotter', import.meta.url), 'utf8');

/** Every third slip, over all lines and kinds: enough to measure, in a third of the time. */
const slips = mutationsOf(text).filter((_, index) => index % 3 === 0);

interface Tally {
    all: number;
    oneError: number;
    nothingLost: number;
}

test('a slip in one line costs one error and nothing on other lines', { timeout: 600_000 }, () => {
    const before = { root: parseText(text).root, text };
    const tallies = new Map<Mutation['kind'], Tally>();
    const total: Tally = { all: 0, oneError: 0, nothingLost: 0 };
    for (const slip of slips) {
        const { root, problems } = parseText(slip.text);
        const isKept = lostFrom(before, { root, text: slip.text }, slip.lines).length === 0;
        const tally = tallies.get(slip.kind) ?? { all: 0, oneError: 0, nothingLost: 0 };
        tallies.set(slip.kind, tally);
        for (const each of [tally, total]) {
            each.all++;
            if (problems.length <= 1) each.oneError++;
            if (isKept) each.nothingLost++;
        }
    }
    const share = (part: number, all: number) => `${((100 * part) / all).toFixed(1)} %`;
    const rows = [...tallies, ['all', total] as const].map(
        ([kind, each]) =>
            `${kind.padEnd(16)}${String(each.all).padStart(5)}${share(each.oneError, each.all).padStart(20)}${share(each.nothingLost, each.all).padStart(16)}`,
    );
    console.log(['slip             count  at most one error  nothing lost', ...rows].join('\n'));
    expect(total.all).toBeGreaterThanOrEqual(700);
    expect(total.oneError / total.all).toBeGreaterThanOrEqual(0.95);
    expect(total.nothingLost / total.all).toBeGreaterThanOrEqual(0.95);
});
