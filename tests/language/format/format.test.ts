import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { applyTextEdits, type FormatOptions, format } from '../../../language/format/format.js';
import { parseText } from '../../../language/grammar/parse.js';
import { judgeAll } from '../../judge.js';
import { textsIn } from '../../marks.js';
import { mutationsOf } from '../grammar/mutations.js';
import { shape } from '../grammar/shape.js';
import { commentsOf, mangle, randomFrom, strew, wordsOf } from './mangle.js';

const formatted = (text: string, options: FormatOptions = {}): string => applyTextEdits(text, format(text, options));
const sample = readFileSync('tests/language/sample/valve.cotter', 'utf8');
const everything = readFileSync('tests/language/sample/everything.cotter', 'utf8');
const sources = [...textsIn('examples'), ...textsIn('language/checks'), ...textsIn('tests/language/sample')];
const sound = sources.filter(({ text }) => parseText(text).problems.length === 0);
const shapeOf = (text: string): string => shape(parseText(text).root);

/** What is true of every text and what became of it. */
function expectKept(text: string, after: string, options: FormatOptions = {}): void {
    expect(wordsOf(after)).toEqual(wordsOf(text));
    expect(commentsOf(after)).toEqual(commentsOf(text));
    expect(after.replace(/\s/g, '')).toBe(text.replace(/\s/g, ''));
    expect(formatted(after, options)).toBe(after);
}

describe('the house style', () => {
    test('the sample is as printed', () => expect(formatted(sample)).toBe(sample));

    test('there are texts enough to try', () => expect(sound.length).toBeGreaterThan(100));

    test.each(sound.map(each => [each.path, each.text] as const))('%s keeps its words and its meaning', (_, text) => {
        const after = formatted(text);
        expectKept(text, after);
        expect(shapeOf(after)).toBe(shapeOf(text));
    });

    test('Plan and Machine are the same before and after', { timeout: 600_000 }, () => {
        let cards = 0;
        const bare = (texts: typeof sources) =>
            judgeAll(texts).map(({ plan, machine }) => withoutPlaces({ plan, machine }));
        const apart = sound.filter(({ path }) => !path.startsWith('examples/northlight'));
        const projects = [sound.filter(each => !apart.includes(each)), ...apart.map(each => [each])];
        projects.forEach((project, seed) => {
            const before = bare(project);
            cards += before.length;
            expect(bare(project.map(({ path, text }) => ({ path, text: formatted(text) })))).toEqual(before);
            const random = randomFrom(seed);
            const strewn = project.map(({ path, text }) => ({ path, text: formatted(strew(text, random)) }));
            expect(bare(strewn), project[0]?.path).toEqual(before);
        });
        expect(cards).toBeGreaterThan(100);
    });
});

/** Spans, and the keys made of them, say where something stands and not what it means. */
function withoutPlaces(value: unknown): unknown {
    const said = JSON.stringify(value, (_, each) => {
        if (each && typeof each === 'object' && 'endColumn' in each) return undefined;
        if (each instanceof Map) return [...each];
        return typeof each === 'string' ? each.replace(/(\.cotter):\d+| line \d+/g, '$1') : each;
    });
    return JSON.parse(said);
}

describe('texts with other blanks and line breaks', { timeout: 600_000 }, () => {
    /** A column that its writer set wider than it must be cannot be guessed from a text without columns. */
    const tight = (text: string) => formatted(text.replace(/(\S) {2,}(?=\S)/g, '$1 '));

    test('come back as they were', () => {
        let same = 0;
        sound.forEach(({ path, text }, seed) => {
            const house = formatted(text);
            const random = randomFrom(seed);
            for (let turn = 0; turn < 3; turn++) {
                const after = formatted(mangle(house, random));
                expect(after, path).toBe(tight(house));
                if (after === house) same++;
            }
        });
        // The others have a column with blanks to spare, as the sample has.
        expect(same / (3 * sound.length)).toBeGreaterThan(0.6);
    });

    test('the sample comes back but for three columns that stand further right than they must', () => {
        const back = formatted(mangle(sample, randomFrom(1))).split('\n');
        const other = sample.split('\n').filter((line, at) => line !== back[at]);
        expect(other.map(line => line.trim().split(/\s+/)[0])).toEqual([
            ...['place', 'panel', 'place', 'port', 'area', 'area', 'mark', 'flow'],
            ...['rule', 'rule', 'rule', 'rule', 'rule', 'rule'],
        ]);
    });

    test('with comments anywhere keep all of them in place', () => {
        fc.assert(
            fc.property(
                fc.constantFrom(sample, everything),
                fc.nat(),
                fc.constantFrom(50, 120, 200),
                (text, seed, lineWidth) => {
                    const strewn = strew(text, randomFrom(seed));
                    expect(parseText(strewn).problems).toEqual([]);
                    const after = formatted(strewn, { lineWidth });
                    expectKept(strewn, after, { lineWidth });
                    expect(shapeOf(after)).toBe(shapeOf(text));
                },
            ),
            { numRuns: 150, seed: 11 },
        );
    });
});

