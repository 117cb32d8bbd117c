/**
 * FAA AC 43.13-1B, chapter 11, table 11-3, "DC wire and circuit protector chart", from a retrieved copy (ac43.13-1b-table11-3.csv). The alignment of its
 * rows is from memory: in the copy the columns had come apart.
 */
import { readFileSync } from 'node:fs';
import { describe, expect, it, test } from 'vitest';
import { check } from '../../../language/check.js';
import { largestBreaker, thinnestWire } from '../../../language/vocabulary/wire.js';

const [head, ...rows] = readFileSync(new URL('ac43.13-1b-table11-3.csv', import.meta.url), 'utf8')
    .trim()
    .split(/\r?\n/)
    .map(line => line.split(','));
const breakers = rows.flatMap(([gauge, breaker]) => (breaker ? [[Number(gauge), Number(breaker)] as const] : []));

function answers(gauge: number, amperes: number): string[] {
    const text = `equipment E "e" {
  place   FlightDeck "Flight deck"
  breaker CB-1 "ONE" at FlightDeck rated ${amperes} A wire ${gauge} AWG
  light   LT "LAMP" at FlightDeck from CB-1
}`;
    return check([{ path: 'wire.cotter', text }]).findings.map(each => each.code);
}

describe('wire and breaker', () => {
    it('are thirteen rows, eleven of them with a breaker', () => {
        expect(head).toEqual(['wire_an_gauge_copper', 'circuit_breaker_amp', 'fuse_amp']);
        expect(rows).toHaveLength(13);
        expect(breakers).toHaveLength(11);
    });
    it('get larger together', () => {
        for (const [n, [gauge, amperes]] of breakers.entries()) {
            const next = breakers[n + 1];
            if (next) expect([gauge > next[0], amperes < next[1]]).toEqual([true, true]);
        }
    });
    test.each(breakers)('%d AWG bears %d A and no more', (gauge, amperes) => {
        expect(largestBreaker(gauge)).toBe(amperes);
        expect(thinnestWire(amperes)).toBe(gauge);
        expect(answers(gauge, amperes)).toEqual([]);
        expect(answers(gauge, amperes - 0.5)).toEqual([]);
        expect(answers(gauge, amperes + 0.5)).toEqual(['breaker-exceeds-wire']);
    });
    it('every gauge with every breaker of the table: too large exactly where a thicker wire has it', () => {
        for (const [row, [gauge]] of breakers.entries())
            for (const [column, [, amperes]] of breakers.entries())
                expect(answers(gauge, amperes), `${gauge} AWG, ${amperes} A`).toEqual(
                    column > row ? ['breaker-exceeds-wire'] : [],
                );
    });
    test.each([0, 1, 24, 26])('nothing is said of %d AWG, for which the table has no breaker', gauge => {
        expect(answers(gauge, 400)).toEqual([]);
    });
});
