/**
 * FAA AC 43.13-1B, chapter 7, table 7-1, "Recommended torque values for nut-bolt combinations (without lubrication)", from a retrieved copy
 * (ac43.13-1b-table7-1.csv); and the wrench extensions that US Army technical manuals work out as examples.
 */
import { readFileSync } from 'node:fs';
import { describe, expect, it, test } from 'vitest';
import { check } from '../../../language/check.js';
import { mostOnThread } from '../../../language/vocabulary/thread.js';
import { readingExample, torqueReading } from '../../../language/vocabulary/torque.js';

const [head, ...rows] = readFileSync(new URL('ac43.13-1b-table7-1.csv', import.meta.url), 'utf8')
    .trim()
    .split(/\r?\n/)
    .map(line => line.split(','));
const bolts = rows.map(([, thread = '', low, high, shearLow, shearHigh, most, shearMost]) => ({
    thread,
    tension: { low: Number(low), high: Number(high), most: Number(most) },
    shear: { low: Number(shearLow), high: Number(shearHigh), most: Number(shearMost) },
}));

/** The codes that a bolt draws whose equipment gives one range and whose card another ('' : the card gives none). */
function answers(thread: string, own: string, onCard: string, more = '', range = '1 to 100,000 lbf·in'): string[] {
    const text = `equipment E "e" {
  place    Bay "Bay"
  fastener B1  "bolt" at Bay thread "${thread}" ${own ? `torque ${own}` : ''}
}
card K "k" {
  uses E
  revision "1"
  role tech "Technician" at Bay
  tool TW "Torque wrench" range ${range}
  step one "Replace the bolt" {
    tech: remove B1
    tech: install new B1
    tech: torque B1 ${onCard} with TW ${more}
  }
}`;
    const { findings } = check([{ path: 'torque.cotter', text }], {}, { fixes: 'none' });
    return findings.map(each => each.code);
}

const range = (low: number, high: number): string => `${low} to ${high} lbf·in`;

describe('table 7-1', () => {
    it('has 25 threads, and no recommended torque above the greatest allowed', () => {
        expect(head?.slice(1, 4)).toEqual(['thread', 'tension_min_inlb', 'tension_max_inlb']);
        expect(bolts).toHaveLength(25);
        for (const { tension, shear } of bolts)
            for (const { low, high, most } of [tension, shear]) {
                expect(low).toBeLessThanOrEqual(high);
                expect(high).toBeLessThanOrEqual(most);
            }
    });

    it('is what a thread is measured by, whatever class is written behind it', () => {
        for (const { thread, tension } of bolts) {
            expect(mostOnThread(thread), thread).toBe(tension.most);
            expect(mostOnThread(`${thread} UNJF-3A`), thread).toBe(tension.most);
        }
        expect(mostOnThread('M6x1')).toBeUndefined();
    });

    describe.each(bolts.flatMap(({ thread, tension, shear }) => [
        [thread, 'tension', tension] as const,
        [thread, 'shear', shear] as const,
    ]))('%s in %s', (thread, _, { low, high }) => {
        const own = range(low, high);
        const more = high + 1;
        test('from the least to the greatest is accepted', () => {
            expect(answers(thread, own, '')).toEqual([]);
            expect(answers(thread, own, own)).toEqual([]);
            expect(answers(thread, own, range(low, low))).toEqual([]);
            expect(answers(thread, own, range(high, high))).toEqual([]);
        });
        test('below and above is reported', () => {
            expect(answers(thread, own, range(low - 0.5, high))).toEqual(['torque-outside']);
            expect(answers(thread, own, range(low, more))).toEqual(['torque-outside']);
            expect(answers(thread, own, range(low - 0.5, more))).toEqual(['torque-outside']);
        });
        test('is the same in other units', () => {
            const newtonMetres = (value: number): string => (value * 0.1129848290276167).toFixed(4);
            const within = `${newtonMetres(low + 0.1)} to ${newtonMetres(high - 0.1)} N·m`;
            const beyond = `${newtonMetres(low + 0.1)} to ${newtonMetres(high + 0.1)} N·m`;
            expect(answers(thread, own, within, '', '0.1 to 10,000 N·m')).toEqual([]);
            expect(answers(thread, own, beyond, '', '0.1 to 10,000 N·m')).toEqual(['torque-outside']);
        });
    });

    test.each(bolts)('$thread is never torqued above the greatest that it is allowed', ({ thread, tension: { low, most } }) => {
        expect(answers(thread, '', range(low, most))).toEqual([]);
        expect(answers(thread, '', range(low, most + 1))).toEqual(['torque-outside']);
        // Nor where the equipment itself says more.
        expect(answers(thread, range(low, most + 1), '')).toEqual(['torque-outside']);
    });
});

describe('a wrench with an extension', () => {
    // Torque, length of the wrench, extension, and what the wrench shows, as the manuals print it.
    const printed = [
        [300, 10, 4, 214],
        [100, 12, 6, 66.7],
        [135, 10, 1.5, 117.39],
        [135, 10, -1.5, 158.82],
    ] as const;
    it.each(printed)('for %d lbf·in, %d in long, with %d in more', (torque, length, extension, reading) => {
        expect(torqueReading(torque, length, extension)).toBeCloseTo(reading, reading === 214 ? -1 : 1);
    });

    it('is judged by the torque at the fastener, not by what it shows', () => {
        // 300 lbf·in are asked for; the wrench shows 214, which as a torque would be far too little.
        const own = range(290, 310);
        expect(answers('7/16-14', own, range(295, 305), 'and extension 4 in')).toEqual([]);
        expect(answers('7/16-14', own, range(214, 215), 'and extension 4 in')).toEqual(['torque-outside']);
        expect(readingExample(range(300, 310), '4 in')).toContain('214 to 221 lbf·in');
    });

    it('need not reach the torque at the fastener where it shows less', () => {
        const own = range(300, 300);
        expect(answers('7/16-14', own, '', 'and extension 4 in', range(50, 250))).toEqual([]);
        expect(answers('7/16-14', own, '', '', range(50, 250))).toEqual(['tool-out-of-range']);
    });

    it('that points back shows more, and does not make a small torque too small for it', () => {
        const own = range(135, 135);
        expect(answers('7/16-14', own, '', 'and extension -1.5 in', range(140, 250))).toEqual([]);
        expect(answers('7/16-14', own, '', 'and extension -1.5 in', range(50, 130))).toEqual(['tool-out-of-range']);
        expect(answers('7/16-14', own, '', 'and extension 1.5 in', range(140, 250))).toEqual(['tool-out-of-range']);
    });
});