describe('comments', () => {
    const kept = [
        'on lines of their own, before a brace, at the end of a line and within one',
        `// head

card C "c" { // of the card
  // of the revision
  revision "1" /* within */ dated "2026-01-01" // at the end

  // apart

  step s "s" {
    /* leading */ tech: open A
    tech: set A to ON /* trailing */
    tech: see A is ON // before else
        else {
      stop "x"
    }
    wait
        // within a line
        5 s
    /* of
   two lines */
    // before the brace
  } // behind the brace
  // last
}
// foot
`,
    ] as const;
    test(kept[0], () => expect(formatted(kept[1])).toBe(kept[1]));

    test('are brought to the place of the line that they are about', () => {
        const text = 'card C "c" {\n// a\n      revision "1"\n         // b\n}\n';
        expect(formatted(text)).toBe('card C "c" {\n  // a\n  revision "1"\n  // b\n}\n');
    });
});

describe('lines', () => {
    const inStep = (...lines: string[]) =>
        `card C "c" {\n  step s "s" {\n${lines.map(line => `    ${line}\n`).join('')}  }\n}\n`;

    test('one action a line, declarations apart, one blank line at most', () => {
        const text =
            'modification M "m" modification N "n" card C "c"{revision"1" step s "s"{tech:open A tech :close A\n\n\n\nwait 5 s}}exercise X "x" on C{found at s}';
        expect(formatted(text)).toBe(
            'modification M "m"\nmodification N "n"\n\ncard C "c" {\n  revision "1"\n  step s "s" {\n    tech: open A\n    tech: close A\n\n    wait 5 s\n  }\n}\n\nexercise X "x" on C {\n  found at s\n}\n',
        );
    });

    test('a short block stays on its line, one with two actions does not', () => {
        const stays = inStep('where M { deck: see A is ON }', 'tech: see A is ON else { stop "x" }', 'do S(A, B)');
        expect(formatted(stays)).toBe(stays);
        expect(formatted(inStep('where M { deck: open A deck: close A }'))).toBe(
            inStep('where M {', '  deck: open A', '  deck: close A', '}'),
        );
        expect(formatted(inStep('where M { deck: open A } otherwise {', 'deck: close A }'))).toBe(
            inStep('where M {', '  deck: open A', '} otherwise {', '  deck: close A', '}'),
        );
        const long = `where M { deck: see ${'A'.repeat(100)} is ON }`;
        expect(formatted(inStep(long))).toBe(inStep('where M {', `  deck: see ${'A'.repeat(100)} is ON`, '}'));
    });

    test('a long line is broken before a clause, after a comma, before "and"; a text never', () => {
        const text = `equipment E "e" {
  motor MA "motor A" at Place1 from Alpha, Beta, Gamma, Delta
  rule far: before set ISOL require MOTOR-A is STOPPED and MOTOR-B is STOPPED and (X or Y) because "It is so, and this is a long reason."
}

card C "c" {
  start with ALPHA is ON, BETA is OFF, GAMMA is ON, DELTA is OFF, EPSILON is ON
  step s "s" {
    warning "A text that is longer than the line is never broken."
  }
}
`;
        expect(formatted(text, { lineWidth: 50 })).toBe(`equipment E "e" {
  motor MA "motor A" at Place1
      from Alpha, Beta, Gamma, Delta
  rule far: before set ISOL
      require MOTOR-A is STOPPED
      and MOTOR-B is STOPPED and (X or Y)
      because "It is so, and this is a long reason."
}

card C "c" {
  start with ALPHA is ON, BETA is OFF,
      GAMMA is ON, DELTA is OFF, EPSILON is ON
  step s "s" {
    warning "A text that is longer than the line is never broken."
  }
}
`);
    });

    test('no line is longer than the width that could be broken', { timeout: 600_000 }, () => {
        let over = 0;
        for (const { text } of sound)
            for (const lineWidth of [60, 80, 120]) {
                const after = formatted(text, { lineWidth });
                expectKept(text, after, { lineWidth });
                for (const line of after.split('\n')) {
                    // A text at the end of a line may run over, and nothing in a text or a comment is a place to break.
                    const bare = line.replace(/\s*"(\\.|[^"\\])*"$/, '');
                    if (bare.length <= lineWidth || bare.trim().startsWith('//')) continue;
                    over++;
                    expect(bare.replace(/"(\\.|[^"\\])*"/g, '""')).not.toMatch(/, | (and|or|because|require) /);
                }
            }
        expect(over).toBeGreaterThan(0);
    });

    test('columns: what is much longer than most stands by itself', () => {
        const text = `equipment E "e" {
  place FlightDeck "Flight deck"
  control B "BOOST" at FlightDeck
  // between
  connector PUMP "boost pump connector" at FlightDeck
  unit U "unit" in PUMP

  unit V "unit" at FlightDeck
}
`;
        expect(formatted(text)).toBe(`equipment E "e" {
  place     FlightDeck "Flight deck"
  control   B    "BOOST" at FlightDeck
  // between
  connector PUMP "boost pump connector" at FlightDeck
  unit      U    "unit" in PUMP

  unit V "unit" at FlightDeck
}
`);
    });
});

