import { readdirSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { check } from '../../language/check.js';
import { marksOf, textsIn, unlike } from '../marks.js';

describe('the example cards', () => {
    it('are eleven, and clean with nothing accepted', () => {
        const { findings, cards } = check(textsIn('examples/northlight'));
        expect(findings).toEqual([]);
        expect(cards.map(card => `${card.name} ${card.status}`).sort()).toEqual([
            'T84-05-21-01 clean',
            'T84-24-31-01 clean',
            'T84-24-31-02 clean',
            'T84-26-15-02 clean',
            'T84-29-11-04 clean',
            'T84-29-13-01 clean',
            'T84-29-13-02 clean',
            'T84-30-61-02 clean',
            'T84-32-41-01 clean',
            'T84-32-41-02 clean',
            'T84-79-21-01 clean',
        ]);
    });
});

describe('the faulty cards', () => {
    const families = readdirSync('examples/faulty').sort();

    it('are one for each family of checks', () => {
        expect(families).toEqual(
            ['equipment', 'expectation', 'isolation', 'left-behind', 'people', 'text', 'time', 'words', 'work'].sort(),
        );
    });

    it.each(families)('%s: has exactly the findings that it says', family => {
        const files = textsIn(`examples/faulty/${family}`);
        expect(files.flatMap(marksOf)).not.toEqual([]);
        expect(unlike(files, check(files).findings)).toEqual([]);
        expect(files.every(file => file.text.startsWith('// What a reader would miss: '))).toBe(true);
    });
});
