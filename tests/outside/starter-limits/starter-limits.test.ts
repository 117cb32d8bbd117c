/**
 * Source: US Army TM 1-1520-238-10, 5.6, starter: at least 60 s between cycles; up to 16 °C two cycles, 3 min, two cycles, 30 min.
 * How long one cycle may last is not taken from there: 30 s is ours. What the language says is the minute between two and the
 * three minutes after every second; the half hour after the fourth it cannot say.
 */
import { describe, expect, it } from 'vitest';
import { check } from '../../../language/check.js';

const card = (rests: readonly string[], lengths: readonly string[] = []) => [
    {
        path: 'starter.cotter',
        text: `equipment Starter "starter" {
  place   FlightDeck "Flight deck"
  control START "START" at FlightDeck positions OFF, MOTOR
  rule starter: keep START at MOTOR at most 30 s then rest 60 s, after 2 times rest 3 min because "The starter overheats."
}
card 99-SL-1 "motor" {
  uses Starter
  revision "1"
  role deck "Operator" at FlightDeck
  step cycles "Motor the engine" {
    caution "The starter overheats."
    ${[...rests, ''].map((rest, n) => `deck: keep START at MOTOR at most ${lengths[n] ?? '30 s'} { wait 10 s }\n    ${rest && `wait ${rest}`}`).join('\n    ')}
  }
}`,
    },
];
const answers = (rests: readonly string[], lengths?: readonly string[]) => check(card(rests, lengths)).findings;

describe('starter limits (TM 1-1520-238-10, 5.6)', () => {
    it.each([[[]], [['60 s']], [['60 s', '3 min']], [['60 s', '3 min', '60 s']], [['2 min', '5 min', '90 s', '180 s', '60 s']]])(
        'keeps within them with rests of %s',
        rests => {
            expect(answers(rests)).toEqual([]);
        },
    );

    it.each([
        [['59 s'], '60 s'],
        [['60 s', '60 s'], '3 min'],
        [['60 s', '179 s'], '3 min'],
        [['60 s', '3 min', '59 s'], '60 s'],
        [['60 s', '3 min', '60 s', '60 s'], '3 min'],
    ])('breaks them with rests of %s', (rests, wanted) => {
        const found = answers(rests);
        expect(found.map(each => each.code)).toEqual(['rest-too-short']);
        expect(found[0]?.message).toContain(wanted);
    });

    it('takes the rest before the fourth, not only before the second', () => {
        expect(answers(['60 s', '3 min', '']).map(each => each.code)).toEqual(['rest-too-short']);
    });

    it('is not held longer than the rule allows', () => {
        expect(answers(['60 s'], ['30 s', '31 s']).map(each => each.code)).toEqual(['kept-too-long']);
    });
});
