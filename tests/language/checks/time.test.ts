/** What a rule allows for a time only, and what keeps it within that time. */
import { describe, expect, test } from 'vitest';
import { check } from '../../../language/check.js';
import { ofWholeTexts } from '../../small.js';

const codes = ['no-time-limit', 'kept-too-long', 'rule-broken', 'wait-too-short'];

/** The codes of time that the lines draw, and what each is about. */
function found(rule: string, lines: string, head = ''): string[] {
    const text = `equipment E "e" {
  place   FD   "Flight deck"
  place   Bay  "Bay"
  control PUMP "PUMP"   at FD positions OFF, ON
  control SW   "SWITCH" at FD positions OFF, ON
  button  BTN  "BUTTON" at FD
  unit    U    "drive"  at Bay
  source  PRES "pressure" live when PUMP is ON
  port    PORT "port"   at Bay carries PRES wets SPOT
  area    SPOT "spot"   at Bay
  valve   V    "valve"  at Bay positions SHUT, OPEN { goes OPEN in 3 s when SW is ON  goes SHUT in 3 s otherwise }
  light   LT   "lamp"   at FD { shows ON when V is OPEN  shows OFF otherwise }
  ${rule}
}
subtask Turn "Turn" (role who) uses E { who: "Turn the shaft by hand." }
card K "k" {
  uses E
  revision "1"
  role deck "Operator" at FD
  role tech "Technician" at Bay
  ${head}
  step all "All" {
    ${lines}
  }
}`;
    const report = check([{ path: 'k.cotter', text }], {}, { fixes: 'none', without: ofWholeTexts });
    const broken = report.findings.filter(each => each.code === 'syntax' || each.code.startsWith('unknown'));
    if (broken.length > 0) throw new Error(broken.map(each => each.message).join('\n'));
    return report.findings
        .filter(each => codes.includes(each.code))
        .map(each => `${each.severity} ${each.code} ${each.about.join(' ')}`);
}

const never = 'rule dry: never PUMP is ON for at least 60 s';
const on = 'deck: set PUMP to ON';
const off = 'deck: set PUMP to OFF';

describe('a rule that something must not last', () => {
    test.each([
        ['a wait is exact, and a limit', `${on} wait 59 s ${off}`],
        [
            'a look takes its within',
            `${on} deck: set SW to ON tech: see V is OPEN within 30 s ${off} deck: set SW to OFF wait 4 s`,
        ],
        ['a look takes its for', `${on} tech: see V is SHUT for 30 s ${off}`],
        [
            'a look takes its after',
            `${on} deck: set SW to ON tech: see V is OPEN after 2 s within 30 s ${off} deck: set SW to OFF wait 4 s`,
        ],
        ['hands take no time', `${on} deck: press BTN tech: open PORT tech: close PORT ${off} tech: clean SPOT`],
        ['a button is held for its time', `${on} deck: press BTN for 30 s ${off}`],
        ['it is counted anew after a pause', `${on} wait 40 s ${off} ${on} wait 40 s ${off}`],
        ['what is done before and after does not count', `tech: "Wipe [U]." ${on} wait 9 s ${off} tech: "Wipe [U]."`],
        [
            'what is done on the way on which it is off does not count',
            `if tech sees V is SHUT { ${on} wait 9 s ${off} } otherwise { tech: "Wipe [U]." }`,
        ],
    ])('is kept where %s', (_, lines) => {
        expect(found(never, lines)).toEqual([]);
    });

    test.each([
        ['an action text', 'tech: "Wipe [U]."'],
        ['a measurement', 'tech: measure "gap" of U 1 to 2 mm'],
        ['going somewhere', 'deck: go to FD'],
        ['tidying up', 'tech: clear Bay'],
        ['a text in a subtask', 'do Turn(tech)'],
        ['a text on one branch', 'if tech sees V is SHUT { tech: "Wipe [U]." }'],
        ['a text in a repeat', 'tech: see V is SHUT else { tech: "Wipe [U]." repeat step all at most 1 times }'],
        ['a text inside of a keep of something else', 'deck: set SW to OFF tech: "Wipe [U]." wait 2 s'],
        ['a look that may come late', 'tech: see V is SHUT within 60 s'],
        ['several limits together', 'tech: see V is SHUT within 35 s wait 30 s'],
    ])('has no limit in %s', (_, lines) => {
        expect(found(never, `${on} ${lines} ${off}`)).toEqual(['error no-time-limit PUMP dry']);
    });

    test('is broken, and told of once, where it surely lasts', () => {
        expect(found(never, `${on} wait 60 s tech: "Wipe [U]." ${off}`).map(each => each.split(' ')[1])).toEqual([
            'rule-broken',
        ]);
    });

    test('has no limit where it was so when the card began', () => {
        expect(found(never, `wait 1 s ${off}`, 'start with PUMP is ON finish with PUMP is OFF')).toEqual([
            'error no-time-limit PUMP dry',
        ]);
        expect(found(never, 'wait 1 s', 'start with PUMP is OFF')).toEqual([]);
    });

    test('counts on through a second act that changes nothing', () => {
        expect(found(never, `${on} tech: "Wipe [U]." ${on} wait 1 s ${off}`)).toEqual(['error no-time-limit PUMP dry']);
    });
});

