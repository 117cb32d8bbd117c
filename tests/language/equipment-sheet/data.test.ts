import { describe, expect, test } from 'vitest';
import { modesOf } from '../../../language/failures/which.js';
import { kindOf } from '../../../language/vocabulary/kinds/index.js';
import { wordsOf } from '../../../language/vocabulary/sentences.js';
import { readEquipment } from './reading.js';
import { type Made, projects, sheetNamed, sheetsOf } from './sheets.js';

/** What stands on this aircraft, read a second time from the text. */
function readFor({ judged, sheet }: Made, project: (typeof projects)[number]) {
    const text = project.find(each => each.path === sheet.file)?.text ?? '';
    const has = new Set(judged.modifications.map(each => `${each.embodied ? '+' : '-'}${each.name}`));
    const here = (each: { readonly equipment: string; readonly arms: readonly string[] }): boolean =>
        each.equipment === sheet.name && each.arms.every(arm => has.has(arm));
    const read = readEquipment(text);
    return { items: read.items.filter(here), rules: read.rules.filter(here) };
}

const all = projects.flatMap(project => sheetsOf(project).map(made => ({ made, read: readFor(made, project) })));

test('there are sheets of many equipments and of both variants of the sample', () => {
    expect(all.length).toBeGreaterThan(15);
    expect(all.map(({ made }) => made.sheet.variantShort)).toEqual(
        expect.arrayContaining(['with M29-14', 'without M29-14']),
    );
    expect(all.flatMap(({ read }) => read.items).length).toBeGreaterThan(100);
});

describe.each(all.map(each => [`${each.made.sheet.name} ${each.made.sheet.variantShort}`, each] as const))(
    '%s',
    (_, { made, read }) => {
        const { sheet, judged } = made;
        const rows = sheet.items.flatMap(group => group.kinds.flatMap(kind => kind.items));

        test('has every item once, with its label, and no other', () => {
            expect(rows.map(each => `${each.name} ${each.label}`).sort()).toEqual(
                read.items.map(each => `${each.name} ${each.label}`).sort(),
            );
        });

        test('prints each normal, and says where the first position was taken for it', () => {
            for (const item of read.items) {
                const row = rows.find(each => each.name === item.name);
                const kind = kindOf(item.kind);
                const own = kind.states === 'declared' ? item.positions[0] : kind.states[0];
                const normal = item.normal || (kind.nature === 'shown' ? '' : own);
                expect({ name: item.name, normal: row?.normal, taken: row?.normalTaken }).toEqual({
                    name: item.name,
                    normal,
                    taken: item.normal === '' && kind.nature !== 'shown' && kind.states === 'declared',
                });
            }
        });

        test('has an edge for each feed and only those, and the table says the same', () => {
            const feeds = read.items.flatMap(item => item.from.map(from => `${from}>${item.name}`)).sort();
            const drawn = sheet.feeds.edges.filter(each => each.kind === 'feed').map(each => `${each.from}>${each.to}`);
            expect(drawn.sort()).toEqual(feeds);
            for (const item of read.items) {
                const row = sheet.feeds.rows.find(each => each.name === item.name);
                expect(row?.from.length ?? 0).toBe(item.from.length);
                for (const from of item.from) expect(row?.from.join(', ')).toContain(from);
            }
        });

        test('says every rule with its reason', () => {
            const said = sheet.rules.map(each => `${each.name}: ${each.because}`);
            for (const rule of read.rules)
                expect(said).toContain(`${rule.name}: ${rule.because.replace(/\[([^\]]+)\]/g, '$1')}`);
            expect(sheet.rules.length).toBeGreaterThanOrEqual(read.rules.length);
        });

        test('has every failure that the machine derives', () => {
            for (const [index, item] of judged.machine.items.entries()) {
                if (item.equipment !== sheet.name) continue;
                const modes = modesOf(judged.machine, index);
                const said = (sheet.failures.find(each => each.name === item.name)?.modes ?? []).map(wordsOf);
                for (const { mode, word } of modes)
                    expect(
                        said.some(each => each.includes(mode === 'STUCK' || mode === 'OWN' ? word : mode)),
                        `${item.name} ${word}`,
                    ).toBe(true);
            }
        });

        test('lists each breaker with grid, rating and wire', () => {
            expect(sheet.breakers.map(each => each.name).sort()).toEqual(
                read.items
                    .filter(each => each.kind === 'breaker')
                    .map(each => each.name)
                    .sort(),
            );
        });

        test('is plain data, the same each time', () => {
            expect(structuredClone(sheet)).toEqual(sheet);
        });
    },
);

