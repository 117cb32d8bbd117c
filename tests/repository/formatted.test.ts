/** What we show is written as the formatter writes it. */
import { describe, expect, test } from 'vitest';
import { applyTextEdits, format } from '../../language/format/format.js';
import { parseText } from '../../language/grammar/parse.js';
import { examplesOf } from '../language/reference/examples.js';
import { textsIn } from '../marks.js';

const remedy = 'not in the house style; run `npm run cotter -- format language/checks examples`';
const sources = [...textsIn('examples'), ...textsIn('language/checks')];
const damaged = sources.filter(({ text }) => parseText(text).problems.length > 0);

describe('every example and fixture is in the house style', () => {
    // `cotter format` leaves a text with a syntax error alone; what is whole in it is in the house style all the same.
    test('but for what must be broken', () =>
        expect(damaged.map(each => each.path)).toEqual(['language/checks/text/syntax/bad.cotter']));

    test.each(sources.map(each => [each.path, each.text] as const))('%s', (path, text) => {
        expect(applyTextEdits(text, format(text)), `${path} is ${remedy}`).toBe(text);
    });
});

/** What a part of a text stands in, so that it can be formatted, and how far it stands in there. */
const frames: Record<string, readonly [before: string, after: string, indent: string]> = {
    '': ['', '\n', ''],
    base: ['', '\n', ''],
    equipment: ['equipment E "e" {\n', '\n}\n', '  '],
    step: ['card C "c" {\n  step s "s" {\n', '\n  }\n}\n', '    '],
};

describe.each(['README.md', 'language/README.md'])('the examples in %s are in the house style', page => {
    test.each(examplesOf(page).map(each => [each.line, each] as const))('line %d', (_, { place, text }) => {
        const [before, after, indent] = frames[place] ?? ['', '', ''];
        const whole = before + text.replace(/^(?=.)/gm, indent) + after;
        expect(parseText(whole).problems).toEqual([]);
        expect(applyTextEdits(whole, format(whole, { lineWidth: 120 + indent.length }))).toBe(whole);
    });
});