describe('other rules that need a limit from above', () => {
    test('before an act', () => {
        const rule = 'rule hot: before set SW require not PUMP is ON for at least 60 s';
        const after = `deck: set SW to ON ${off} deck: set SW to OFF wait 4 s`;
        expect(found(rule, `${on} tech: "Wipe [U]." ${after}`)).toEqual(['error no-time-limit PUMP SW hot']);
        expect(found(rule, `${on} wait 30 s ${after}`)).toEqual([]);
        expect(found(rule, `${on} ${off} tech: "Wipe [U]." deck: set SW to ON deck: set SW to OFF wait 4 s`)).toEqual(
            [],
        );
    });
    test('before a movement', () => {
        const rule = 'rule hot: before V moves require not PUMP is ON for at least 60 s';
        expect(found(rule, `${on} tech: "Wipe [U]." deck: set SW to ON ${off} deck: set SW to OFF wait 4 s`)).toEqual([
            'error no-time-limit PUMP V hot',
        ]);
    });
    test('while something is so', () => {
        const rule = 'rule hot: while SW is ON require not PUMP is ON for at least 60 s';
        expect(found(rule, `${on} tech: "Wipe [U]." deck: set SW to ON ${off} deck: set SW to OFF wait 4 s`)).toEqual([
            'error no-time-limit PUMP hot',
        ]);
        expect(found(rule, `${on} tech: "Wipe [U]." ${off} deck: set SW to ON deck: set SW to OFF wait 4 s`)).toEqual(
            [],
        );
    });
    test('of what moves by itself', () => {
        const rule = 'rule hot: never V is OPEN for at least 60 s';
        const back = 'deck: set SW to OFF wait 4 s';
        expect(found(rule, `deck: set SW to ON wait 4 s tech: "Wipe [U]." ${back}`)).toEqual([
            'error no-time-limit V hot',
        ]);
        expect(found(rule, `deck: set SW to ON wait 30 s ${back} tech: "Wipe [U]."`)).toEqual([]);
    });
    test('with another way to be right', () => {
        const rule = 'rule hot: before set SW require not PUMP is ON for at least 60 s or U is REMOVED';
        const lines = `${on} tech: remove U tech: "Wipe the seat of [U]." deck: set SW to ON ${off} tech: install U deck: set SW to OFF wait 4 s`;
        expect(found(rule, lines)).toEqual([]);
    });
    test('but not a rule that asks for a time at least', () => {
        const rule = 'rule decay: before open PORT require PUMP is OFF for at least 60 s';
        expect(found(rule, `${on} ${off} tech: "Wipe [U]." wait 60 s tech: open PORT tech: close PORT`)).toEqual([]);
        expect(found(rule, `${on} ${off} tech: "Wipe [U]." tech: open PORT tech: close PORT`)).toEqual([
            'error wait-too-short PORT PUMP',
        ]);
    });
});

describe('a control that may be held for a time only', () => {
    const rule = 'rule hot: keep PUMP at ON at most 60 s';
    test('has no limit where it is set and something is done that takes as long as it takes', () => {
        expect(found(rule, `${on} tech: "Wipe [U]." ${off}`)).toEqual(['error no-time-limit PUMP hot']);
    });
    test('is kept too long where all has its limit', () => {
        expect(found(rule, `${on} wait 61 s ${off}`)).toEqual(['error kept-too-long PUMP hot']);
        expect(found(rule, `${on} wait 60 s ${off}`)).toEqual([]);
    });
    test('has its limit where it is held, whatever is done meanwhile', () => {
        expect(found(rule, 'deck: keep PUMP at ON at most 60 s { tech: "Wipe [U]." }')).toEqual([]);
    });
});
