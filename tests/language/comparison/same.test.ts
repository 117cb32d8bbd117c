import { readFileSync } from 'node:fs';
import { globSync } from 'tinyglobby';
import { expect, test } from 'vitest';
import type { SourceFile } from '../../../language/check.js';
import { compare } from '../../../language/readers/comparison/index.js';
import { between, examples, judge, replaced } from './texts.js';

const nothing = { verdict: 'same', cards: [] };
const all: readonly SourceFile[] = globSync('examples/**/*.cotter')
    .sort()
    .map(path => ({ path, text: readFileSync(path, 'utf8') }));

/** Applies to what is no text and no comment. */
function outsideTexts(text: string, change: (code: string) => string): string {
    return text
        .split(/("(?:[^"\\\n]|\\.)*"|\/\/[^\n]*|\/\*[\s\S]*?\*\/)/)
        .map((part, n) => (n % 2 === 0 ? change(part) : part))
        .join('');
}

const each = (change: (text: string) => string): SourceFile[] =>
    examples.map(file => ({ ...file, text: change(file.text) }));

test('a thing compared with itself gives nothing, clean or faulty', () => {
    for (const folder of new Set(all.map(({ path }) => path.split('/').slice(0, 3).join('/')))) {
        const files = folder.startsWith('examples/northlight')
            ? examples
            : all.filter(({ path }) => path.startsWith(`${folder}/`));
        expect(compare(judge(files), judge(files)), folder).toMatchObject(nothing);
    }
});

test('the same after a comment, which makes it another text, gives nothing in every part', () => {
    expect(
        between(
            examples,
            each(text => `// Read again.\n${text}`),
        ),
    ).toMatchObject(nothing);
});

test('formatting gives nothing', () => {
    const squeezed = each(text =>
        outsideTexts(text.replaceAll(/\/\/[^\n]*/g, ''), code => code.replaceAll(/\s+/g, ' ')),
    );
    const spread = each(text =>
        outsideTexts(text, code => code.replaceAll('{', '\n\n{\n\n').replaceAll(/,(?!\d)/g, ' ,\n      ')),
    );
    const indented = each(text => outsideTexts(text, code => code.replaceAll('\n', '\r\n        ')));
    expect(squeezed[5]?.text).not.toBe(examples[5]?.text);
    for (const now of [squeezed, spread, indented]) expect(between(examples, now)).toMatchObject(nothing);
});

test('comments give nothing', () => {
    const now = each(text => outsideTexts(text, code => code.replaceAll('\n', ' /* so it is */ // indeed\n')));
    expect(between(examples, now)).toMatchObject(nothing);
});

test('declarations in another order give nothing', () => {
    // Lines of one form that stand next to each other in an equipment or the head of a card, turned round.
    const turned = each(text =>
        text.replaceAll(
            /(?:^ {2}(?:breaker|connector|control|motor|rule|place|role|tool|spare|area) [^{}\n]*\n(?! {3}))+/gm,
            lines => `${lines.trimEnd().split('\n').reverse().join('\n')}\n`,
        ),
    );
    expect(turned.filter((file, n) => file.text !== examples[n]?.text).length).toBeGreaterThan(3);
    expect(between(examples, turned)).toMatchObject(nothing);
});

test('files in another order, under other names, or taken together give nothing', () => {
    expect(between(examples, examples.toReversed())).toMatchObject(nothing);
    expect(
        between(
            examples,
            examples.map(({ path, text }) => ({ path: `elsewhere/${path}`, text })),
        ),
    ).toMatchObject(nothing);
    expect(
        between(examples, [{ path: 'all.cotter', text: examples.map(({ text }) => text).join('\n') }]),
    ).toMatchObject(nothing);
});

test('conditions joined in another order give nothing', () => {
    const now = replaced(
        replaced(examples, 'CB-217 is PULLED and CB-218 is PULLED', 'CB-218 is PULLED and CB-217 is PULLED'),
        'before apply AER-F, apply AER-A require CB-346',
        'before apply AER-A, apply AER-F require CB-346',
    );
    expect(between(examples, now)).toMatchObject(nothing);
});

test('a parameter by another name, and parameters in another order with their arguments, give nothing', () => {
    const renamed = replaced(
        replaced(examples, 'breaker own, breaker other,', 'breaker mine, breaker other,'),
        'close own',
        'close mine',
    );
    expect(between(examples, renamed)).toMatchObject(nothing);
    const turned = replaced(
        replaced(
            replaced(examples, 'breaker own, breaker other,', 'breaker other, breaker own,'),
            'DriveAlone(CB-217, CB-218,',
            'DriveAlone(CB-218, CB-217, ',
        ),
        'DriveAlone(CB-218, CB-217, deck, tech)\n    deck',
        'DriveAlone(CB-217, CB-218, deck, tech)\n    deck',
    );
    expect(between(examples, turned)).toMatchObject(nothing);
});

test('a call written out changes no line; what a check says of the text that was one is told', () => {
    const lines = `tech: tell deck "Clear of the engine. Motor it."
    deck: keep START-1 at MOTOR at most 30 s {
      deck: read NG-G at least 12 % within 10 s
      wait 15 s
      deck: read OIL-G at least 15 psi
      tech: see SEEP is DRY
    }`;
    const now = replaced(
        examples,
        '    do Motor(deck, tech)\n    wait 60 s\n    do',
        `    ${lines}\n    wait 60 s\n    do`,
    );
    const { cards } = between(examples, now);
    expect(cards.flatMap(each => each.changes)).toEqual([]);
    expect(cards.flatMap(each => each.consequences.map(({ code, effect }) => [code, effect]))).toEqual([
        ['shown-before', 'different'],
    ]);
});

test('a comparison is plain data', () => {
    const comparison = between(examples, replaced(examples, 'wait 90 s', 'wait 60 s'));
    expect(structuredClone(comparison)).toEqual(comparison);
});
