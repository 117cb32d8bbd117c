import { describe, expect, it } from 'vitest';
import { measure, type Result, table } from './measure.js';
import { type Kind, kinds } from './mutants.js';
import { reasonFor, reasons } from './reasons.js';

const results = measure();
const told = ({ mutant, codes, differs }: Result) =>
    `${mutant.file}:${mutant.line} ${mutant.says}: ${codes.join(', ')} ${differs}`;
const of = (outcome: Result['outcome'], ...list: readonly Kind[]) =>
    results.filter(each => each.outcome === outcome && (list.length === 0 || list.includes(each.mutant.kind)));

describe('seeded defects', () => {
    it('are made of all kinds', () => {
        expect(results.length).toBeGreaterThanOrEqual(210);
        for (const kind of kinds)
            expect(
                results.some(each => each.mutant.kind === kind),
                kind,
            ).toBe(true);
    });

    it('are all answered where breakers, telling and what is left behind are concerned', () => {
        const all: readonly Kind[] = [
            'drop a close',
            'drop a pull',
            'drop an ensure',
            'drop a tell',
            'drop a connect',
            'drop a disconnect',
            'drop an install',
            'drop a remove',
            'drop an open',
            'drop a clean',
            'drop an apply',
            'drop a press',
            'drop a keep',
            'drop a torque',
            'drop a spare',
        ];
        expect(of('survived', ...all).map(told)).toEqual([]);
    });

    it('are all answered where a wait is concerned', () => {
        expect(of('survived', 'drop a wait', 'shorten a wait').map(told)).toEqual([]);
    });

    it('are answered by a code that the change calls for', () => {
        expect(of('answered otherwise').map(told)).toEqual([]);
    });

    it('are answered or proved harmless in all but a few cases, each with its reason', () => {
        expect(
            of('survived')
                .filter(each => !reasonFor(each.mutant))
                .map(told),
        ).toEqual([]);
        expect(of('survived').length).toBeLessThanOrEqual(15);
        expect(of('answered').length).toBeGreaterThanOrEqual(179);
        for (const reason of reasons) {
            expect(
                of('survived').some(each => reasonFor(each.mutant) === reason),
                reason.because,
            ).toBe(true);
        }
    });

    it('are never answered where running shows that nothing has changed', () => {
        expect(results.filter(each => each.codes.length > 0 && each.differs === '').map(told)).toEqual([]);
    });

    it('are counted by kind', () => {
        const lines = table(results, kinds).split('\n');
        expect(lines).toHaveLength(kinds.length + 2);
        expect(lines.at(-1)).toContain(String(results.length));
    });
});
