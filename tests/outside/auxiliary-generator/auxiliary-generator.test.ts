/**
 * Source: none; common practice. An auxiliary generator is started no sooner than 3 s after its supply was switched on, so that
 * its controller has tested itself, and keeps its supply for about 2 min after it was stopped, so that the controller can
 * finish the shutdown.
 */
import { describe, expect, it } from 'vitest';
import { check } from '../../../language/check.js';

const card = (beforeStart: string, afterStop: string) => [
    {
        path: 'generator.cotter',
        text: `equipment Aux "auxiliary generator" {
  place   FlightDeck "Flight deck"
  control SUPPLY "AUX SUPPLY" at FlightDeck positions OFF, ON
  control RUN    "AUX GEN"    at FlightDeck positions STOP, RUN
  light   AVAIL  "AUX AVAIL"  at FlightDeck { shows ON when SUPPLY is ON and RUN is RUN  shows OFF otherwise }
  rule awake: before set RUN require SUPPLY is ON for at least 3 s or RUN is RUN
  rule done:  while RUN is RUN require SUPPLY is ON
  rule cool:  before set SUPPLY require RUN is STOP for at least 2 min because "The controller has not finished the shutdown."
}
card 99-AG-1 "run" {
  uses Aux
  revision "1"
  role deck "Operator" at FlightDeck
  start with RUN is STOP for at least 2 min
  test run "Run it" of AVAIL {
    caution "The controller has not finished the shutdown until 2 min have passed."
    deck: set SUPPLY to ON
    ${beforeStart}
    deck: set RUN to RUN
    deck: see AVAIL is ON
    deck: set RUN to STOP
    deck: see AVAIL is OFF
    ${afterStop}
    deck: set SUPPLY to OFF
  }
}`,
    },
];
const answers = (beforeStart: string, afterStop: string) =>
    check(card(beforeStart, afterStop)).findings.map(each => `${each.code}: ${each.message}`);

describe('an auxiliary generator', () => {
    it.each([
        ['wait 3 s', 'wait 2 min'],
        ['wait 5 s', 'wait 120 s'],
        ['deck: see AVAIL is OFF for 3 s', 'wait 3 min'],
        ['wait 1 s wait 2 s', 'wait 1 min wait 60 s'],
    ])('is content with %s and %s', (start, stop) => {
        expect(answers(start, stop)).toEqual([]);
    });

    it.each([
        ['', 0],
        ['wait 2 s', 2],
        // A limit is no wait: the look may be over at once.
        ['deck: see AVAIL is OFF within 10 s', 0],
    ])('is started too soon with "%s"', (start, seconds) => {
        const [only, ...rest] = answers(start, 'wait 2 min');
        expect(rest).toEqual([]);
        expect(only).toMatch(/^wait-too-short/);
        expect(only).toContain(`${seconds} s only`);
        expect(only).toContain('at least 3 s');
    });

    it.each([
        ['', '0 s'],
        ['wait 119 s', '119 s'],
        ['wait 1 min', '60 s'],
    ])('loses its supply too soon with "%s"', (stop, seconds) => {
        const [only, ...rest] = answers('wait 3 s', stop);
        expect(rest).toEqual([]);
        expect(only).toMatch(/^wait-too-short/);
        expect(only?.replace('1 min only', '60 s only')).toContain(`${seconds} only`);
        expect(only).toContain('at least 2 min');
    });
});
