/** Cards that try to come to their end with work owed, or to be told of work that is not. */
import { describe, expect, test } from 'vitest';
import { check } from '../../../language/check.js';
import { checks } from '../../../language/checks/index.js';

const codes = new Set(
    `seal-not-renewed spare-not-used not-torqued torque-outside not-recorded not-tested not-leak-checked not-measured not-inspected
    syntax unknown-name wrong-arguments wrong-verb unknown-state expectation-contradicted passes-failed`.split(/\s+/),
);
const without = new Set(checks.map(each => each.code).filter(code => !codes.has(code)));

const equipment = `modification M1 "Modification 1"
equipment E "e" {
  place FD "Flight deck"
  control SW "SW" at FD positions OFF, ON
  control PICK "PICK" at FD positions LEFT, RIGHT
  source PRESS "pressure" live when SW is ON
  fastener B "bolt" at FD torque 50 to 70 lbf·in measured "play" 1 to 2 mm inspected
  fastener C "other bolt" at FD torque 50 to 70 lbf·in
  unit BOWL "bowl" at FD
  seal S "packing" in BOWL carries PRESS wets A
  port J "joint" at FD carries PRESS wets A
  area A "seat" at FD
  mark POINTER "pointer" at FD { shows LEFT when PICK is LEFT  shows RIGHT otherwise }
}`;

/** Every code once, in order of the alphabet. */
function drawn(lines: string, { before = '', head = '', start = 'SW is OFF' } = {}): string {
    const steps = /^\s*(step|test) /.test(lines) ? lines : `step all "All" { ${lines} }`;
    const text = `${equipment}
${before}
card X "x" { uses E revision "1"
  role tech "Technician" at FD
  role insp "Inspector" at FD independent of tech
  start with ${start}
  ${head}
  ${steps} }`;
    const report = check([{ path: 'a.cotter', text }], {}, { fixes: 'none', without });
    return [...new Set(report.findings.map(each => each.code))].sort().join(' ');
}

const loose = (bolt: string): string => `tech: remove ${bolt} tech: install ${bolt}`;
const both = { start: 'SW is OFF, PICK is LEFT or RIGHT' };
const whole = `${loose('B')} tech: torque B tech: measure "play" of B 1 to 2 mm record hold for insp "[B] is tight."`;
const press = 'tech: set SW to ON tech: see A is DRY tech: set SW to OFF';

describe('what is owed', () => {
    test('is followed through subtasks, with the thing that each call names', () => {
        const before = `subtask Off "Take off" (fastener one, role who) uses E { who: remove one who: install one }
subtask On "Torque" (fastener one, role who) uses E { who: torque one }`;
        expect(drawn('do Off(C, tech) do On(C, tech)', { before })).toBe('');
        expect(drawn('do On(C, tech) do Off(C, tech)', { before })).toBe('not-torqued');
        const crossed = 'do Off(C, tech) do On(B, tech)';
        expect(drawn(crossed, { before })).toBe('not-torqued');
    });
    test('is followed through the rows of a loop', () => {
        const loop = (body: string): string => `for each one in B, C { ${body} }`;
        const rest = 'tech: measure "play" of B 1 to 2 mm record hold for insp "[B] is tight."';
        expect(drawn(`${loop('tech: remove one tech: install one')} ${loop('tech: torque one')} ${rest}`)).toBe('');
        expect(drawn(`${loop('tech: remove one tech: install one')} tech: torque C ${rest}`)).toBe('not-torqued');
        expect(drawn(`${loop('tech: torque one tech: remove one tech: install one')} ${rest}`)).toBe('not-torqued');
    });
    test('is followed through what a card does inside another', () => {
        const before = `card L "l" { uses E revision "1" role tech "Technician" at FD step s "S" { tech: torque C } }`;
        expect(drawn(`${loose('C')} do L`, { before })).toBe('');
        expect(drawn(`do L ${loose('C')}`, { before })).toBe('not-torqued');
    });
    test('is followed through every pass of a repeat', () => {
        const again = (last: string): string =>
            `step s "S" { ${loose('C')} ${last} tech: see POINTER is RIGHT else { repeat step s at most 2 times } }`;
        expect(drawn(again('tech: torque C'), { start: 'SW is OFF, PICK is RIGHT' })).toBe('');
        expect(drawn(again(''), { start: 'SW is OFF, PICK is RIGHT' })).toBe('not-torqued');
    });
    test('is owed on the one aircraft that has it', () => {
        expect(drawn(`${loose('C')} where M1 { tech: torque C }`)).toBe('not-torqued');
        expect(drawn(`${loose('C')} where M1 { tech: torque C } otherwise { tech: torque C }`)).toBe('');
    });
    test('is not paid in a block that only one of two ways takes', () => {
        expect(drawn(`${loose('C')} tech: see POINTER is LEFT else { tech: torque C }`, both)).toBe('not-torqued');
        expect(drawn(`${loose('C')} tech: see POINTER is LEFT else { stop "No." } tech: torque C`)).toBe('');
        expect(drawn(`${loose('C')} tech: torque C tech: see POINTER is LEFT else { ${loose('C')} }`, both)).toBe(
            'not-torqued',
        );
    });
    test('is owed where two questions about one thing stand apart, as no run would have it', () => {
        const apart = `if tech sees POINTER is LEFT { ${loose('C')} } if tech sees POINTER is LEFT { tech: torque C }`;
        expect(drawn(apart, both)).toBe('not-torqued');
    });
    test('is owed by a text that only says so', () => {
        expect(drawn(`${loose('C')} tech: "Torque [C] to 50 to 70 lbf·in."`)).toBe('not-torqued');
        expect(drawn(`${whole} ${loose('B')} tech: "Measure the play of [B] and have it inspected."`)).toBe(
            'not-inspected not-measured not-torqued',
        );
    });
    test('is paid once, and owed again by the next loosening', () => {
        expect(drawn(whole)).toBe('');
        expect(drawn(`${whole} ${loose('B')}`)).toBe('not-inspected not-measured not-torqued');
        expect(drawn(`${whole} ${whole}`)).toBe('');
    });
    test('is not owed by what never leaves its place', () => {
        expect(drawn('tech: "Look at [B]." tech: ensure B is INSTALLED tech: see POINTER is LEFT')).toBe('');
    });
});