describe('the sheet of the sample', () => {
    const [sample = []] = projects;
    const sheet = sheetNamed(sample, 'Hyd2', 'with M29-14');
    const sentences = sheet.behaviour.flatMap(each => each.sentences.map(wordsOf));

    test('says places, behaviour and rules in sentences', () => {
        expect(sheet.places.map(each => wordsOf(each.sentence))).toEqual([
            'Left main wheel well.',
            'Valve bay, in Left main wheel well, behind the inboard wheel-well panel 147BL.',
        ]);
        expect(sentences).toContain(
            'The isolation valve goes SHUT in 4 s when HYD 2 ISOLATION is SHUT and (motor A runs or motor B runs).',
        );
        expect(sentences).toContain(
            'The No. 2 system pressure is live when HYD 2 ELEC PUMP is ON and the 28 V DC essential bus is live.',
        );
        expect(sentences).toContain('The position mark shows ACROSS otherwise.');
        expect(Object.fromEntries(sheet.rules.map(each => [each.name, wordsOf(each.sentence)]))).toMatchObject({
            hands: 'Before work on the isolation valve actuator: CB-217 (HYD 2 ISOL VALVE MOTOR A) is PULLED and CB-218 (HYD 2 ISOL VALVE MOTOR B) is PULLED.',
            clear: 'Before HYD 2 ISOLATION is set: the flight deck has been told from the left main wheel well.',
            moves: 'Before the isolation valve moves: the flight deck has been told from the left main wheel well.',
            decay: 'Before the bleed port is closed: HYD 2 ELEC PUMP has been OFF for at least 90 s.',
            loaded: 'To test the isolation valve: the No. 2 system pressure is live.',
        });
    });

    test('says what is lost with each breaker, and what both motors share', () => {
        expect(sheet.breakers.map(each => [each.name, each.lost])).toEqual([
            ['CB-217', 'motor A (MA)'],
            ['CB-218', 'motor B (MB)'],
        ]);
        expect(sheet.shared).toEqual([
            {
                alternatives: 'motor A runs or motor B runs',
                serves: 'the isolation valve goes SHUT or goes OPEN',
                lostWith: ['28 V DC essential bus (ESS)', 'isolation valve actuator (ACT)'],
            },
        ]);
    });

    test('says which line is of one modification only', () => {
        const light = sheet.items
            .flatMap(group => group.kinds.flatMap(kind => kind.items))
            .find(each => each.name === 'SHUT-LT');
        expect(light?.only).toBe('Only with Modification 29-14.');
        expect(sheetNamed(sample, 'Hyd2', 'without M29-14').feeds.edges.map(each => each.to)).not.toContain('SHUT-LT');
    });

    test('a leak shows at the area that it wets and nowhere else', () => {
        expect(sheet.failures.find(each => each.name === 'BLEED')?.seenAt).toEqual(['bleed port seat (DRIP)']);
    });
});

test('like connectors that may be crossed are named, and beyond four the rest in one', () => {
    const parts = Array.from(
        { length: 8 },
        (_, n) =>
            `source B${n} "b${n}" connector P-${n} "plug P-${n}" at Here motor M-${n} "m${n}" at Here from B${n}, P-${n}`,
    );
    const text = `equipment E "E" { place Here "Here"\n${parts.join('\n')}\n}`;
    const crossed = sheetNamed([{ path: 'e.cotter', text }], 'E').failures.map(each =>
        each.modes.map(wordsOf).filter(mode => mode.startsWith('CROSSED')),
    );
    const of = (n: number) => crossed.filter(each => each.length > 0)[n];
    expect(of(0)).toEqual([
        'CROSSED with plug P-1, plug P-2, plug P-3, plug P-4 or another there that is not keyed: each is where the other belongs.',
    ]);
    expect(of(5)).toEqual(['CROSSED with plug P-6 or plug P-7: each is where the other belongs.']);
});

