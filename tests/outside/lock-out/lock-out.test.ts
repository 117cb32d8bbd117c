/**
 * 29 CFR 1910.147, "The control of hazardous energy (lockout/tagout)", from a retrieved copy.
 * (d): prepare, shut down, operate the isolating devices, affix the lock or tag, relieve stored energy, verify isolation before work starts.
 * (f)(1), for a test: i clear tools and materials, ii remove people, iii remove the devices, iv energise and test, v de-energise all and reapply.
 * Both "in that order". Preparing is what the card is for; the other acts of (d) and the work are six.
 */
import { describe, expect, it } from 'vitest';
import { check } from '../../../language/check.js';

const equipment = `equipment Pump "hydraulic pump" {
  place   FlightDeck "Flight deck"
  place   Bay   "Pump bay"
  breaker CB-1  "PUMP MOTOR" at FlightDeck
  control RUN   "PUMP" at FlightDeck positions OFF, ON
  relay   K     "pump relay" at Bay positions OPEN, CLOSED { goes CLOSED when RUN is ON  goes OPEN otherwise }
  unit    PUMP  "pump" at Bay
  motor   M     "pump motor" in PUMP from CB-1, K
  light   RUN-LT "PUMP ON" at FlightDeck { shows ON when M  shows OFF otherwise }
  mark    SHAFT "pump shaft" at Bay { shows TURNING when M  shows STILL otherwise }
  source  P     "pump pressure" live when M
  seal    RING  "shaft seal" in PUMP carries P
  port    BLEED "bleed port" at Bay carries P
  rule hands: before work on PUMP require CB-1 is PULLED because "It starts without warning."
}
`;

const card = (start: string, lines: readonly string[], otherwise = '') => [
    {
        path: 'lock-out.cotter',
        text: `${equipment}
card 99-LO-1 "pump" {
  uses Pump
  revision "1"
  role deck "Operator" at FlightDeck
  role tech "Technician" at Bay
  start with RUN is ${start}
  step all "All of it" {
    warning "It starts without warning. Pull its breaker."
    ${[...lines, otherwise].join('\n    ')}
  }
}`,
    },
];

function orders<T>(of: readonly T[]): (readonly T[])[] {
    if (of.length === 0) return [[]];
    return of.flatMap((first, n) => orders([...of.slice(0, n), ...of.slice(n + 1)]).map(rest => [first, ...rest]));
}

interface Answer {
    readonly order: readonly string[];
    readonly codes: readonly string[];
    readonly status: string | undefined;
}

function answers(acts: Readonly<Record<string, readonly string[]>>, around: (lines: string[]) => ReturnType<typeof card>): Answer[] {
    return orders(Object.keys(acts)).map(order => {
        const report = check(around(order.flatMap(each => acts[each] ?? [])), {}, { fixes: 'none' });
        const codes = report.findings.filter(each => each.severity !== 'information').map(each => each.code);
        return { order, codes, status: report.cards[0]?.status };
    });
}

describe('29 CFR 1910.147', () => {
    it('(d): of the 720 orders of its six acts one is clean', () => {
        const acts = {
            'shut down': ['deck: set RUN to OFF'],
            isolate: ['deck: pull CB-1'],
            tag: ['deck: tag CB-1'],
            relieve: ['tech: open BLEED'],
            verify: ['deck: set RUN to ON', 'tech: see SHAFT is STILL for 5 s', 'deck: set RUN to OFF'],
            work: ['tech: "Adjust the stroke of [PUMP]."'],
        };
        const all = answers(acts, lines => card('ON', [...lines, 'tech: close BLEED', 'deck: close CB-1', 'deck: set RUN to ON']));
        expect(all).toHaveLength(720);
        expect(all.filter(each => each.status === 'clean').map(each => each.order)).toEqual([Object.keys(acts)]);
        expect(all.filter(each => each.codes.length === 0)).toHaveLength(1);
        // Those whose every look comes out as written, with the work isolated, are for the order alone to answer.
        const alone = all.filter(each => each.codes.every(code => code === 'lock-out-of-order'));
        expect(alone.length).toBeGreaterThan(30);
    });

    it('(f)(1): of the 120 orders of its five acts one is clean', () => {
        const acts = {
            i: ['tech: clear Bay'],
            ii: ['tech: leave Bay'],
            iii: ['deck: close CB-1'],
            iv: ['deck: set RUN to ON', 'deck: see RUN-LT is ON', 'deck: set RUN to OFF'],
            v: ['deck: pull CB-1 and tag'],
        };
        const before = ['deck: pull CB-1 and tag', 'tech: "Adjust the stroke of [PUMP]."'];
        const after = ['tech: "Lock the adjustment of [PUMP]."', 'deck: close CB-1'];
        const all = answers(acts, lines => card('OFF', [...before, ...lines, ...after]));
        expect(all).toHaveLength(120);
        expect(all.filter(each => each.status === 'clean').map(each => each.order)).toEqual([Object.keys(acts)]);
        expect(all.filter(each => each.codes.length === 0)).toHaveLength(1);
    });
});
