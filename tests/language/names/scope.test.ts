import { describe, expect, test } from 'vitest';
import type { Finding } from '../../../language/findings/finding.js';
import { namesMissingIn } from '../../../language/names/missing.js';
import { type ParsedProject, parseProject } from '../../../language/names/project.js';
import { modificationsOf, reachedFrom, variantsOf } from '../../../language/names/reach.js';

const projectOf = (...texts: string[]) => parseProject(texts.map((text, index) => ({ path: `${index}.cotter`, text })));
const said = (findings: readonly Finding[]) =>
    findings.map(({ code, span, message }) => `${span.file}:${span.line} ${code}: ${message}`);
const cardNamed = (project: ParsedProject, name: string) => {
    const card = project.cards.find(each => each.name === name);
    if (!card) throw new Error(`There is no card ${name}.`);
    return card;
};
const aircraft = (project: ParsedProject, card: string) =>
    variantsOf(project, cardNamed(project, card))?.map(each => [...each].join('+') || 'none');

describe('what is visible', () => {
    const base = 'equipment Base "b" {\n  place P "p"\n  breaker CB "cb" at P\n}\n';
    const used = 'equipment Used "u" uses Base {\n  light LT "lt" at P from CB\n}\n';

    test('what is used comes with what that uses, whatever the order of files', () => {
        const card =
            'card C "c" {\n  uses Used\n  role r "r" at P\n  step s "s" {\n    r: pull CB\n    r: see LT is OFF\n    r: close CB\n  }\n}\n';
        for (const texts of [[base, used, card], [card, used, base], [used + card + base]]) {
            const project = projectOf(...texts);
            expect(said(project.findings)).toEqual([]);
        }
    });

    test('nothing else is', () => {
        const project = projectOf(base, 'equipment Other "o" {\n  light LT "lt" at P from CB\n}\n');
        expect(said(project.findings)).toEqual([
            '1.cotter:2 unknown-name: P is declared in Base, which Other does not use: write "uses Base".',
            '1.cotter:2 unknown-name: CB is declared in Base, which Other does not use: write "uses Base".',
        ]);
    });

    test("roles, tools, parameters and steps are their owner's own", () => {
        const card = (name: string) =>
            `card ${name} "c" {\n  uses Base\n  role tech "t" at P\n  step s "s" {\n    tech: pull CB\n    tech: close CB\n    tech: see CB is CLOSED else {\n      repeat step s at most 2 times\n    }\n  }\n}\n`;
        expect(said(projectOf(base, card('C'), card('D')).findings)).toEqual([]);
        expect(
            said(
                projectOf(base, card('C'), card('D').replaceAll('tech', 'tehc').replace('role tehc', 'role tech'))
                    .findings,
            )[0],
        ).toBe('2.cotter:5 unknown-name: There is no role named tehc here. Did you mean tech?');
    });

    test('equipments that use each other end', () => {
        const project = projectOf(
            'equipment A "a" uses B {\n  place P "p"\n}\n',
            'equipment B "b" uses A {\n  breaker CB "c" at P\n}\n',
        );
        expect(said(project.findings)).toEqual([]);
        expect(project.equipmentsOf(project.equipments[0] as never).map(each => each.name)).toEqual(['B']);
    });

    test("an exercise sees its card's items, roles and steps", () => {
        const card = 'card C "c" {\n  uses Base\n  role tech "t" at P\n  step s "s" {\n  }\n}\n';
        const exercise = 'exercise E "e" on C {\n  failure CB is TRIPPED\n  trainee plays tech\n  found at s\n}\n';
        expect(said(projectOf(base, exercise, card).findings)).toEqual([]);
        expect(said(projectOf(base, exercise.replace('at s', 'at t'), card).findings)).toEqual([
            '1.cotter:4 unknown-name: There is no step named t here.',
        ]);
    });

    test('an equipment that there is not is reported once, not for each of its names', () => {
        const card = 'card C "c" {\n  uses Bass\n  role tech "t" at P\n  step s "s" {\n    tech: pull CB\n  }\n}\n';
        expect(said(projectOf(base, card).findings)).toEqual([
            '1.cotter:2 unknown-name: There is no equipment named Bass here. Did you mean Base?',
        ]);
    });

    test('what stands on a line that cannot be read is not reported where it is used', () => {
        const project = projectOf(
            base.replace('breaker CB', '[ CB'),
            'equipment Other "o" uses Base {\n  light LT "lt" at P from CB\n}\n',
        );
        expect(project.findings.map(each => each.code)).toEqual(['syntax']);
    });
});

