/**
 * Source: none; common practice. Where two motors drive one shaft, a dead one is masked as long as the other runs: each is proved
 * alone, with the other isolated.
 */
import { describe, expect, it } from 'vitest';
import { check } from '../../../language/check.js';
import { judgeAll } from '../../judge.js';

const equipment = `equipment Actuator "flap actuator" {
  place   FlightDeck "Flight deck"
  place   Bay  "Flap bay"
  breaker CB-1 "FLAP MOTOR 1" at FlightDeck
  breaker CB-2 "FLAP MOTOR 2" at FlightDeck
  control FLAP "FLAP" at FlightDeck positions UP, DOWN
  motor   M1   "motor 1" at Bay from CB-1
  motor   M2   "motor 2" at Bay from CB-2
  mechanism SHAFT "flap shaft" at Bay positions UP, DOWN {
    goes DOWN in 8 s when FLAP is DOWN and (M1 or M2)
    goes UP in 8 s when FLAP is UP and (M1 or M2)
  }
  mark    POS  "position mark" at Bay { shows DOWN when SHAFT is DOWN  shows UP otherwise }
}
`;

/** The test of one motor, with the breakers pulled that are given. */
const drive = (motor: string, pulled: readonly string[]) => `
  test proves_${motor.toLowerCase()} "${motor}" of ${motor} {
    ${pulled.map(each => `deck: pull ${each} and tag`).join('\n    ')}
    deck: set FLAP to DOWN
    tech: see POS is DOWN within 10 s
    deck: set FLAP to UP
    tech: see POS is UP within 10 s
    ${pulled.map(each => `deck: close ${each}`).join('\n    ')}
  }`;

const card = (first: readonly string[], second: readonly string[]) => [
    {
        path: 'pair.cotter',
        text: `${equipment}
card 99-RP-1 "pair" {
  uses Actuator
  revision "1"
  role deck "Operator" at FlightDeck
  role tech "Technician" at Bay
${drive('M1', first)}
${drive('M2', second)}
}`,
    },
];

/** Failures of what the tests name, and whether some look of the card reveals them. */
function revealed(sources: ReturnType<typeof card>): Record<string, boolean> {
    const [judged] = judgeAll(sources);
    const tested = judged?.failures.filter(each => each.class === 'tested') ?? [];
    return Object.fromEntries(tested.map(({ failure, revealedBy }) => [`${judged?.machine.items[failure.item]?.name} ${failure.word}`, revealedBy.length > 0]));
}

describe('a redundant pair', () => {
    const alone = card(['CB-2'], ['CB-1']);
    const together = card([], []);

    it('is proved motor by motor with the other isolated', () => {
        expect(check(alone).findings).toEqual([]);
        expect(revealed(alone)).toEqual({ 'M1 DEAD': true, 'M2 DEAD': true });
    });

    it('hides a dead motor behind the other while both run', () => {
        expect(revealed(together)).toEqual({ 'M1 DEAD': false, 'M2 DEAD': false });
        const { findings } = check(together);
        expect(findings.map(each => each.code)).toEqual(['test-not-isolated', 'test-not-isolated']);
        expect(findings[0]?.message).toContain('M2 (motor 2) does its work');
        expect(findings[1]?.message).toContain('M1 (motor 1) does its work');
    });

    it('says which breaker to pull, and pulling it is enough', () => {
        const sources = card(['CB-2'], []);
        const { findings } = check(sources);
        expect(findings.map(each => each.code)).toEqual(['test-not-isolated']);
        expect(findings[0]?.fixes[0]?.title).toContain('CB-1');
        expect(check(card(['CB-2'], ['CB-1'])).findings).toEqual([]);
    });

    it('proves nothing where the motor itself is isolated', () => {
        const { findings } = check(card(['CB-1'], ['CB-1']));
        expect(findings.map(each => each.code)).toContain('test-not-isolated');
        expect(findings.filter(each => each.code === 'test-not-isolated').map(each => each.message).join()).toContain('M1 (motor 1)');
    });
});
