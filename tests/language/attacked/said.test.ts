/** What is said must be true of the card that it is said of. */
import { describe, expect, test } from 'vitest';
import { check } from '../../../language/check.js';
import { drawnBy, saidOf } from './drawn.js';

const timer = `control SW "SW" at FD positions OFF, ON
timer T "delay" at FD positions OPEN, CLOSED { goes CLOSED in 10 to 12 s when SW is ON  goes OPEN in 5 s when SW is OFF }
light LT "LT" at FD { shows ON when T  shows OFF otherwise }`;
const valve = `control SW "SW" at FD positions OFF, ON
valve V "valve" at FD positions SHUT, OPEN { goes OPEN in 10 s when SW is ON }`;

describe('expectation-contradicted', () => {
    test('does not say that nothing changes what is about to change', () => {
        const [said] = saidOf(
            'expectation-contradicted',
            timer,
            'step s "s" { deck: set SW to ON wait 11 s deck: see LT is ON deck: set SW to OFF wait 5 s }',
        );
        expect(said).toContain('it is OFF, because T (delay) is still on its way to CLOSED since line 5.');
    });
    test('says of what is looked at that it is still moving', () => {
        const [said] = saidOf(
            'expectation-contradicted',
            valve,
            'step s "s" { deck: set SW to ON deck: see V is OPEN }',
        );
        expect(said).toContain('it is still on its way to OPEN since line 4.');
    });
});

test('left-moved says of what has stopped on its way that it rests between its positions', () => {
    expect(saidOf('left-moved', valve, 'step s "s" { deck: set SW to ON wait 5 s deck: set SW to OFF }')[0]).toContain(
        'V (valve) rests between its positions when the card ends',
    );
});

test('test-not-isolated names nothing as doing the work of a lamp that is looked at itself', () => {
    const [said] = saidOf(
        'test-not-isolated',
        timer,
        'test t "t" of LT { deck: set SW to ON wait 12 s deck: see LT is ON deck: set SW to OFF wait 5 s }',
    );
    expect(said).toContain('stuck at ON');
    expect(said).not.toContain('its work');
});

test('a rule that asks for a time not to have passed names the time', () => {
    const rule = 'rule r: before set SW require not B is ON for at least 30 s because "Heat."';
    const [said] = saidOf(
        'rule-broken',
        `control SW "SW" at FD positions OFF, ON control B "B" at FD positions OFF, ON ${rule}`,
        'step s "s" { deck: set B to ON wait 40 s deck: set SW to ON deck: set SW to OFF deck: set B to OFF }',
    );
    expect(said).toContain('while B is ON for at least 30 s');
});

describe('accept-unused', () => {
    test('says that there is no such check, and which may be meant', () => {
        const [said] = saidOf(
            'accept-unused',
            valve,
            'step s "s" { accept breaker-left-puled because "x" deck: see V is SHUT }',
        );
        expect(said).toBe(
            'There is no check named breaker-left-puled, so nothing is accepted. Did you mean breaker-left-pulled?',
        );
    });
    test('says what cannot be accepted', () => {
        const [said] = saidOf(
            'accept-unused',
            valve,
            'step s "s" { accept not-judged because "x" deck: see SW is OFF else { deck: set SW to OFF } }',
        );
        expect(said).toContain('not-judged cannot be accepted');
    });
});

test('a card done by a role that the card has not is said where it is done', () => {
    const text = (
        roles: string,
    ): string => `equipment E "e" { place FD "Flight deck" control SW "SW" at FD positions OFF, ON }
card Y "y" { uses E revision "1" role guard "Fire guard" at FD step s "s" { guard: see SW is OFF } }
card X "x" { uses E revision "1" role deck "Operator" at FD ${roles} step s "s" { do Y } }`;
    expect(drawnBy(text(''))).toBe('wrong-arguments unknown');
    expect(drawnBy(text('role guard "Guard" at FD'))).toBe('clean');
});

test('the fix at the end of a test says what is done', () => {
    const text = `equipment E "e" { place FD "Flight deck" control SW "SW" at FD positions OFF, ON
light L "L" at FD { shows ON when SW is ON  shows OFF otherwise }
rule r: at end of test L require SW is OFF because "It heats." }
card X "x" { uses E revision "1" role deck "Operator" at FD
test t "t" of L { deck: see L is OFF deck: set SW to ON deck: see L is ON }
step s "s" { deck: set SW to OFF } }`;
    const broken = check([{ path: 'a.cotter', text }]).findings.find(each => each.code === 'rule-broken');
    // What is done later already, and would be so by then, only makes sure from now on.
    expect(broken?.fixes[0]?.title).toBe('Set SW to OFF at the end of the test, and only make sure of it later');
});
