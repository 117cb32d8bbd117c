import { readFileSync } from 'node:fs';
import { HtmlValidate } from 'html-validate';
import { globSync } from 'tinyglobby';
import { describe, expect, test } from 'vitest';
import { check, type JudgedCard } from '../../../language/check.js';
import { renderFinishedCard } from '../../../language/html/index.js';
import type { FinishedCard, Line } from '../../../language/readers/finished-card/card.js';
import { finishedCard } from '../../../language/readers/finished-card/index.js';
import { wordsOf } from '../../../language/vocabulary/sentences.js';

const judgedOf = (patterns: string[]): readonly JudgedCard[] => {
    const files = globSync(patterns).map(path => ({ path, text: readFileSync(path, 'utf8') }));
    return check(files, {}, { fixes: 'none' }).judged;
};
const cardOf = (judged: JudgedCard): FinishedCard => finishedCard(judged, judged.status, judged.digest());
const all = (lines: readonly Line[]): readonly Line[] =>
    lines.flatMap(line => [line, ...line.blocks.flatMap(block => all(block.lines))]);
const linesOf = (card: FinishedCard): readonly Line[] => all(card.steps.flatMap(step => step.lines));

describe('the finished card of the sample', () => {
    const cards = judgedOf(['tests/language/sample/valve.cotter']).map(cardOf);
    const [without, withLamp] = cards as [FinishedCard, FinishedCard];
    const say = (card: FinishedCard) => (number: string) => {
        const found = linesOf(card).find(line => line.number === number);
        return found && `${found.by}: ${wordsOf(found.sentence)}`;
    };

    test('is made for each variant of the aircraft, and says which', () => {
        expect(cards.map(card => card.variant)).toEqual([
            ['Without Modification 29-14 (position lamp added)'],
            ['With Modification 29-14 (position lamp added)'],
        ]);
        expect(without).toMatchObject({ minutes: 85, effort: 'About 85 minutes, three persons', leftOpen: '' });
    });

    test('says each act in a line, by whom, with the labels of the equipment', () => {
        const line = say(without);
        expect(line('1.1')).toBe(
            'Flight-deck operator: Pull CB-217 (HYD 2 ISOL VALVE MOTOR A) and CB-218 (HYD 2 ISOL VALVE MOTOR B), and tag them.',
        );
        expect(line('1.2')).toBe('Technician: Remove the inboard wheel-well panel 147BL.');
        expect(line('1.6')).toBe('Technician: Check that the position mark stays IN-LINE for 6 s.');
        expect(line('1.6c')).toBe(': Stop. The valve is not isolated.');
        expect(line('2.4')).toBe(
            'Independent inspector: The seat of the isolation valve actuator is clean and the packing ring is new.',
        );
        expect(line('4.12')).toBe(': Wait 90 s.');
    });

    test('prints what is open at the stop', () => {
        expect(linesOf(without).flatMap(({ number, open, moved }) => (open ? [[number, open, moved]] : []))).toEqual([
            [
                '1.6c',
                'CB-217 and CB-218 pulled and tagged, panel 147BL removed, bleed port open',
                'isolation valve perhaps moving to OPEN',
            ],
        ]);
    });

    test('lists the breakers with every line that pulls or closes them', () => {
        expect(without.breakers.map(({ grid, name, pulled, closed }) => [grid, name, pulled, closed])).toEqual([
            ['C7', 'CB-217', ['1.1', '4.1'], ['3.4', '6.1']],
            ['D7', 'CB-218', ['1.1'], ['4.3']],
        ]);
    });

    test('says under every tell which setting of the switch it clears, and the tells are all of them', () => {
        const cleared = linesOf(without).flatMap(({ number, clears }) => clears.map(each => [number, each.number]));
        expect(cleared).toEqual([
            ['1.4', '1.5'],
            ['1.6a', '1.6b'],
            ['1.7', '1.8'],
            ['3.3', '3.5'],
            ['3.8', '3.9'],
            ['4.2', '4.4'],
            ['4.7', '4.8'],
        ]);
        const tells = linesOf(without).filter(line => wordsOf(line.sentence).startsWith('Tell '));
        expect(tells.map(line => line.number)).toEqual(cleared.map(([tell]) => tell));
    });

    test('has the lines of a modification only where the aircraft has it, and says so before the line', () => {
        const lamp = (card: FinishedCard) =>
            linesOf(card)
                .filter(line => line.only)
                .map(line => [line.only, wordsOf(line.sentence)]);
        expect(lamp(without)).toEqual([]);
        expect(lamp(withLamp)).toHaveLength(4);
        expect(lamp(withLamp)[0]).toEqual(['Only with Modification 29-14.', 'Check that HYD 2 ISOL SHUT is ON.']);
    });
});

describe('every example card', () => {
    const folders = globSync('examples/{northlight,faulty/*}', { onlyDirectories: true, expandDirectories: false });
    const judged = folders.flatMap(folder => judgedOf([`${folder}/**/*.cotter`]));

    test('there are some', () => expect(judged.length).toBeGreaterThan(8));

    test.each(judged.map(one => [`${one.plan.file} ${one.plan.card}`, one] as const))('%s', async (_, one) => {
        const card = cardOf(one);
        const numbers = linesOf(card).map(line => line.number);
        expect(new Set(numbers).size).toBe(numbers.length);
        expect(structuredClone(card)).toEqual(card);
        const rules = { 'long-title': 'off' } as const;
        const extended = ['html-validate:recommended', 'html-validate:a11y'];
        const report = await new HtmlValidate({ extends: extended, rules }).validateString(renderFinishedCard(card));
        expect(report.results.flatMap(result => result.messages)).toEqual([]);
        // What is left otherwise than found at the end is a finding, so a clean card leaves nothing.
        if (one.status.status === 'clean') expect(card.leftOpen).toBe('');
    });
});