describe('where', () => {
    const equipment = `modification M "m"
equipment E "e" {
  place P "p"
  where M {
    light LT "new" at P
    light ONLY "only" at P
  } otherwise {
    light LT "old" at P
  }
}
`;
    const card = (body: string) => `card C "c" {\n  uses E\n  role r "r" at P\n  step s "s" {\n${body}\n  }\n}\n`;

    test('a name may stand once on each side; a reference goes to the side it stands on', () => {
        const project = projectOf(
            equipment,
            card('    where M { r: see LT is ON } otherwise { r: see LT is ON }\n    r: see LT is ON'),
        );
        expect(said(project.findings)).toEqual([]);
        const labels = project.files[1]?.references
            .filter(each => each.$refText === 'LT')
            .map(each => (each.ref as { label?: string } | undefined)?.label);
        expect(labels).toEqual(['new', 'old', 'new']);
        expect(project.declarationsNamed(cardNamed(project, 'C'), 'LT').map(each => each.arms)).toEqual([
            [{ modification: 'M', embodied: true }],
            [{ modification: 'M', embodied: false }],
        ]);
        expect(namesMissingIn(project, cardNamed(project, 'C'), new Set())).toEqual([]);
    });

    test('what only some aircraft have is missing on the others', () => {
        const project = projectOf(equipment, card('    r: see ONLY is ON\n    where M { r: see ONLY is ON }'));
        const missing = (on: readonly string[]) =>
            namesMissingIn(project, cardNamed(project, 'C'), new Set(on)).map(each => each.name);
        expect(missing([])).toEqual(['ONLY']);
        expect(missing(['M'])).toEqual([]);
    });

    test('a call inside a where carries it into the subtask', () => {
        const subtask = 'subtask S "s" (role r) uses E {\n  r: see ONLY is ON\n}\n';
        const inside = projectOf(equipment, subtask, card('    where M { do S(r) }'));
        expect(namesMissingIn(inside, cardNamed(inside, 'C'), new Set())).toEqual([]);
        const outside = projectOf(equipment, subtask, card('    do S(r)'));
        expect(namesMissingIn(outside, cardNamed(outside, 'C'), new Set()).map(each => each.name)).toEqual(['ONLY']);
        expect(reachedFrom(inside, cardNamed(inside, 'C')).map(each => [each.owner.name, each.arms.length])).toEqual([
            ['C', 0],
            ['E', 0],
            ['S', 1],
        ]);
    });

    test('twice on one side is a duplicate', () => {
        const project = projectOf(equipment.replace('light ONLY "only"', 'light LT "again"'));
        expect(said(project.findings)).toEqual([
            '0.cotter:6 duplicate-name: LT is already the name of something else, a light: give this one another name.',
        ]);
    });
});

describe('aircraft', () => {
    const modifications = (text: string, mentioned: readonly string[]) => {
        const wheres = mentioned.map(name => `    where ${name} { }`).join('\n');
        return projectOf(`${text}\ncard C "c" {\n  step s "s" {\n${wheres}\n  }\n}\n`);
    };

    test('with and without each modification that the card mentions', () => {
        const project = modifications('modification A "a"\nmodification B "b"\nmodification X "x"', ['B', 'A']);
        expect(modificationsOf(project, cardNamed(project, 'C'))).toEqual(['A', 'B']);
        expect(aircraft(project, 'C')).toEqual(['none', 'B', 'A', 'A+B']);
    });

    test('but for what cannot be', () => {
        expect(aircraft(modifications('modification A "a"\nmodification B "b" after A', ['A', 'B']), 'C')).toEqual([
            'none',
            'A',
            'A+B',
        ]);
        expect(aircraft(modifications('modification A "a"\nmodification B "b" not with A', ['A', 'B']), 'C')).toEqual([
            'none',
            'B',
            'A',
        ]);
        // By way of one that the card does not mention.
        expect(
            aircraft(
                modifications('modification A "a"\nmodification X "x" after A\nmodification B "b" after X', ['A', 'B']),
                'C',
            ),
        ).toEqual(['none', 'A', 'A+B']);
        expect(
            aircraft(
                modifications('modification A "a"\nmodification X "x" not with A\nmodification B "b" after X', [
                    'A',
                    'B',
                ]),
                'C',
            ),
        ).toEqual(['none', 'B', 'A']);
        // A ring is reported elsewhere; no aircraft has what it needs itself.
        expect(
            aircraft(modifications('modification A "a" after B\nmodification B "b" after A', ['A', 'B']), 'C'),
        ).toEqual(['none']);
    });

    test('sixteen at most', () => {
        const many = (count: number) => Array.from({ length: count }, (_, index) => `M${index}`);
        const text = (names: readonly string[]) => names.map(name => `modification ${name} "m"`).join('\n');
        expect(aircraft(modifications(text(many(4)), many(4)), 'C')?.length).toBe(16);
        expect(aircraft(modifications(text(many(5)), many(5)), 'C')).toBeUndefined();
        expect(aircraft(modifications(text(many(40)), many(40)), 'C')).toBeUndefined();
    });
});

