/** Cards written to fool the checks of isolation: dangerous ones that passed, and right ones that were blamed. */
import { describe, expect, test } from 'vitest';
import { check } from '../../../language/check.js';
import { ofWholeTexts } from '../../small.js';

const codes = [
    'lock-out-of-order',
    'isolation-lost',
    'closed-with-work-open',
    'taken-on-trust',
    'tag-removed-by-another',
    'not-proved-dead',
    'test-not-loaded',
];
const hands = 'rule hands: before work on U require CB1 is PULLED and CB2 is PULLED';

const equipment = (rules: string): string => `equipment E "e" {
  place   FD "Flight deck"
  place   Wing "Wing"
  panel   PAN "panel" at Wing
  place   Bay  "Bay" in Wing behind PAN
  breaker CB1 "ONE" at FD
  breaker CB2 "TWO" at FD
  control SW  "SWITCH" at FD positions OFF, ON
  control PUMP "PUMP" at FD positions OFF, ON
  source  P   "pressure" live when PUMP is ON
  unit    U   "drive" at Bay
  connector C1 "plug one" in U keyed
  connector C2 "plug two" in U keyed
  motor   M1  "motor one" in U from CB1, C1
  motor   M2  "motor two" in U from CB2, C2
  seal    S   "seal" in U carries P
  port    DRAIN "drain" at Bay carries P
  valve   V   "valve" at Bay positions SHUT, OPEN {
    goes OPEN in 2 s when SW is ON and (M1 or M2)
    goes SHUT in 2 s when SW is OFF and (M1 or M2)
  }
  mark    FLAG "flag" at Bay { shows UP when V is OPEN  shows DOWN when V is SHUT  shows HALF otherwise }
  horn    HORN "horn" at FD from CB1 { shows SOUNDING when SW is ON  shows SILENT otherwise }
  light   LT   "lamp" at FD from CB1 { shows RED when SW is ON  shows GREEN otherwise }
  gauge   V1  "volts one" at FD { shows 26 to 29 V when CB1  shows 0 V otherwise }
  gauge   V2  "volts two" at FD { shows 26 to 29 V when CB2  shows 0 V otherwise }
  port    BLEED "bleed" at Bay carries P
  breaker CB3 "THREE" at FD
  breaker CB4 "FOUR" at FD
  control SX  "RUN" at FD positions OFF, ON
  source  RUN "run signal" live when SX is ON
  motor   MX  "helper motor" at FD from CB1, RUN
  motor   MP  "pump motor" at FD from CB3
  source  GP  "gear pressure" live when MP
  port    GB  "gear bleed" at FD carries GP
  door    GD  "tank door" at FD carries GP
  source  HP  "trapped pressure" live when MP and HB is CLOSED
  port    HB  "trap bleed" at FD carries HP
  ${rules}
}`;

/** The codes of this family that the lines draw, and what each is about. */
function found(lines: string, { start = 'SW is OFF', rules = hands } = {}): string[] {
    const text = `${equipment(rules)}
card K "k" {
  uses E
  revision "1"
  role deck "Operator" at FD
  role mate "Second operator" at FD
  role tech "Technician" at Wing
  start with ${start}
  step all "All" {
    ${lines}
  }
}`;
    const report = check([{ path: 'k.cotter', text }], {}, { fixes: 'none', without: ofWholeTexts });
    const broken = report.findings.filter(each => each.code === 'syntax' || each.code.startsWith('unknown'));
    if (broken.length > 0) throw new Error(broken.map(each => each.message).join('\n'));
    return report.findings
        .filter(each => codes.includes(each.code))
        .map(each => `${each.code} ${each.about.join(' ')}`.trim());
}

const pull = 'deck: pull CB1, CB2 and tag';
const close = 'deck: close CB1, CB2';
const dead = 'deck: read V1 at most 1 V deck: read V2 at most 1 V';
const open = 'tech: remove PAN';
const shut = 'tech: install PAN';
const work = 'tech: "Clean [U]."';
const parted = 'tech: disconnect C1, C2 tech: remove U';
const joined = 'tech: install U tech: connect C1, C2';

