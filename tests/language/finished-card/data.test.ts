import { describe, expect, test } from 'vitest';
import type { Line } from '../../../language/readers/finished-card/card.js';
import { finishedCard } from '../../../language/readers/finished-card/index.js';
import { wordsOf } from '../../../language/vocabulary/sentences.js';
import { made } from './made.js';

const { judged, status } = made();
const card = finishedCard(judged, status, '6f2c-91ab');
const all = (lines: readonly Line[]): readonly Line[] =>
    lines.flatMap(line => [line, ...line.blocks.flatMap(block => all(block.lines))]);
const lines = all(card.steps.flatMap(step => step.lines));
const line = (number: string): Line => {
    const found = lines.find(each => each.number === number);
    if (!found) throw new Error(`no line ${number}`);
    return found;
};
const labels = (number: string) => line(number).blanks.map(blank => blank.label);

describe('the data of a finished card', () => {
    test('is plain: it survives a structured clone and holds no markup', () => {
        expect(structuredClone(card)).toEqual(card);
        expect(JSON.stringify(card)).not.toMatch(/[<>]/);
    });

    test('numbers every line that somebody does, on through subtasks, with letters and digits in turn under a line', () => {
        expect(lines.map(each => each.number)).toEqual([
            '1.1',
            '1.2',
            '1.3',
            '1.4',
            '1.5',
            '1.5a',
            '1.5b',
            '1.5c',
            '1.5c1',
            '1.5d',
            '1.6',
            '1.7',
            '1.8',
            '1.8a',
            '1.8b',
            '1.9',
            '1.9a',
            '1.9b',
            '1.9b1',
            '1.9c',
            '1.10',
            '1.11',
            '1.12',
            '1.13',
            '1.14',
            '1.15',
            '1.16',
        ]);
    });

    test('puts the alerts of a line in the order warning, caution, note, whatever order they are written in', () => {
        expect(line('1.1').alerts.map(alert => alert.kind)).toEqual(['warning', 'caution', 'note']);
        expect(line('1.5b').alerts.map(alert => alert.kind)).toEqual(['warning']);
        expect(line('1.7').alerts.map(alert => alert.kind)).toEqual(['caution']);
        expect(card.steps[0]?.closing.map(alert => alert.kind)).toEqual(['note']);
    });

    test('carries the caution word for word', () => {
        expect(card.caution).toBe(
            "Generated from T0, revision 3, text digest 6f2c-91ab. This page is not approved data. The manufacturer's current " +
                'instructions, local regulations and the judgement of licensed staff take precedence. Not released for use until ' +
                "approved under the organisation's own procedure.",
        );
    });

    test('has a head: to what it applies, revision, date written out, time, persons', () => {
        expect(card).toMatchObject({
            number: 'T0',
            title: 'Pump: replace and test',
            applies: 'Serial numbers 1 and on',
            revision: '3',
            date: '1 October 2026',
            variant: ['With Modification M7', 'Without Modification M8'],
            variantShort: 'with M7, without M8',
            minutes: 10,
            effort: 'About 10 minutes, three persons',
        });
    });

    // 14 CFR 43.9(a): description, completion date, name of the performer; signature, certificate number and kind of the approver.
    test('has the blanks of a maintenance record', () => {
        expect(card.blanks.map(blank => blank.label)).toEqual([
            'Registration',
            'Work order',
            'Place',
            'Date',
            'Name',
            'Licence number',
        ]);
        expect(card.signatures).toEqual([
            'Technician',
            'Flight-deck operator',
            'Independent inspector',
            'Approves the work',
        ]);
        expect(card.signatureBlanks).toEqual(['Name', 'Licence and kind', 'Signature', 'Date and time']);
    });

    test('lists breakers with the lines that pull and close them; an `ensure` that finds it so is no pull', () => {
        expect(card.breakers.map(({ name, grid, pulled, closed }) => [name, grid, pulled, closed])).toEqual([
            ['CB-1', 'C7', ['1.1'], ['1.7']],
            ['CB-2', 'D7', ['1.1'], []],
        ]);
    });

    test('says under each tell what it clears', () => {
        const cleared = (number: string) => line(number).clears.map(each => [each.number, wordsOf(each.sentence)]);
        expect(cleared('1.3')).toEqual([['1.4', 'Set SELECTOR to ON.']]);
        expect(cleared('1.5a')).toEqual([['1.5b', 'Set SELECTOR to OFF.']]);
    });

    test('says what is open where the card is left, in the order in which it came about', () => {
        expect(line('1.5d').open).toBe(
            'CB-1 and CB-2 pulled and tagged, panel 12AL removed, SELECTOR at ON, bay floor perhaps wet',
        );
        expect(line('1.8b').open).toBe('nothing; everything is as found');
        expect(card.leftOpen).toBe('CB-2 perhaps pulled, not tagged');
    });

    test('has blanks for waits, timed looks, recorded values with their limits, torque and holds', () => {
        expect(labels('1.14')).toEqual(['Start', 'Finish not before']);
        expect(labels('1.10')).toEqual(['Time taken']);
        expect(labels('1.11')).toEqual(['Start', 'Not before', 'Deadline']);
        expect(labels('1.12')).toEqual(['Start', 'Finish not before', 'Value']);
        expect(line('1.9a').blanks).toEqual([{ label: 'Value', limits: '30 to 40 psi', unit: '' }]);
        expect(line('1.13').blanks).toEqual([{ label: 'Value', limits: '4.2 to 4.8 N·m', unit: '' }]);
        expect(labels('1.15')).toEqual(['Name', 'Licence or stamp', 'Signature', 'Date', 'Time']);
    });

    test('says where to go on after an "If not" that does not leave the card', () => {
        expect(line('1.5').blocks.map(block => block.onward)).toEqual(['']);
        expect(line('1.5c').blocks.map(block => block.onward)).toEqual(['Then go on with 1.5d.']);
        expect(line('1.10').blocks.map(block => block.onward)).toEqual(['Go on with 1.11.']);
    });

    test('lets go of what is held by hand in a line of its own, and before the card is left', () => {
        const said = (number: string) => [line(number).by, wordsOf(line(number).sentence)];
        expect(said('1.9c')).toEqual(['Flight-deck operator', 'Return SELECTOR to OFF.']);
        expect(said('1.9b1')).toEqual(['Flight-deck operator', 'Return SELECTOR to OFF. Stop. The pump is dry.']);
        expect(said('1.5d')).toEqual(['', 'Stop. The pump is not isolated.']);
    });

    test('gives a line the limit of the subtask that it was written in', () => {
        // The step is limited to the same aircraft and says so.
        expect(line('1.4').only).toBe('');
        expect(line('1.7').only).toBe('Only without Modification 8.');
    });

    test('says what is not known and what was accepted', () => {
        expect(card.status).toEqual({
            status: 'unknown',
            word: 'not known',
            why: 'One arm is not judged.',
            unknown: ['One thing could not be worked out.'],
        });
        expect(card.accepted).toEqual([{ code: 'left-wet', name: 'FLOOR', because: 'The floor drains by itself.' }]);
    });
});
