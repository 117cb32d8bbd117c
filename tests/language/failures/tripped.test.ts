/** A breaker is TRIPPED by failure alone: it can be looked for, and nobody can bring it about. */
import { expect, test } from 'vitest';
import { check } from '../../../language/check.js';

const text = (lines: string): string => `
equipment Indicator "Turn indicator" {
  place   FlightDeck "Flight deck"
  breaker CB-41 "NAV TURN" at FlightDeck grid "B2"
  light   FLAG  "OFF flag" at FlightDeck from CB-41 { shows HIDDEN when CB-41 is CLOSED  shows VISIBLE otherwise }
}
card T84-34-21-01 "Turn indicator: check" {
  uses Indicator
  revision "1" dated "2026-02-03"
  role deck "Technician" at FlightDeck
  step check "Check" {
    ${lines}
  }
}`;
const answers = (lines: string): string[] => {
    const { findings, cards } = check([{ path: 'a.cotter', text: text(lines) }], {}, { fixes: 'none' });
    return [...findings.map(each => `${each.code}: ${each.message}`), cards[0]?.status ?? ''];
};

test('a block for a tripped breaker is reached by that failure', () => {
    expect(answers('if deck sees CB-41 is TRIPPED { deck: see FLAG is VISIBLE  stop "It has tripped." }')).toEqual([
        'clean',
    ]);
});

test('without that failure a look for it is contradicted', () => {
    expect(answers('deck: see CB-41 is TRIPPED')[0]).toContain('expectation-contradicted');
});

test('a pulled breaker is not seen to have tripped', () => {
    expect(answers('deck: pull CB-41 and tag  deck: see CB-41 is TRIPPED  deck: close CB-41')[0]).toContain(
        'it is PULLED',
    );
});

test('nobody brings it about', () => {
    expect(answers('deck: ensure CB-41 is TRIPPED')[0]).toContain('only when it fails: nobody brings it there');
});