describe('what the text does not say', () => {
    const of = (parts: string): Record<string, readonly string[]> => {
        const text = `equipment E "E" { place Here "Here"\n${parts}\n}`;
        return Object.fromEntries(
            sheetNamed([{ path: 'e.cotter', text }], 'E').unsaid.map(each => [each.what, each.things]),
        );
    };

    /** For each: a text that leaves it out, the thing named, and the same text with it said. */
    test.each([
        ['Breakers without a grid position', 'breaker CB-1 "X" at Here', 'breaker CB-1 "X" at Here grid "A1"'],
        ['Breakers without a rating', 'breaker CB-1 "X" at Here', 'breaker CB-1 "X" at Here rated 5 A'],
        ['Breakers without a wire', 'breaker CB-1 "X" at Here', 'breaker CB-1 "X" at Here wire 20 AWG'],
        [
            'Breakers of which nothing says what feeds them',
            'source B "b" breaker CB-1 "X" at Here',
            'source B "b" breaker CB-1 "X" at Here from B',
        ],
        ['Things that nothing feeds', 'source B "b" motor M "m" at Here', 'source B "b" motor M "m" at Here from B'],
        [
            'Sources that are always live',
            'control S "S" at Here positions OFF, ON source B "b"',
            'control S "S" at Here positions OFF, ON source B "b" live when S is ON',
        ],
        [
            'Positions of which nothing says which is normal',
            'control S "S" at Here positions OFF, ON',
            'control S "S" at Here positions OFF, ON normal OFF',
        ],
        ['Units and fasteners without a torque', 'unit U "u" at Here', 'unit U "u" at Here torque 4 to 5 N·m'],
        ['Fasteners without a thread', 'fastener F "bolt" at Here', 'fastener F "bolt" at Here thread "1/4-28"'],
        ['Things of which nothing says where they are', 'unit U "u"', 'unit U "u" at Here'],
        [
            'Seals and ports that carry nothing',
            'source W "w" seal R "ring" at Here',
            'source W "w" seal R "ring" at Here carries W',
        ],
        [
            'Joints that carry something and wet nothing',
            'source W "w" area A "a" at Here seal R "ring" at Here carries W',
            'source W "w" area A "a" at Here seal R "ring" at Here carries W wets A',
        ],
        [
            'Areas that nothing wets',
            'source W "w" area A "a" at Here seal R "ring" at Here carries W',
            'source W "w" area A "a" at Here seal R "ring" at Here carries W wets A',
        ],
        ['Connectors that are not keyed', 'connector P "plug" at Here', 'connector P "plug" at Here keyed'],
        [
            'Movements without a time',
            'control S "S" at Here positions A, B valve V "v" at Here positions A, B { goes B when S is B }',
            'control S "S" at Here positions A, B valve V "v" at Here positions A, B { goes B in 3 s when S is B }',
        ],
        [
            'Positions that no movement reaches',
            'control S "S" at Here positions A, B valve V "v" at Here positions A, B, C { goes B when S is B }',
            'control S "S" at Here positions A, B valve V "v" at Here positions A, B { goes B when S is B }',
        ],
        [
            'Things that move, with no movement written',
            'control S "S" at Here positions A, B valve V "v" at Here positions A, B',
            'control S "S" at Here positions A, B valve V "v" at Here positions A, B { goes B when S is B }',
        ],
        [
            'Things that show something, with nothing written that they show',
            'light L "L" at Here',
            'light L "L" at Here { shows ON otherwise }',
        ],
        [
            'Controls and buttons that nothing asks for',
            'control S "S" at Here positions A, B light L "L" at Here',
            'control S "S" at Here positions A, B light L "L" at Here { shows ON when S is B }',
        ],
        [
            'Things on which nothing rests',
            'source B "b" light L "L" at Here',
            'source B "b" light L "L" at Here from B',
        ],
        [
            'Units, ports, controls and things that move, of which no rule speaks',
            'unit U "u" at Here control S "S" at Here positions A, B rule r: before set S require S is A',
            'unit U "u" at Here control S "S" at Here positions A, B rule r: before work on U require S is A',
        ],
        [
            'Rules without a reason',
            'control S "S" at Here positions A, B rule r: before set S require S is A',
            'control S "S" at Here positions A, B rule r: before set S require S is A because "So."',
        ],
        ['Rules', 'unit U "u" at Here', 'unit U "u" at Here rule r: never U is REMOVED'],
        [
            'Locks and pins that hold nothing',
            'unit U "u" at Here lock K "k" at Here',
            'unit U "u" at Here lock K "k" at Here holds U',
        ],
        [
            'Two things called the same',
            'unit U "u" at Here unit V "u" at Here',
            'unit U "u" at Here unit V "v" at Here',
        ],
        ['Gauges that nothing feeds', 'source B "b" gauge G "g" at Here', 'source B "b" gauge G "g" at Here from B'],
        [
            'Parts that need no measurement and no inspector after work',
            'unit U "u" at Here',
            'unit U "u" at Here inspected',
        ],
        [
            'Joints that wet something and carry nothing',
            'source W "w" area A "a" at Here seal R "ring" at Here wets A',
            'source W "w" area A "a" at Here seal R "ring" at Here carries W wets A',
        ],
        [
            'Units that nothing locks or holds, and in which nothing is',
            'unit U "u" at Here',
            'unit U "u" at Here seal R "r" in U',
        ],
        [
            'Things that say nothing for every other case',
            'control S "S" at Here positions A, B light L "L" at Here { shows ON when S is B }',
            'control S "S" at Here positions A, B light L "L" at Here { shows ON when S is B shows OFF otherwise }',
        ],
    ])('%s', (what, without, withIt) => {
        expect(of(without)).toHaveProperty([what]);
        const left = of(withIt)[what] ?? [];
        expect(left.length).toBeLessThan((of(without)[what] ?? []).length);
    });

    test('a place without a cover', () => {
        const what = 'Places of which nothing says what covers them';
        expect(of('panel 1AL "p" at Here place Bay "Bay" in Here')[what]).toEqual(['Here', 'Bay']);
        expect(of('panel 1AL "p" at Here place Bay "Bay" in Here behind 1AL')[what]).toEqual(['Here']);
    });
});