describe('files', () => {
    test.each(['\n', '\r\n', '\r'])('the line ending %j and the byte order mark are kept', ending => {
        const house = `\uFEFF${sample.replaceAll('\n', ending)}`;
        expect(format(house)).toEqual([]);
        const flat = house.replace(/^\uFEFF/, '\uFEFF \n').replaceAll(`${ending}  `, ending);
        expect(formatted(flat).replaceAll(ending, '\n').replace('\uFEFF', '')).toBe(sample);
    });

    test('edits are of blanks alone, in order, and no larger than they must be', () => {
        const text = sample.replace('    deck: set PUMP to ON', '      deck:   set PUMP to ON');
        const at = text.indexOf('deck:   set');
        expect(format(text)).toEqual([
            { offset: at - 2, end: at, newText: '' },
            { offset: at + 6, end: at + 8, newText: '' },
        ]);
    });

    test('with a range only what touches it changes', () => {
        const text = sample.replaceAll('\n  ', '\n      ');
        const offset = text.indexOf('  test leaks');
        const end = text.indexOf('\n', offset);
        const edits = format(text, {}, { offset, end });
        expect(edits.length).toBeGreaterThan(0);
        for (const edit of edits) expect(edit.end >= offset && edit.offset <= end).toBe(true);
        const after = applyTextEdits(text, edits);
        expect(after).toContain('\n  test leaks');
        expect(after).toContain('\n      test motor_b');
    });

    test.each(['', '\n', '  ', '// only a comment\n'])('%j has nothing to change', text =>
        expect(format(text)).toEqual([]),
    );
});

describe('broken texts', { timeout: 600_000 }, () => {
    test('a damaged declaration stays as it is, the others are formatted', () => {
        const [first, second, third] = [
            'equipment   E "e" {\n place P   "p"\n}\n',
            '  card C "c" {\n   sstep s "s" {\n tech: open\n',
            'card D   "d" {\nrevision "1"\n}\n',
        ];
        expect(parseText(`${first}${second}${third}`).problems.length).toBeGreaterThan(0);
        expect(formatted(`${first}${second}${third}`)).toBe(
            `equipment E "e" {\n  place P "p"\n}\n${second}card D "d" {\n  revision "1"\n}\n`,
        );
    });

    test('slips of one line lose nothing, and formatting again changes nothing', () => {
        const slips = mutationsOf(sample);
        let broken = 0;
        for (let at = 0; at < slips.length; at += 13) {
            const text = mangle(slips[at]?.text ?? '', randomFrom(at)).replace(/^\s+/, '');
            if (parseText(text).problems.length > 0) broken++;
            const after = formatted(text);
            expect(after.replace(/\s/g, '')).toBe(text.replace(/\s/g, ''));
            expect(formatted(after)).toBe(after);
            expect(parseText(after).problems.length > 0).toBe(parseText(text).problems.length > 0);
        }
        expect(broken).toBeGreaterThan(20);
    });

    test('characters of any kind', () => {
        const unit = fc.oneof(
            fc.string({ unit: 'binary', maxLength: 3 }),
            fc.constantFrom(...wordsOf(everything), '\n', '"', '/*', '}'),
        );
        fc.assert(
            fc.property(fc.array(unit, { maxLength: 60 }), parts => {
                const text = parts.join(' ');
                const after = formatted(text);
                expect(after.replace(/\s/g, '')).toBe(text.replace(/\s/g, ''));
                expect(formatted(after)).toBe(after);
            }),
            { numRuns: 300, seed: 5 },
        );
    });
});

test('the work grows with the length of the text and no faster', { timeout: 600_000 }, () => {
    const took = (times: number): number => {
        const text = sample.replaceAll('\n  ', '\n ').repeat(times);
        let best = Number.POSITIVE_INFINITY;
        for (let turn = 0; turn < 3; turn++) {
            const began = performance.now();
            format(text);
            best = Math.min(best, performance.now() - began);
        }
        return best;
    };
    took(5);
    const ratio = took(40) / took(5);
    expect(ratio).toBeLessThan(24);
    const rules = (count: number) => `equipment E "e" {\n${'  port P "p" at Q carries R\n'.repeat(count)}}\n`;
    const began = performance.now();
    format(rules(20_000));
    // One run of neighbours, and still far from quadratic.
    expect(performance.now() - began).toBeLessThan(20_000);
});
