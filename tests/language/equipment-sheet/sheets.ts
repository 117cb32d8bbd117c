import { readFileSync } from 'node:fs';
import { globSync } from 'tinyglobby';
import { check, type JudgedEquipment, type SourceFile } from '../../../language/check.js';
import { type EquipmentSheet, equipmentSheet } from '../../../language/readers/equipment-sheet/index.js';

export const filesOf = (...patterns: string[]): SourceFile[] =>
    globSync(patterns)
        .sort()
        .map(path => ({ path, text: readFileSync(path, 'utf8') }));

/** No card is judged: the sheets speak of the equipment alone. */
export const judgedOf = (files: readonly SourceFile[]): readonly JudgedEquipment[] =>
    check(files, {}, { fixes: 'none', only: new Set() })
        .equipments()
        .flatMap(each => each.variants);

export interface Made {
    readonly judged: JudgedEquipment;
    readonly sheet: EquipmentSheet;
}

export const sheetsOf = (files: readonly SourceFile[]): readonly Made[] =>
    judgedOf(files).map(judged => ({ judged, sheet: equipmentSheet(judged) }));

/** The sample, and the example projects: each a project of its own. */
export const projects: readonly (readonly SourceFile[])[] = [
    filesOf('tests/language/sample/valve.cotter'),
    filesOf('examples/northlight/**/*.cotter'),
    ...globSync('examples/faulty/*/cotter.json')
        .sort()
        .map(path => filesOf(path.replace('cotter.json', '*.cotter'))),
];

export const sheetNamed = (files: readonly SourceFile[], name: string, variant?: string): EquipmentSheet => {
    const found = sheetsOf(files).find(
        ({ sheet }) => sheet.name === name && (variant === undefined || sheet.variantShort === variant),
    );
    if (!found) throw new Error(`no sheet of ${name}`);
    return found.sheet;
};

/** One equipment of so many breakers, each with a connector, a motor and a lamp. */
export function large(items: number, label = (n: number) => `drive ${n}`): SourceFile[] {
    const each = Array.from({ length: Math.ceil(items / 4) }, (_, n) =>
        [
            `  breaker CB-${n} "DRIVE ${n}" at Deck grid "A${n}" from BUS rated 5 A wire 22 AWG`,
            `  connector P-${n} "connector P-${n}" at Deck`,
            `  motor M-${n} "${label(n)}" at Deck from CB-${n}, P-${n}`,
            `  light L-${n} "DRIVE ${n} ON" at Deck from BUS { shows ON when M-${n}  shows OFF otherwise }`,
        ].join('\n'),
    );
    return [
        {
            path: 'large.cotter',
            text: `equipment Large "Large" {\n  place Deck "Deck"\n  source BUS "bus"\n${each.join('\n')}\n}\n`,
        },
    ];
}