describe('what may not be live is isolated like what must be off', () => {
    const not = 'rule hands: before work on U require not (CB1 is CLOSED) and not CB2';
    const motors = 'rule hands: before work on U require not (M1 or M2)';
    test.each([not, motors])('%s', rules => {
        expect(found(`${pull} ${dead} ${open} ${work} ${shut} ${close}`, { rules })).toEqual([]);
        expect(found(`${pull} ${open} ${work} ${shut} ${close}`, { rules })).toEqual(['not-proved-dead CB1 CB2 U']);
        expect(
            found(`deck: pull CB1, CB2 ${dead} deck: tag CB1, CB2 ${open} ${work} ${shut} ${close}`, { rules }),
        ).toEqual(['lock-out-of-order U CB1', 'lock-out-of-order U CB2']);
        expect(found(`${open} ${work} ${shut}`, { rules, start: 'CB1 is PULLED, CB2 is PULLED' })).toEqual([
            'taken-on-trust CB1',
            'taken-on-trust CB2',
        ]);
    });
    test('and its isolation is lost when it becomes live', () => {
        const rules = 'rule hands: before work on U require not P';
        const lines = `${pull} ${open} tech: disconnect C1 deck: set PUMP to ON deck: set PUMP to OFF tech: connect C1 ${shut} ${close}`;
        expect(found(lines, { rules })).toEqual(['isolation-lost PUMP C1']);
    });
});

describe('of two breakers either of which will do', () => {
    const rules = 'rule hands: before work on U require CB1 is PULLED or CB2 is PULLED';
    test('the one that the card pulls is enough', () => {
        const lines = `deck: pull CB2 and tag deck: read V2 at most 1 V ${open} ${work} ${shut} deck: close CB2`;
        expect(found(lines, { rules, start: 'CB1 is PULLED' })).toEqual([]);
    });
    test('one is taken on trust where the card pulls none', () => {
        expect(found(`${open} ${work} ${shut}`, { rules, start: 'CB1 is PULLED, CB2 is PULLED' })).toEqual([
            'taken-on-trust CB1',
        ]);
        expect(found(`${open} ${work} ${shut}`, { rules, start: 'CB2 is PULLED' })).toEqual(['taken-on-trust CB2']);
    });
});

describe('a look with else vouches for what it looks at', () => {
    const look = (block: string): string =>
        `deck: see CB1 is PULLED else { ${block} } deck: see CB2 is PULLED ${open} ${work} ${shut}`;
    const start = 'CB1 is PULLED, CB2 is PULLED';
    test('where the block leaves', () => expect(found(look('stop "It is closed."'), { start })).toEqual([]));
    test('not where the card goes on', () => {
        expect(found(look('wait 1 s'), { start })).toEqual(['taken-on-trust CB1']);
    });
});

describe('silence', () => {
    const tried = (look: string): string =>
        `${pull} deck: set SW to ON ${look} deck: set SW to OFF deck: read V2 at most 1 V ${open} ${work} ${shut} ${close}`;
    test('of a horn without supply proves nothing dead', () => {
        expect(found(tried('deck: see HORN is SILENT'))).toEqual(['not-proved-dead CB1 U']);
    });
    test('nor does what a lamp without supply would show', () => {
        expect(found(tried('deck: see LT is GREEN'))).toEqual(['not-proved-dead CB1 U']);
    });
    test('a gauge does', () => expect(found(tried('deck: read V1 at most 1 V'))).toEqual([]));
});

describe('power on a plug', () => {
    test('is told of although what it fed is out of the aircraft', () => {
        const lines = `${open} ${pull} ${parted} deck: close CB1 deck: pull CB1 and tag ${joined} ${shut} ${close}`;
        expect(found(lines, { rules: '' })).toEqual(['closed-with-work-open CB1 U C1']);
    });
    test('is not where all is back', () => {
        expect(found(`${open} ${pull} ${parted} ${joined} ${shut} ${close}`, { rules: '' })).toEqual([]);
    });
});

describe('pressure on an open port', () => {
    const pumped = 'deck: set PUMP to ON wait 5 s deck: set PUMP to OFF tech: close BLEED';
    test('is a flush where one step does it all', () => {
        expect(found(`${open} tech: open BLEED ${pumped} ${shut}`, { rules: '' })).toEqual([]);
    });
    test('is a port forgotten where it was opened in an earlier step, or is closed in a later one', () => {
        const told = ['closed-with-work-open PUMP BLEED'];
        expect(found(`${open} tech: open BLEED } step two "Two" { ${pumped} ${shut}`, { rules: '' })).toEqual(told);
        const late = `${open} tech: open BLEED ${pumped.replace('tech:', '} step two "Two" { tech:')} ${shut}`;
        expect(found(late, { rules: '' })).toEqual(told);
    });
});

