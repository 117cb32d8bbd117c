/** What a look is worth: whether it comes too late to tell, lets a failure pass, tells nothing, or tells it again. */
import { describe, expect, test } from 'vitest';
import { check } from '../../../language/check.js';
import { ofWholeTexts } from '../../small.js';

const codes = ['limit-too-wide', 'passes-failed', 'vacuous-look', 'shown-before'];

const equipment = `equipment E "e" {
  place   FD "Flight deck"
  control BATT "BATTERY" at FD positions OFF, ON normal ON
  control SW  "SWITCH" at FD positions OFF, ON
  button  BTN "BUTTON" at FD
  source  BUS "bus" live when BATT is ON
  motor   M1  "motor one" at FD from BUS
  motor   M2  "motor two" at FD from BUS
  valve   V   "valve" at FD positions SHUT, OPEN {
    goes OPEN in 4 s when SW is ON and M1 and M2
    goes OPEN in 7 s when SW is ON and (M1 or M2)
    goes SHUT in 4 s when SW is OFF and (M1 or M2)
  }
  light   LT  "lamp" at FD { shows ON when V is OPEN  shows OFF otherwise }
  mark    FLAG "flag" at FD { shows UP when V is OPEN  shows DOWN otherwise }
  light   SW-LT "switch lamp" at FD { shows ON when SW is ON  shows OFF otherwise }
  light   BTN-LT "button lamp" at FD { shows ON when BTN  shows OFF otherwise }
  light   BUS-LT "bus lamp" at FD { shows ON when BUS  shows OFF otherwise }
  gauge   G   "volts" at FD { shows 26 to 28 V when BUS  shows 0 V otherwise }
  unit    U   "box" at FD
  connector C "plug" at FD keyed
  light   C-LT "plug lamp" at FD { shows ON when C  shows OFF otherwise }
  light   U-LT "box lamp" at FD { shows ON when U  shows OFF otherwise }
  MORE
}`;

interface More {
    readonly more?: string;
    readonly step?: string;
    readonly card?: string;
}

