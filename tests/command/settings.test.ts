/** The schema of `cotter.json` and the reader of it agree: what one takes, the other takes. */
import { globSync, readFileSync } from 'node:fs';
import { Ajv } from 'ajv';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { checks } from '../../language/checks/index.js';
import { spellings } from '../../language/vocabulary/units.js';
import { schemaFile } from '../../server/workspace/schema.js';
import { levels, understand } from '../../server/workspace/settings.js';

const valid = new Ajv({ strict: true }).compile(JSON.parse(readFileSync(schemaFile, 'utf8')));
const problems = (value: unknown): string[] => understand(value, 'cotter.json').problems.map(each => each.message);

const changeable = checks.filter(each => each.severity !== 'error').map(each => each.code);
const fixed = checks.filter(each => each.severity === 'error').map(each => each.code);

/** Mostly as it should be, so that a whole value often is. */
const mostly = <T>(right: fc.Arbitrary<T>, wrong: fc.Arbitrary<unknown>) =>
    fc.oneof({ weight: 12, arbitrary: right as fc.Arbitrary<unknown> }, { weight: 1, arbitrary: wrong });
const junk = fc.oneof(fc.constant(null), fc.string(), fc.double(), fc.boolean(), fc.array(fc.string()), fc.object());
const severities = fc.dictionary(
    mostly(fc.constantFrom(...changeable), fc.oneof(fc.constantFrom(...fixed), fc.string())) as fc.Arbitrary<string>,
    mostly(fc.constantFrom(...levels), junk),
    { maxKeys: 4 },
);
const units = fc.array(mostly(fc.constantFrom(...spellings), fc.constantFrom('sec', 'Nm2', 7, null)), { maxLength: 4 });
const sentence = fc.dictionary(
    mostly(fc.constantFrom('step', 'note'), fc.constantFrom('tell', '')) as fc.Arbitrary<string>,
    mostly(fc.integer({ min: 1, max: 99 }), fc.oneof(fc.constantFrom(0, -1, 1.5), junk)),
    { maxKeys: 2 },
);
const settings = fc.record(
    {
        $schema: fc.string(),
        severities: mostly(severities, junk),
        units: mostly(units, junk),
        sentence: mostly(sentence, junk),
        lineWidth: mostly(fc.integer({ min: 40, max: 200 }), fc.oneof(fc.constantFrom(39, 0, 79.5), junk)),
        unit: fc.oneof({ weight: 1, arbitrary: junk }),
    },
    { requiredKeys: [] },
);

describe('cotter.json', () => {
    test('is taken by the schema exactly where the reader has nothing to say', () => {
        const met = { taken: 0, refused: 0 };
        fc.assert(
            fc.property(mostly(settings, junk), value => {
                const taken = valid(value);
                met[taken ? 'taken' : 'refused']++;
                expect({ value, taken }).toEqual({ value, taken: problems(value).length === 0 });
            }),
            { numRuns: 2000, seed: 3 },
        );
        expect(Math.min(met.taken, met.refused)).toBeGreaterThan(100);
    });

    test('may change every warning and information, to every level, and no error', () => {
        for (const code of changeable)
            for (const level of levels) expect(valid({ severities: { [code]: level } }), `${code} ${level}`).toBe(true);
        for (const code of fixed) {
            expect(valid({ severities: { [code]: 'warning' } }), code).toBe(false);
            expect(problems({ severities: { [code]: 'warning' } })).toEqual([
                `${code} is an error, and an error stays one`,
            ]);
        }
    });

    test('of the examples, and the one on the page of the language, are good', () => {
        const page = /```json\n([\s\S]*?)```/.exec(readFileSync('language/README.md', 'utf8'))?.[1] ?? '';
        const all = globSync('examples/**/cotter.json').map(file => readFileSync(file, 'utf8'));
        expect(all.length).toBeGreaterThan(5);
        for (const text of [...all, page]) expect(valid(JSON.parse(text)), text).toBe(true);
    });
});
