import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { convert } from '../../../language/vocabulary/units.js';

/** How the table writes what the language writes otherwise. */
const spelled: Readonly<Record<string, string>> = {
    'lbf.in': 'lbf·in',
    'lbf.ft': 'lbf·ft',
    'N.m': 'N·m',
    'inHg conventional': 'inHg',
    degF: '°F',
    degC: '°C',
};
const rows = readFileSync(new URL('units.csv', import.meta.url), 'utf8')
    .trim()
    .split('\n')
    .slice(1)
    .map(line => line.split(',').map(cell => cell.trim()));

test.each(rows)('%s to %s', (from = '', to = '', factor = '') => {
    const source = spelled[from] ?? from;
    const target = spelled[to] ?? to;
    if (factor) {
        expect(Math.abs(convert(1, source, target) / Number(factor) - 1)).toBeLessThan(1e-6);
        expect(Math.abs((convert(1, target, source) * Number(factor)) - 1)).toBeLessThan(1e-6);
    } else {
        // The table gives the rule: (F - 32) / 1.8.
        for (const value of [-40, 0, 32, 98.6, 212]) {
            expect(convert(value, source, target)).toBeCloseTo((value - 32) / 1.8, 9);
            expect(convert((value - 32) / 1.8, target, source)).toBeCloseTo(value, 9);
        }
    }
});

test('the table has the rows that the tests count on', () => {
    expect(rows.length).toBe(6);
});
