/** Cards that as written leave early, or take an else that nothing at the start accounts for. */
import { describe, expect, test } from 'vitest';
import { drawn } from './drawn.js';

const lamps = `control SW "SW" at FD positions OFF, ON
control S2 "S2" at FD positions OFF, ON
light LT "LT" at FD { shows ON when SW is ON  shows OFF otherwise }
light L2 "L2" at FD { shows ON when S2 is ON  shows OFF otherwise }`;
const timer = `control SW "SW" at FD positions OFF, ON
timer T "t" at FD positions OPEN, CLOSED { goes CLOSED in 10 to 12 s when SW is ON  goes OPEN otherwise }
light LT "LT" at FD { shows ON when T  shows OFF otherwise }`;

describe('an else that is taken as written', () => {
    test('contradicts the look where nothing at the start says that it is taken', () => {
        const forgotten = 'deck: see LT is ON else { stop "Replace the lamp." }';
        expect(drawn(lamps, `step s "s" { ${forgotten} }`)).toBe('expectation-contradicted findings');
        expect(drawn(lamps, 'step s "s" { deck: see LT is ON else { wait 1 s } }')).toBe(
            'expectation-contradicted findings',
        );
        // The start speaks of something else.
        expect(drawn(lamps, `start with S2 is OFF step s "s" { ${forgotten} }`)).toBe(
            'expectation-contradicted findings',
        );
    });
    test('is as the start says where what keeps the look has stood so from there', () => {
        const mended = 'step s "s" { deck: see LT is ON else { deck: set SW to ON } deck: set SW to OFF }';
        expect(drawn(lamps, `start with SW is OFF ${mended}`)).toBe('clean');
        expect(drawn(lamps, `start with SW is OFF or ON ${mended}`)).toBe('clean');
        expect(
            drawn(
                lamps,
                'start with SW is OFF step s "s" { deck: see SW is ON else { deck: set SW to ON } deck: set SW to OFF }',
            ),
        ).toBe('clean');
    });
    test('contradicts the look where only the pace of a movement decides', () => {
        const body =
            'deck: set SW to ON wait 11 s deck: see LT is ON else { wait 1 s deck: see LT is ON } deck: set SW to OFF';
        expect(drawn(timer, `start with SW is OFF step s "s" { ${body} }`)).toBe('expectation-contradicted findings');
    });
});

describe('a step done again until it is so', () => {
    const again = (times: number): string =>
        `step on "on" { deck: set SW to ON }
        step s "s" { deck: see LT is ON within 5 s else { repeat step s at most ${times} times } }
        step off "off" { deck: set SW to OFF }`;
    test('contradicts nothing where it is so in the end', () => expect(drawn(timer, again(2))).toBe('clean'));
    test('contradicts where it is never so', () => {
        expect(drawn(timer, again(1))).toBe('expectation-contradicted findings');
        expect(drawn(lamps, 'step s "s" { deck: see LT is ON else { repeat step s at most 3 times } }')).toBe(
            'expectation-contradicted findings',
        );
    });
});

describe('what stands where the card as written never comes', () => {
    test('is not judged after a look whose else leaves', () => {
        const after = 'deck: see LT is ON else { stop "Off." } deck: see L2 is ON';
        expect(drawn(lamps, `start with SW is OFF step s "s" { ${after} }`)).toBe('not-judged unknown');
    });
    test('is not judged after an if that leaves, in this step or the next', () => {
        expect(
            drawn(
                lamps,
                'start with SW is OFF step s "s" { if deck sees SW is OFF { stop "Off." } } step t "t" { deck: see L2 is ON }',
            ),
        ).toBe('not-judged unknown');
    });
    test('is nothing where nothing stands there', () => {
        expect(drawn(lamps, 'start with SW is OFF step s "s" { if deck sees SW is OFF { stop "Off." } }')).toBe(
            'clean',
        );
        expect(drawn(lamps, 'step s "s" { deck: see LT is OFF stop "That is all." }')).toBe('clean');
    });
    test('is judged where one of the states left open leads on', () => {
        expect(
            drawn(
                lamps,
                'start with SW is OFF or ON step s "s" { if deck sees SW is OFF { stop "Off." } deck: see L2 is ON deck: set SW to OFF }',
            ),
        ).toBe('expectation-contradicted findings');
    });
});
