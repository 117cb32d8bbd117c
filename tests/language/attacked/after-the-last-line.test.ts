/** What the card has set going and what happens only when nobody acts any more. */
import { describe, expect, test } from 'vitest';
import { drawnBy } from './drawn.js';

const card = (lines: string): string => `equipment E "e" {
  place FD "Flight deck"
  place WW "Wheel well"
  button A "ALARM TEST" at FD
  control S "S" at FD positions OFF, ON
  relay K1 "latch" at FD positions OPEN, CLOSED { goes CLOSED when A or K1 is CLOSED }
  timer K2 "delay" at FD positions OPEN, CLOSED { goes CLOSED in 10 s when S is ON  goes OPEN otherwise }
  mechanism BT "bottle" at WW positions FULL, EMPTY { goes EMPTY in 30 s when K1 }
  valve V "valve" at WW positions SHUT, OPEN { goes OPEN in 2 s when K2 }
  light L "ALARM" at FD { shows ON when K1  shows OFF otherwise }
  rule full: never BT is EMPTY because "An empty bottle puts out no fire."
  rule clear: before V moves require told FD from WW because "Hands may be near the valve."
}
card X "x" { uses E revision "1" role deck "Operator" at FD role tech "Technician" at WW
  step s "s" { ${lines} } }`;

describe('a rule is judged until nothing moves any more', () => {
    test('after the end', () => {
        expect(drawnBy(card('deck: press A'))).toBe('left-moved rule-broken findings');
        expect(drawnBy(card('tech: "Wipe the floor." deck: set S to ON'))).toBe(
            'control-not-returned not-told findings',
        );
    });
    test('after a stop', () => {
        expect(drawnBy(card('deck: see L is OFF else { deck: press A stop "It is on." }'))).toBe(
            'rule-broken findings',
        );
    });
    test('a look at the end is not waited for', () => {
        expect(drawnBy(card('deck: press A tech: see BT is EMPTY'))).toContain('expectation-contradicted');
    });
});