describe('pressure that a motor brings', () => {
    const apart = (port: string): string =>
        `deck: pull CB3 and tag deck: open ${port} } step two "Two" { deck: close CB3 deck: pull CB3 and tag deck: close ${port} deck: close CB3`;
    test('comes with its breaker', () => {
        expect(found(apart('GB'), { rules: '' })).toEqual(['closed-with-work-open CB3 GB']);
    });
    test('is no finding where closing the port itself brings it', () => {
        expect(found(apart('HB'), { rules: '' })).toEqual([]);
        expect(found('deck: open HB } step two "Two" { deck: close HB', { rules: '' })).toEqual([]);
    });
});

test('a door is opened on purpose like a port', () => {
    const lines =
        'deck: pull CB3 and tag deck: open GD deck: close CB3 deck: pull CB3 and tag deck: close GD deck: close CB3';
    expect(found(lines, { rules: '' })).toEqual([]);
    expect(found(lines.replace('deck: close CB3', '} step two "Two" { deck: close CB3'), { rules: '' })).toEqual([
        'closed-with-work-open CB3 GD',
    ]);
});

describe('every act of a lock-out counts', () => {
    test('each joint that lets off what is stored', () => {
        const shutAll = `tech: close BLEED tech: close DRAIN ${shut} ${close}`;
        expect(found(`${pull} ${open} tech: open BLEED tech: open DRAIN ${dead} ${work} ${shutAll}`)).toEqual([]);
        expect(found(`${pull} ${open} tech: open BLEED ${dead} tech: open DRAIN ${work} ${shutAll}`)).toEqual([
            'lock-out-of-order U DRAIN',
        ]);
    });
    test('each time that the pump is stopped', () => {
        const lines = `deck: set PUMP to OFF deck: set PUMP to ON ${pull} deck: set PUMP to OFF ${dead} ${open} ${work} ${shut} ${close} deck: set PUMP to ON`;
        expect(found(lines, { start: 'PUMP is ON' })).toEqual(['lock-out-of-order U PUMP']);
    });
    test('the looks that prove a breaker open which a test names only later', () => {
        const later =
            'test t "Test" of CB1 { deck: read V1 at least 20 V deck: pull CB1 and tag deck: read V1 at most 1 V deck: close CB1';
        expect(found(`${pull} ${dead} ${open} ${work} ${shut} ${close} } ${later}`)).toEqual([]);
    });
});

describe('what counts in the order of a lock-out', () => {
    const or = 'rule hands: before work on U require CB1 is PULLED or CB2 is PULLED';
    const valve = 'rule hands: before work on V require CB1 is PULLED';
    const clean = 'tech: "Clean [V]."';
    const one = 'deck: pull CB1 and tag deck: read V1 at most 1 V';
    test.each([
        [
            'letting off what a rule on it asks to be open',
            `${one} ${open} tech: open DRAIN ${clean} tech: close DRAIN ${shut} deck: close CB1`,
            { rules: `${valve} and DRAIN is OPEN` },
            ['lock-out-of-order V DRAIN'],
        ],
        [
            'stopping a motor outside it that its breaker feeds',
            `deck: pull CB1 and tag deck: set SX to OFF deck: read V1 at most 1 V ${open} ${clean} ${shut} deck: close CB1 deck: set SX to ON`,
            { rules: valve, start: 'SX is ON' },
            ['lock-out-of-order V SX'],
        ],
        [
            'nothing where the work was not isolated at all, which is said',
            `${open} ${work} ${pull} ${dead} ${work} ${shut} ${close}`,
            {},
            [],
        ],
        [
            'no tag that is missed at a stop already',
            `deck: pull CB1, CB2 ${dead} ${open} tech: see FLAG is DOWN else { stop "It moved." } ${work} deck: tag CB1, CB2 ${shut} ${close}`,
            {},
            [],
        ],
        [
            'no second breaker that is pulled after the work where one would do',
            `${one} ${open} ${work} deck: pull CB2 and tag ${shut} ${close}`,
            { rules: or },
            [],
        ],
        [
            'no clearing once more behind one in time',
            `${pull} ${dead} ${open} ${work} tech: clear Bay ${close} tech: clear Bay ${shut}`,
            {},
            [],
        ],
        [
            'no breaker that feeds nothing',
            `${pull} deck: pull CB4 and tag ${dead} ${open} ${work} ${shut} ${close} deck: close CB4`,
            { rules: `${hands} and CB4 is PULLED` },
            [],
        ],
        [
            'nothing while the card contradicts itself',
            `${pull} deck: read V1 at least 20 V ${open} ${work} ${shut} ${close}`,
            {},
            [],
        ],
    ])('%s', (_, lines, more, told) => expect(found(lines, more)).toEqual(told));
});