describe('one name for two things', () => {
    const e = (name: string, body: string, uses = '') => `equipment ${name} "e"${uses} {\n  ${body}\n}\n`;
    test.each([
        [
            'two equipments that meet in a card',
            `${e('A', 'place P "p"') + e('B', 'place P "p"')}card C "c" {\n  uses A, B\n}\n`,
            'C uses A and B, and both have something named P: rename one of the two.',
        ],
        [
            'an equipment and what it uses',
            e('A', 'place P "p"') + e('B', 'panel P "p"', ' uses A'),
            'P is already the name of something else in A, a place: give this one another name.',
        ],
        [
            'a parameter and an item',
            `${e('A', 'breaker CB "c"')}subtask S "s" (breaker CB) uses A {\n}\n`,
            'CB is already the name of something else in A, a breaker: give this one another name.',
        ],
        [
            'a loop name and an item',
            `${e('A', 'breaker CB "c"')}card C "c" {\n  uses A\n  role r "r"\n  step s "s" {\n    for each CB in CB { r: tag CB }\n  }\n}\n`,
            'CB is already the name of something else in A, a breaker: give this one another name.',
        ],
        [
            'two steps',
            'card C "c" {\n  step s "s" { }\n  step s "s" { }\n}\n',
            's is already the name of something else, a step: give this one another name.',
        ],
        [
            'a card and a subtask',
            'card C "c" {\n}\nsubtask C "c" {\n}\n',
            'C is already the name of something else, a card: give this one another name.',
        ],
    ])('%s', (_, text, message) => {
        expect(projectOf(text).findings.map(each => `${each.code}: ${each.message}`)).toEqual([
            `duplicate-name: ${message}`,
        ]);
    });

    test('but not for the same equipment that is seen twice', () => {
        expect(
            said(
                projectOf(
                    e('A', 'place P "p"') +
                        e('B', 'area X "x" at P', ' uses A') +
                        e('D', 'area Y "y" at P', ' uses A') +
                        'card C "c" {\n  uses B, D, A\n}\n',
                ).findings,
            ),
        ).toEqual([]);
    });
});

test('a thousand cards are linked without going through all of them for each name', () => {
    const base = 'equipment Base "b" {\n  place P "p"\n  breaker CB "cb" at P\n}\n';
    const card = (index: number) =>
        `card C${index} "c" {\n  uses Base\n  role tech "t" at P\n  step s "s" {\n    tech: pull CB\n    tech: close CB\n  }\n}\n`;
    const files = (count: number) => [
        { path: 'base', text: base },
        ...Array.from({ length: count }, (_, index) => ({ path: `${index}`, text: card(index) })),
    ];
    const relink = (count: number) => {
        const project = parseProject(files(count));
        expect(project.findings).toEqual([]);
        const times = Array.from({ length: 7 }, () => {
            const began = performance.now();
            parseProject(files(count), project);
            return performance.now() - began;
        });
        return Math.min(...times);
    };
    relink(50);
    // Eight times the cards: about eight times the time, nowhere near sixty-four.
    expect(relink(1000) / relink(125)).toBeLessThan(30);
});
