import { describe, expect, it } from 'vitest';
import { parseProject } from '../../../language/names/project.js';
import { calledBy, equipmentsOfCard, variantsOf } from '../../../language/plan/variants.js';
import { variantNames } from './show.js';

const where = (names: string) =>
    names
        .split(' ')
        .map(name => `where ${name} { control X-${name} "X" }`)
        .join('\n');
const uses = (names: string, declared: string) =>
    `${declared}\n equipment E "E" { ${where(names)} }\n card C "C" { uses E }`;

describe('the variants of a card', () => {
    it('are one where it mentions no modification', () => {
        expect(variantNames('modification M "M" equipment E "E" { } card C "C" { uses E }')).toEqual(['-']);
    });

    it('are every combination', () => {
        expect(variantNames(uses('A B', 'modification A "A" modification B "B"'))).toEqual(['-', 'B', 'A', 'A B']);
    });

    it('keep "after"', () => {
        expect(variantNames(uses('A B', 'modification A "A" modification B "B" after A'))).toEqual(['-', 'A', 'A B']);
        expect(variantNames(uses('A B', 'modification B "B" after A modification A "A"'))).toEqual(['-', 'A', 'B A']);
    });

    it('keep "not with", also through what comes before', () => {
        expect(variantNames(uses('A B', 'modification A "A" modification B "B" not with A'))).toEqual(['-', 'B', 'A']);
        const through =
            'modification A "A" modification N "N" modification B "B" after N modification C "C" after A, not with N';
        expect(variantNames(uses('B C', through))).toEqual(['-', 'C', 'B']);
    });

    it('never come together where one excludes what it needs', () => {
        expect(variantNames(uses('A B', 'modification A "A" modification B "B" after A, not with A'))).toEqual([
            '-',
            'A',
        ]);
        expect(variantNames(uses('A B', 'modification A "A" after B modification B "B" after A'))).toEqual(['-']);
    });

    it('are refused beyond sixteen', () => {
        const names = ['A1', 'A2', 'A3', 'A4', 'A5'];
        const declared = (count: number) =>
            names
                .slice(0, count)
                .map(name => `modification ${name} "M"`)
                .join('\n');
        const of = (count: number) => {
            const project = parseProject([
                { path: 'a.cotter', text: uses(names.slice(0, count).join(' '), declared(count)) },
            ]);
            return variantsOf(project, project.cards[0] as never);
        };
        expect(of(4).variants).toHaveLength(16);
        expect(of(4).tooMany).toBe(false);
        expect(of(5)).toMatchObject({ tooMany: true, variants: [] });
    });

    it('of forty modifications are found without trying them all', () => {
        const names = Array.from({ length: 40 }, (_, index) => `A${index}`);
        const declared = names
            .map((name, index) => `modification ${name} "M"${index > 0 ? ` after A${index - 1}` : ''}`)
            .join('\n');
        const project = parseProject([{ path: 'a.cotter', text: uses(names.join(' '), declared) }]);
        expect(variantsOf(project, project.cards[0] as never).tooMany).toBe(true);
    });

    it('come from the card, what it calls and the equipment of all of these', () => {
        const text = `
        modification M1 "1" modification M2 "2" modification M3 "3" modification M4 "4" modification M5 "5" modification M6 "6" modification M7 "7"
        equipment Base "B" { where M1 { control A "A" } }
        equipment E "E" uses Base { }
        equipment F "F" { control Z "Z" where M2 { where M3 { control B "B" } } }
        subtask Sub "S" uses F { where M4 { wait 1 s } }
        card Inner "I" { step s "S" { do Sub } where M5 { note "Here." } }
        card C "C" {
          uses E
          role tech "T"
          step a "A" { tech: see A is ON else { for each x in A { where M6 { do Inner } } } }
        }
        card D "D" { where M7 { note "Not here." } }`;
        const project = parseProject([{ path: 'a.cotter', text }]);
        const card = project.cards.find(each => each.name === 'C') as never;
        expect(variantsOf(project, card).modifications.map(each => each.name)).toEqual([
            'M1',
            'M2',
            'M3',
            'M4',
            'M5',
            'M6',
        ]);
        expect(
            equipmentsOfCard(project, card)
                .map(each => each.name)
                .sort(),
        ).toEqual(['Base', 'E', 'F']);
        expect(calledBy(project, card).map(each => each.name)).toEqual(['C', 'Inner', 'Sub']);
    });
});