/** Severity, code and what it is about, of these codes alone. */
function found(lines: string, { more = '', step = 'step all "All"', card = '' }: More = {}): string[] {
    const text = `${equipment.replace('MORE', more)}
card K "k" {
  uses E
  revision "1"
  role deck "Operator" at FD
  role insp "Inspector" at FD independent of deck
  ${card}
  ${step} {
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

const on = 'deck: set SW to ON';
const off = 'deck: set SW to OFF wait 20 s';

describe('a limit', () => {
    test.each([
        ['is tight', `${on} deck: see LT is ON within 6 s ${off}`, []],
        [
            'lets a dead motor pass by coming late',
            `${on} deck: see LT is ON within 7 s ${off}`,
            ['warning limit-too-wide LT M1'],
        ],
        [
            'is twice the time exactly, at which it is still seen',
            `${on} deck: see LT is ON within 8 s ${off}`,
            ['warning limit-too-wide LT M1'],
        ],
        ['counts from the look, not from the switch', `${on} wait 3 s deck: see LT is ON within 3 s ${off}`, []],
        [
            'counts from the look, and is too wide',
            `${on} wait 3 s deck: see LT is ON within 4 s ${off}`,
            ['warning limit-too-wide LT M1'],
        ],
        [
            'is not told of again where the same movement was caught',
            `${on} deck: see LT is ON within 5 s deck: see FLAG is UP within 20 s ${off}`,
            [],
        ],
        [
            'is told of again for the next movement',
            `${on} deck: see LT is ON within 5 s wait 10 s deck: set SW to OFF deck: see LT is OFF within 20 s`,
            ['warning limit-too-wide LT V'],
        ],
        [
            'bears on a reading',
            'deck: read G 22 to 30 V',
            ['information limit-too-wide G', 'information vacuous-look G'],
        ],
        ['is fair to a reading', 'deck: read G 23 to 30 V', ['information vacuous-look G']],
        ['has one end only', 'deck: read G at least 23 V', ['information vacuous-look G']],
    ])('%s', (_, lines, told) => {
        expect(found(lines)).toEqual(told);
    });
});

describe('a failure that passes', () => {
    const look = (arm: string, after = '') => `${on} deck: see LT is ON within 6 s else { ${arm} } ${after} ${off}`;
    test.each([
        ['falls through', look('deck: "Write it down."'), ['warning passes-failed LT BUS']],
        ['stops', look('deck: set SW to OFF stop "It does not open."'), []],
        ['is looked at again in the block', look('wait 5 s deck: see LT is ON'), []],
        [
            'is looked at again for something else',
            look('wait 5 s deck: see FLAG is DOWN'),
            ['warning passes-failed LT BUS'],
        ],
        [
            'is recorded, so that somebody reads it',
            `${on} deck: see LT is ON within 6 s record else { deck: "Write it down." } ${off}`,
            ['information passes-failed LT BUS'],
        ],
    ])('%s', (_, lines, told) => {
        expect(found(lines).filter(each => each.includes('passes-failed'))).toEqual(told);
    });

    test('is mended by a new part only where the part is what has failed', () => {
        const renewed = 'deck: see C-LT is ON else { deck: install new C-LT }';
        // The plug may be off as well, and a new lamp does not mend that.
        expect(found(renewed)).toContain('warning passes-failed C-LT C');
    });

    test('is a step that is done again until it is well, and then given up', () => {
        const again = `${on} deck: see LT is ON within 6 s else { deck: set SW to OFF repeat step all at most 2 times } ${off}`;
        expect(found(again).filter(each => each.includes('passes-failed'))).toEqual([]);
    });

    test('what a block takes apart is proved after it', () => {
        const block = (after: string) =>
            `deck: see SW-LT is OFF else { deck: disconnect C deck: connect C ${after} deck: set SW to OFF stop "The lamp is stuck." }
             deck: set SW to ON deck: see SW-LT is ON else { deck: disconnect C deck: connect C ${after} deck: install new SW-LT deck: see SW-LT is ON } deck: set SW to OFF`;
        expect(found(block('')).filter(each => each.endsWith(' C'))).toEqual(['warning passes-failed C']);
        expect(found(block('deck: see C-LT is ON')).filter(each => each.endsWith(' C'))).toEqual([]);
    });
});

describe('a look that tells nothing', () => {
    test.each([
        ['is information in a step', 'deck: see BUS-LT is ON', {}, ['information vacuous-look BUS-LT']],
        [
            'is a warning in a test',
            'deck: see BUS-LT is ON',
            { step: 'test all "All" of V' },
            ['warning vacuous-look BUS-LT'],
        ],
        ['is none where what is tested may fail', 'deck: see BUS-LT is ON', { step: 'test all "All" of BUS-LT' }, []],
        [
            'is none where an act before it matters',
            'deck: set BATT to OFF deck: set BATT to ON deck: see BUS-LT is ON',
            {},
            [],
        ],
        [
            'is none where what was disturbed may fail',
            'deck: disconnect C deck: connect C deck: see C-LT is ON',
            {},
            [],
        ],
        ['is none where it is recorded', 'deck: see BUS-LT is ON record', {}, []],
        [
            'is none where a declared failure would change it',
            'deck: see BUS-LT is ON',
            { more: 'fails "flickers" as BUS-LT is OFF' },
            [],
        ],
        ['is none where people alone change it', 'deck: see C is CONNECTED', {}, []],
        [
            'is one where people alone change it, in a test',
            'deck: see C is CONNECTED',
            { step: 'test all "All" of V' },
            ['warning vacuous-look C'],
        ],
        [
            'is none with an else into which any failure leads',
            'deck: see BUS-LT is ON else { stop "No power." }',
            {},
            [],
        ],
        ['is none where a wait matters', `${on} wait 5 s deck: see LT is ON ${off}`, {}, []],
    ])('%s', (_, lines, more, told) => {
        expect(found(lines, more)).toEqual(told);
    });

    test('a button that is out again asks to be kept', () => {
        const text = `${equipment.replace('MORE', '')}
card K "k" { uses E revision "1" role deck "Operator" at FD step all "All" { deck: press BTN deck: see BTN-LT is OFF } }`;
        const { findings } = check([{ path: 'k.cotter', text }], {}, { fixes: 'none' });
        expect(findings.find(each => each.code === 'vacuous-look')?.message).toContain('"keep"');
    });
});

describe('a look that only repeats', () => {
    const lit = `${on} deck: see SW-LT is ON`;
    test.each([
        ['is told of', `${lit} deck: see SW-LT is ON deck: set SW to OFF`, ['information shown-before SW-LT']],
        [
            'is none after another look at it',
            `${lit} deck: set SW to OFF deck: see SW-LT is OFF ${lit} deck: set SW to OFF`,
            [],
        ],
        ['is none after an act on it', `${lit} deck: set SW to OFF ${lit} deck: set SW to OFF`, []],
        [
            'is told of after an act on something else',
            `${lit} deck: set BATT to OFF deck: set BATT to ON deck: see SW-LT is ON deck: set SW to OFF`,
            ['information shown-before SW-LT'],
        ],
        ['is none by somebody independent', `${lit} insp: see SW-LT is ON deck: set SW to OFF`, []],
        ['is none that is recorded', `${lit} deck: see SW-LT is ON record deck: set SW to OFF`, []],
        ['is none that lasts longer', `${lit} deck: see SW-LT is ON for 5 s deck: set SW to OFF`, []],
        [
            'is none where something was disturbed in between',
            `deck: disconnect C deck: connect C deck: see C-LT is ON deck: disconnect C deck: connect C deck: see C-LT is ON`,
            [],
        ],
        [
            'is none behind a block that goes on',
            `${on} deck: see SW-LT is ON else { deck: install new SW-LT } deck: see SW-LT is ON deck: set SW to OFF`,
            [],
        ],
    ])('%s', (_, lines, told) => {
        expect(found(lines).filter(each => each.includes('shown-before'))).toEqual(told);
    });

    test('is none in a declared failure that only the second look shows', () => {
        const more = 'fails "goes out" as SW-LT is OFF when BATT is OFF';
        const lines = `${lit} deck: set BATT to OFF deck: see SW-LT is ON deck: set BATT to ON deck: set SW to OFF`;
        expect(found(lines, { more }).filter(each => each.includes('shown-before'))).toEqual([]);
        expect(found(lines).filter(each => each.includes('shown-before'))).toEqual(['information shown-before SW-LT']);
    });
});

describe('what is left aside', () => {
    const of = (code: string, lines: string, more: More = {}): string[] =>
        found(lines, more).filter(each => each.includes(code));
    test('a reading may be far above as well', () => {
        expect(of('limit-too-wide', 'deck: read G 24 to 40 V')).toEqual(['information limit-too-wide G']);
    });
    test('a look whose block nothing leads into is told of as that alone', () => {
        expect(found('deck: see SW is OFF else { stop "It is on." }')).toEqual([]);
    });
    test('a look is no repetition that a rule wants only now', () => {
        const lines = `${on} deck: see SW-LT is ON deck: set CTL to ON deck: see SW-LT is ON deck: set CTL to OFF ${off}`;
        const more = 'control CTL "LOAD" at FD positions OFF, ON';
        expect(of('shown-before', lines, { more })).toEqual(['information shown-before SW-LT']);
        const ruled = { more: `${more} rule load: to test SW-LT require CTL is ON` };
        expect(of('shown-before', lines, ruled)).toEqual([]);
    });
    test('a look before the test is there for what the test names', () => {
        const lines = 'deck: see BUS-LT is ON } test t "Test" of BUS-LT { deck: see BUS-LT is ON';
        expect(of('vacuous-look', lines)).toEqual([]);
    });
    test('a failure passes through a branch too', () => {
        const lines = `${on} wait 8 s if deck sees LT is OFF { deck: see FLAG is UP else { wait 1 s } } ${off}`;
        expect(of('passes-failed', lines)).toEqual(['warning passes-failed FLAG BUS']);
    });
    test('of two looks that fail the one that nobody records is told of', () => {
        const lines = `${on} deck: see LT is ON within 6 s record else { wait 1 s } deck: see FLAG is UP else { wait 1 s } ${off}`;
        expect(of('passes-failed', lines)).toEqual([
            'information passes-failed LT M1',
            'warning passes-failed FLAG BUS',
        ]);
    });
    test('what cannot fail need not be proved', () => {
        const block = 'deck: remove U deck: install U deck: install new SW-LT deck: see SW-LT is OFF';
        expect(of('passes-failed', `deck: see SW-LT is OFF else { ${block} }`)).toEqual([]);
    });
    test('a look that fails as written too is what the card is there to find out', () => {
        const lines = 'deck: see SW-LT is OFF else { deck: set SW to OFF }';
        expect(of('passes-failed', lines, { card: 'start with SW is ON finish with SW is OFF' })).toEqual([]);
    });
    test('the same words at another time are no second look', () => {
        const more = 'fails "glows" as SW-LT is ON when BATT is OFF';
        const lines =
            'deck: set BATT to OFF deck: see SW-LT is OFF else { wait 1 s } deck: set BATT to ON deck: see SW-LT is OFF';
        expect(of('passes-failed', lines, { more })).toEqual(['warning passes-failed SW-LT SW-LT']);
    });
});
