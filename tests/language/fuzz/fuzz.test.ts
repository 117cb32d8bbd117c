import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { deepest, mostErrors } from '../../../language/grammar/guards.js';
import { parseText } from '../../../language/grammar/parse.js';
import { parseProject } from '../../../language/names/project.js';
import { mutationsOf } from '../grammar/mutations.js';
import { wrongWith } from './whole.js';

const sample = readFileSync(new URL('../sample/valve.cotter', import.meta.url), 'utf8');
const words = [...new Set(sample.match(/"[^"]*"|[\w-]+|\S/g))];

describe('any text is read without a fall, a hang or a place outside of it', { timeout: 600_000 }, () => {
    const holds = (texts: fc.Arbitrary<string>, numRuns: number) =>
        fc.assert(
            fc.property(texts, text => {
                expect(wrongWith(text)).toEqual([]);
            }),
            { numRuns },
        );

    test('characters of any kind', () => {
        holds(fc.string({ unit: 'binary', maxLength: 400 }), 300);
    });

    test('lone surrogates', () => {
        const unit = fc.constantFrom('\uD800', '\uDC00', '"', '[', ']', 'a', '\n', '\\', '/', '*');
        holds(fc.string({ unit, maxLength: 80 }), 300);
    });

    test('words of the language in any order', () => {
        const unit = fc.constantFrom(
            ...words,
            '\n',
            '\n  ',
            ' ',
            'meanwhile',
            '3,95',
            '5s',
            '"',
            '[X',
            '0.5s',
            '4.8N·m',
            'not',
        );
        holds(
            fc.array(unit, { maxLength: 120 }).map(all => all.join(' ')),
            300,
        );
    });

    test('the sample with pieces cut out, put in and exchanged', () => {
        const place = fc.nat({ max: sample.length });
        const cut = fc.tuple(
            place,
            fc.nat({ max: 60 }),
            fc.oneof(fc.constantFrom('', ...words), fc.string({ maxLength: 5 })),
        );
        const texts = fc
            .array(cut, { minLength: 1, maxLength: 6 })
            .map(cuts =>
                cuts.reduce((text, [at, length, put]) => text.slice(0, at) + put + text.slice(at + length), sample),
            );
        holds(texts, 200);
    });

    test('one-line slips, with every kind of line ending and with a mark at the start', () => {
        const slips = mutationsOf(sample);
        const ends = fc.constantFrom('\n', '\r\n', '\r');
        const texts = fc
            .tuple(fc.nat({ max: slips.length - 1 }), ends, fc.boolean())
            .map(([at, end, mark]) => (mark ? '\uFEFF' : '') + (slips[at]?.text ?? '').replaceAll('\n', end));
        holds(texts, 150);
    });
});

describe('what a parser falls over', { timeout: 300_000 }, () => {
    const inRule = (condition: string) => `equipment E "e" {\n  rule r: never ${condition}\n}\n`;
    const inStep = (body: string) => `card C "c" {\n  step s "s" {\n${body}\n  }\n}\n`;
    test.each([
        ['parentheses', inRule(`${'('.repeat(20_000)}X is ON${')'.repeat(20_000)}`)],
        ['not', inRule(`${'not '.repeat(50_000)}X is ON`)],
        ['blocks', inStep(`${'where M { '.repeat(20_000)}${'} '.repeat(20_000)}`)],
        ['open blocks', inStep('where M { '.repeat(20_000))],
        ['closing braces', '} '.repeat(50_000)],
        ['else blocks', inStep(`${'a: see X is Y else { '.repeat(5000)}${'} '.repeat(5000)}`)],
        ['open brackets in a text', `card C "${'['.repeat(100_000)}`],
        ['one long word', 'a-'.repeat(200_000)],
        ['one long number', '1,'.repeat(100_000)],
        ['quotes', '"'.repeat(100_001)],
        ['an open comment', `/*${'x\n'.repeat(100_000)}`],
    ])('%s', (_, text) => {
        expect(wrongWith(text)).toEqual([]);
        expect(parseText(text).problems.length).toBeGreaterThan(0);
        // And the parser is as good as new.
        expect(parseText(sample).problems).toEqual([]);
    });

    test('nesting is read down to the limit', () => {
        const depth = deepest - 1;
        expect(parseText(inRule(`${'('.repeat(depth)}X is ON${')'.repeat(depth)}`)).problems).toEqual([]);
        expect(parseText(inRule(`${'('.repeat(depth + 1)}X is ON${')'.repeat(depth + 1)}`)).problems.length).toBe(1);
    });

    test('a megabyte of broken lines: the first mistakes, and a word that there are more', () => {
        const line = 'tech: tell tell 5s , { "Clean [ACT \n';
        const text = line.repeat(Math.ceil(1_000_000 / line.length));
        const began = performance.now();
        expect(wrongWith(text)).toEqual([]);
        expect(performance.now() - began).toBeLessThan(10_000);
        const { problems } = parseText(text);
        expect(problems.length).toBe(mostErrors + 1);
        expect(problems.at(-1)?.message).toMatch(/mistakes are shown/);
    });

    test('a megabyte of sound text', () => {
        const text = sample.replace(/exercise[\s\S]*$/, '');
        const all = Array.from({ length: Math.ceil(1_000_000 / text.length) }, () => text).join('');
        expect(parseText(all).problems).toEqual([]);
    });
});

describe('places', () => {
    test('are the same with CR LF, and one byte order mark does not count', () => {
        const bad = sample.replace('within 6 s', 'within 6').replace('see WEEP', 'see WEEEP');
        const places = (text: string) =>
            parseProject([{ path: 'a', text }]).findings.map(
                ({ code, span }) => `${code} ${span.line}:${span.column}-${span.endLine}:${span.endColumn}`,
            );
        const plain = places(bad);
        expect(plain.length).toBe(2);
        expect(places(bad.replaceAll('\n', '\r\n'))).toEqual(plain);
        expect(places(`\uFEFF${bad}`)).toEqual(plain);
        expect(places(`\uFEFFcrad X "x" {}`)).toEqual(places(`crad X "x" {}`));
    });

    test('columns count UTF-16 units', () => {
        const text = 'card C "\u{1F6E9}" { applies to "\u{1F6E9}\u{1F6E9}" x }';
        const [finding] = parseProject([{ path: 'a', text }]).findings;
        expect(finding?.span.file).toBe('a');
        expect(finding && text.slice(finding.span.offset, finding.span.end)).toBe('x');
        expect(finding?.span.column).toBe((finding?.span.offset ?? 0) + 1);
    });
});
