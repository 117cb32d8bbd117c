import { describe, expect, it } from 'vitest';
import type { Plan } from '../../../language/plan/plan.js';
import { card } from './rig.js';
import { lower, sample } from './show.js';

const keys = (text: string): string[] => lower(text).plan.events.map(each => each.key);

/** Edits of the sample, and what they may take away or bring. */
const edits: readonly (readonly [what: string, from: string, to: string, gone: number, come: number])[] = [
    ['a step before', '  step isolate', '  step first "First" { tech: open BLEED }\n  step isolate', 0, 3],
    ['a line before', '    tech: disconnect P1, P2', '    tech: clean WEEP\n    tech: disconnect P1, P2', 0, 1],
    [
        'another call before',
        '    do DriveAlone(CB-217, CB-218, deck, tech)',
        '    wait 1 s\n    do DriveAlone(CB-217, CB-218, deck, tech)',
        0,
        1,
    ],
    ['a line gone', '    tech: open BLEED\n', '', 1, 0],
    ['a longer wait', 'wait 90 s', 'wait 120 s', 0, 0],
    ['another limit', 'within 6 s', 'within 8 s', 0, 0],
    ['other words', 'Clean the seat of', 'Wipe the seat of', 0, 0],
    ['a renamed label', '"HYD 2 ISOLATION"', '"HYD 2 ISOL"', 0, 0],
    ['a comment and an empty line', 'card T84', '// A card.\n\ncard T84', 0, 0],
    [
        'ensure for pull',
        'deck: pull CB-217, CB-218 and tag',
        'deck: ensure CB-217 is PULLED and tag\n deck: ensure CB-218 is PULLED and tag',
        0,
        0,
    ],
    [
        'swapped arguments',
        'do DriveAlone(CB-217, CB-218, deck, tech)',
        'do DriveAlone(CB-218, CB-217, deck, tech)',
        3,
        3,
    ],
];

describe('keys', () => {
    it('are unique', () => {
        for (const text of [sample, card('deck: pull CB-1\n deck: pull CB-1\n wait 1 s\n wait 1 s')]) {
            const all = keys(text);
            expect(new Set(all).size).toBe(all.length);
        }
    });

    it.each(edits)('survive %s', (_, from, to, gone, come) => {
        const changed = sample.replace(from, to);
        expect(changed).not.toBe(sample);
        const before = keys(sample);
        const after = keys(changed);
        expect(before.filter(each => !after.includes(each))).toHaveLength(gone);
        expect(after.filter(each => !before.includes(each))).toHaveLength(come);
    });

    it('tell rows of a "for each" by what stands in them', () => {
        const row = (rows: string) =>
            keys(card(`for each a in ${rows} { deck: pull a }`)).filter(each => each.includes('pull'));
        expect(row('CB-1, CB-2')).toEqual(['s/each:CB-1/pull/CB-1/1', 's/each:CB-2/pull/CB-2/1']);
        expect(row('CB-2')).toEqual(['s/each:CB-2/pull/CB-2/1']);
        expect(new Set(row('CB-1, CB-1')).size).toBe(2);
    });

    it('join the page to the flow', () => {
        const { plan } = lower(sample, ['M29-14']);
        const printed = new Set<string>();
        const visit = (value: unknown): void => {
            if (!value || typeof value !== 'object') return;
            if ('keys' in value && Array.isArray(value.keys)) for (const key of value.keys) printed.add(key);
            for (const each of Object.values(value)) visit(each);
        };
        visit(plan.page.steps);
        const silent = plan.events.filter(each => !printed.has(each.key)).map(each => each.kind);
        expect(new Set(silent)).toEqual(new Set(['step-start', 'step-end', 'end']));
        expect([...printed].filter(key => !plan.events.some(each => each.key === key))).toEqual([]);
    });
});

describe('a plan', () => {
    it('is plain data', () => {
        const all: Plan[] = [lower(sample).plan, lower(sample, ['M29-14']).plan];
        for (const plan of all) {
            expect(structuredClone(plan)).toEqual(plan);
            expect(JSON.stringify(plan)).not.toMatch(/"\$/);
        }
    });
});