describe('a leak check', () => {
    const shut = 'tech: open J tech: close J';
    test('of one joint is none of another that wets the same seat later', () => {
        expect(drawn(`${shut} ${press}`)).toBe('');
        expect(drawn(`${shut} ${press} ${shut}`)).toBe('not-leak-checked');
    });
    test('does not count while the joint is open', () =>
        expect(drawn(`tech: open J tech: close J tech: clean A tech: open J tech: see A is DRY tech: close J`)).toBe(
            'not-leak-checked',
        ));
    test('does not count where the pressure is that of another supply', () =>
        expect(drawn(`${shut} tech: set PICK to RIGHT tech: see A is DRY tech: set PICK to LEFT`)).toBe(
            'not-leak-checked',
        ));
    test('counts after a look that leaves', () =>
        expect(
            drawn(
                `${shut} tech: set SW to ON tech: see A is DRY else { tech: set SW to OFF stop "It leaks." } tech: set SW to OFF`,
            ),
        ).toBe(''));
    test('that only one of two ways takes is none', () => {
        expect(drawn(`${shut} if tech sees POINTER is LEFT { ${press} }`, both)).toBe('not-leak-checked');
        expect(drawn(`${shut} if tech sees POINTER is LEFT { ${press} } otherwise { ${press} }`)).toBe('');
        expect(drawn(`if tech sees POINTER is LEFT { } otherwise { ${shut} } ${press}`)).toBe('');
        expect(drawn(`${press} if tech sees POINTER is LEFT { } otherwise { ${shut} }`, both)).toBe('not-leak-checked');
        // Only a pointer that has stuck leads there.
        expect(drawn(`${press} if tech sees POINTER is LEFT { } otherwise { ${shut} }`)).toBe('passes-failed');
    });
    test('in the pass that is repeated counts for that pass', () => {
        const again = (last: string): string =>
            `step s "S" { ${shut} ${last} tech: see POINTER is LEFT else { repeat step s at most 1 times } }`;
        expect(drawn(again(press))).toBe('');
        expect(drawn(again(''))).toBe('not-leak-checked');
    });
    test('of a seal is owed by whatever moves its unit, and a new seal still leaks until it is seen not to', () => {
        const test_ = `test t "T" of S { ${press} }`;
        const spare = { head: 'spare R "Ring" for S quantity 1' };
        expect(drawn(`step s "S" { tech: remove BOWL tech: install BOWL with R }`, spare)).toBe('not-leak-checked');
        expect(drawn(`step s "S" { tech: remove BOWL tech: install BOWL with R } ${test_}`, spare)).toBe('');
        expect(drawn(`step s "S" { tech: remove BOWL tech: install BOWL } ${test_}`, spare)).toBe('seal-not-renewed');
    });
});

describe('a spare', () => {
    const spare = (quantity: number) => ({ head: `spare R "Ring" for S quantity ${quantity}` });
    const fit = 'tech: remove BOWL tech: install BOWL with R';
    const of = (lines: string, quantity: number): string =>
        drawn(`step s "S" { ${lines} } test t "T" of S { ${press} }`, spare(quantity));
    test('is counted on the way that uses most', () => {
        expect(of(`${fit} if tech sees POINTER is LEFT { ${fit} }`, 1)).toBe('spare-not-used');
        expect(of(`${fit} if tech sees POINTER is LEFT { ${fit} }`, 2)).toBe('');
        expect(of(`if tech sees POINTER is LEFT { ${fit} } otherwise { ${fit} }`, 1)).toBe('');
    });
    test('is counted in every pass of a repeat', () => {
        const again = `step s "S" { ${fit} tech: see POINTER is LEFT else { repeat step s at most 2 times } } test t "T" of S { ${press} }`;
        expect(drawn(again, spare(2))).toBe('spare-not-used');
        expect(drawn(again, spare(3))).toBe('');
    });
    test('for the unit is none for the seal in it', () =>
        expect(
            drawn(`step s "S" { tech: remove BOWL tech: install BOWL with R } test t "T" of S { ${press} }`, {
                head: 'spare R "Ring" for BOWL quantity 1',
            }),
        ).toBe('seal-not-renewed'));
});