describe('a test under load', () => {
    const trial =
        'deck: set SW to ON tech: see FLAG is UP within 3 s deck: set SW to OFF tech: see FLAG is DOWN within 3 s';
    const rules = 'rule loaded: to test V require P';
    const inTest = (of: string, lines: string): string =>
        `wait 1 s } test t "Test" of ${of} { ${open} ${lines} ${shut}`;
    test('is asked for in a test', () => {
        expect(found(inTest('V', trial), { rules })).toEqual(['test-not-loaded V PUMP', 'test-not-loaded V PUMP']);
    });
    test('is not asked for where nothing is tested or disturbed', () => {
        expect(found(`${open} ${trial} ${shut}`, { rules })).toEqual([]);
    });
    test('is not judged while the card contradicts itself', () => {
        expect(found(inTest('V', `deck: read V1 at most 1 V ${trial}`), { rules })).toEqual([]);
    });
    test('may come while the look waits', () => {
        const both = 'deck: pull CB2 and tag';
        const own = 'rule loaded: to test M1 require V is OPEN';
        const up = `${both} deck: set SW to ON tech: see FLAG is UP within 3 s deck: close CB2 deck: set SW to OFF wait 3 s`;
        expect(found(inTest('M1', up), { rules: own })).toEqual([]);
    });
});

describe('taking a lock-out away', () => {
    const first = `${pull} ${dead} ${open} ${work}`;
    test.each([
        [
            'with a plug for device',
            `${open} ${pull} tech: disconnect C1 tech: "Clean [V]." tech: connect C1 tech: clear Bay ${shut} ${close}`,
            'rule hands: before work on V require C1 is DISCONNECTED',
            ['lock-out-of-order V Bay'],
        ],
        [
            'is not done with a breaker that must be closed for the work',
            `${first} deck: pull CB3 and tag tech: clear Bay ${shut} ${close} deck: close CB3`,
            `${hands} and CB3 is CLOSED`,
            [],
        ],
        [
            'after work behind a clearing that only people have left since',
            `${first} tech: clear Bay ${work} tech: leave Bay ${shut} ${close}`,
            hands,
            ['lock-out-of-order U Bay'],
        ],
        [
            'once without and then, isolated again, with clearing',
            `${first} ${shut} ${close} ${first} tech: clear Bay ${shut} ${close}`,
            hands,
            [],
        ],
    ])('%s', (_, lines, rules, told) => expect(found(lines, { rules })).toEqual(told));
});

test('making the plug that isolates is how its isolation ends', () => {
    const rules = 'rule hands: before work on V require C1 is DISCONNECTED';
    const lines = `${open} ${pull} tech: disconnect C1 tech: "Clean [V]." tech: connect C1 ${shut} ${close}`;
    expect(found(lines, { rules })).toEqual([]);
    const self = 'rule hands: before work on U require C1 is DISCONNECTED';
    expect(found(lines.replace('[V]', '[U]'), { rules: self })).toEqual([]);
});

test('who closes the cover from behind it is in the wrong place, and that is said once', () => {
    expect(found(`${open} tech: go to Bay ${shut}`, { rules: '' })).toEqual([]);
});

describe('a lock-out in a block that the card as written does not take', () => {
    const block = (lines: string): string =>
        `${open} tech: see FLAG is DOWN else { ${lines} ${close} ${shut} stop "It is done." } ${shut}`;
    const inside = (lines: string): string =>
        `${pull} ${dead} ${open} ${work} tech: clear Bay tech: see FLAG is DOWN else { ${lines} ${shut} ${close} stop "It is done." } ${shut} ${close}`;
    test.each([
        ['in order', block(`${pull} ${work}`), []],
        ['tagged after the work', block(`deck: pull CB1, CB2 ${work} deck: tag CB1, CB2`), ['lock-out-of-order U']],
        ['cleared before more work', block(`${pull} ${work} tech: clear Bay ${work}`), ['lock-out-of-order U Bay']],
        ['begun before it, and worked on in it after clearing', inside(work), ['lock-out-of-order U Bay']],
        ['begun before it, and cleared again', inside(`${work} tech: clear Bay`), []],
        ['begun and over before it', inside(''), []],
    ])('%s', (_, lines, told) => expect(found(lines)).toEqual(told));
});

test('a switch that is used under its tag more than once is told of once', () => {
    expect(found('deck: tag SW deck: set SW to ON deck: set SW to OFF deck: untag SW')).toEqual([
        'tag-removed-by-another SW',
    ]);
});
