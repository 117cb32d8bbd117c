/** Isolated, tagged, proved, given back: what the checks of isolation say, and what they leave alone. */
import { describe, expect, test } from 'vitest';
import { check } from '../../../language/check.js';
import { ofWholeTexts } from '../../small.js';

const codes = [
    'lock-out-of-order',
    'isolation-lost',
    'closed-with-work-open',
    'test-not-loaded',
    'taken-on-trust',
    'tag-removed-by-another',
    'not-proved-dead',
];

const equipment = `equipment E "e" {
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
  valve   V   "valve" at Bay positions SHUT, OPEN {
    goes OPEN in 2 s when SW is ON and (M1 or M2)
    goes SHUT in 2 s when SW is OFF and (M1 or M2)
  }
  mark    FLAG "flag" at Bay { shows UP when V is OPEN  shows DOWN when V is SHUT  shows HALF otherwise }
  light   LT1 "lamp one" at FD from CB1
  gauge   V1  "volts one" at FD { shows 26 to 29 V when CB1  shows 0 V otherwise }
  gauge   V2  "volts two" at FD { shows 26 to 29 V when CB2  shows 0 V otherwise }
  port    BLEED "bleed" at Bay carries P
  flow    JET "jet" at Bay { shows SOME when P and BLEED is OPEN  shows NONE otherwise }
  rule hands: before work on U require CB1 is PULLED and CB2 is PULLED
  RULES
}`;

/** The codes of this family that the lines draw, and what each is about. */
function found(lines: string, { start = 'SW is OFF', rules = '', step = 'step all "All"' } = {}): string[] {
    const text = `${equipment.replace('RULES', rules)}
card K "k" {
  uses E
  revision "1"
  role deck "Operator" at FD
  role mate "Second operator" at FD
  role tech "Technician" at Wing
  role help "Helper" at Wing
  start with ${start}
  ${step} {
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

describe('the order of a lock-out', () => {
    test.each([
        ['all of it in order', `${pull} ${dead} ${open} ${work} ${shut} ${close}`],
        [
            'each breaker tagged before the next is pulled',
            `deck: pull CB1 deck: tag CB1 deck: pull CB2 deck: tag CB2 ${dead} ${open} ${work} ${shut} ${close}`,
        ],
        [
            'each breaker proved before the next is pulled',
            `deck: pull CB1 and tag deck: read V1 at most 1 V deck: pull CB2 and tag deck: read V2 at most 1 V ${open} ${work} ${shut} ${close}`,
        ],
        [
            'a trial with the switch, which is no shutting down',
            `${pull} ${open} deck: set SW to ON tech: see FLAG is DOWN for 4 s deck: set SW to OFF ${work} ${shut} ${close}`,
        ],
        [
            'a proof after the work, where there was one before it',
            `${pull} ${dead} ${open} ${work} ${dead} ${shut} ${close}`,
        ],
        [
            'other work between clearing and giving back',
            `${pull} ${dead} ${open} ${work} tech: clear Bay ${shut} deck: "Write [CB1] into the log." ${close}`,
        ],
        [
            'cleared again after more work',
            `${pull} ${dead} ${open} ${work} tech: clear Bay ${work} tech: clear Bay ${shut} ${close}`,
        ],
        [
            'cleared only once everything is given back, without having been worked on',
            `${open} tech: clear Bay ${shut}`,
        ],
    ])('says nothing of %s', (_, lines) => {
        expect(found(lines)).toEqual([]);
    });

    test.each([
        [
            'a tag after the proof',
            `deck: pull CB1, CB2 deck: tag CB1 ${dead} deck: tag CB2 ${open} ${work} ${shut} ${close}`,
            ['lock-out-of-order U CB2'],
        ],
        [
            'a proof that comes only after the work',
            `${pull} ${open} ${work} ${dead} ${shut} ${close}`,
            ['lock-out-of-order U'],
        ],
        [
            'work at the place after it was cleared',
            `${pull} ${dead} ${open} tech: clear Bay ${work} ${shut} ${close}`,
            ['lock-out-of-order U Bay'],
        ],
        [
            'clearing after the breaker is closed',
            `${pull} ${dead} ${open} ${work} ${close} tech: clear Bay ${shut}`,
            ['lock-out-of-order U Bay'],
        ],
        [
            'leaving before clearing',
            `${pull} ${dead} ${open} ${work} tech: leave Bay tech: clear Bay ${shut} ${close}`,
            ['lock-out-of-order U Bay'],
        ],
        [
            'looking in after leaving',
            `${pull} ${dead} ${open} ${work} tech: clear Bay tech: leave Bay tech: see FLAG is DOWN ${close} ${shut}`,
            ['lock-out-of-order U Bay'],
        ],
    ])('tells of %s', (_, lines, told) => {
        expect(found(lines).sort()).toEqual([...told].sort());
    });

    test('a pump that is stopped after the work is shut down too late', () => {
        const lines = `${pull} ${dead} ${open} ${work} deck: set PUMP to OFF ${shut} ${close}`;
        expect(found(lines, { start: 'PUMP is ON' })).toContain('lock-out-of-order U PUMP');
        expect(
            found(`deck: set PUMP to OFF ${lines.replace('deck: set PUMP to OFF', '')}`, { start: 'PUMP is ON' }),
        ).toEqual([]);
    });

    test('pressure is let off before it is tried, not after', () => {
        const bled = (one: string, two: string) =>
            `${pull} ${open} ${one} ${two} ${work} tech: close BLEED ${shut} ${close}`;
        expect(found(bled('tech: open BLEED', dead))).toEqual([]);
        expect(found(bled(dead, 'tech: open BLEED'))).toContain('lock-out-of-order U BLEED');
    });
});

describe('an isolation that is lost', () => {
    const taken = `${pull} ${dead} ${open} tech: disconnect C1`;
    test.each([
        [
            'a breaker closed while a plug is parted',
            `${taken} deck: close CB1 deck: pull CB1 and tag ${dead} tech: connect C1 ${shut} ${close}`,
            ['isolation-lost CB1 C1'],
        ],
        [
            'the second breaker too, but only the first act that loses it',
            `${taken} deck: close CB1 deck: close CB2 deck: pull CB1, CB2 and tag ${dead} tech: connect C1 ${shut} ${close}`,
            ['isolation-lost CB1 C1', 'closed-with-work-open'],
        ],
        ['nothing where the plug is made first', `${taken} tech: connect C1 ${shut} ${close}`, []],
        ['nothing where the plug never comes back: it is left behind', `${taken} ${shut} ${close}`, []],
    ])('%s', (_, lines, told) => {
        const all = found(lines);
        for (const each of told.filter(one => one.startsWith('isolation-lost'))) expect(all).toContain(each);
        expect(all.filter(each => each.startsWith('isolation-lost'))).toHaveLength(
            told.filter(one => one.startsWith('isolation-lost')).length,
        );
        if (told.length === 0) expect(all).toEqual([]);
    });
});

describe('closed with work open', () => {
    const bay = `${pull} ${dead} ${open}`;
    test.each([
        [
            'a cover over a parted plug',
            `${bay} tech: disconnect C1 ${shut} ${open} tech: connect C1 ${shut} ${close}`,
            ['closed-with-work-open PAN C1'],
        ],
        ['a cover over a helper', `${bay} help: "Hold [U]." ${shut} ${close}`, ['closed-with-work-open PAN']],
        ['nothing where the helper has left', `${bay} help: "Hold [U]." help: leave Bay ${shut} ${close}`, []],
        ['nothing where the helper has gone away', `${bay} help: "Hold [U]." help: go to Wing ${shut} ${close}`, []],
        [
            'pressure while the unit is off',
            `${bay} tech: disconnect C1, C2 tech: remove U deck: set PUMP to ON deck: set PUMP to OFF tech: install U tech: connect C1, C2 ${shut} ${close}`,
            ['closed-with-work-open PUMP U'],
        ],
        [
            'nothing of a port that is open for a look',
            `${open} tech: open BLEED deck: set PUMP to ON tech: see JET is SOME tech: close BLEED deck: set PUMP to OFF ${shut}`,
            [],
        ],
        [
            'nothing of a port that is flushed',
            `${open} tech: open BLEED deck: set PUMP to ON wait 5 s deck: set PUMP to OFF tech: close BLEED ${shut}`,
            [],
        ],
        [
            'a port forgotten under pressure',
            `${open} tech: open BLEED deck: set PUMP to ON tech: close BLEED deck: set PUMP to OFF ${shut}`,
            ['closed-with-work-open PUMP BLEED'],
        ],
    ])('%s', (_, lines, told) => {
        expect(found(lines)).toEqual(told);
    });

    test('power on a parted plug, but not in a test that parted it', () => {
        const free = equipment.replace(/rule hands.*/, '');
        const told = (step: string): string[] => {
            const text = `${free.replace('RULES', '')}
card K "k" {
  uses E
  revision "1"
  role deck "Operator" at FD
  role tech "Technician" at Wing
  ${step} {
    tech: remove PAN deck: pull CB1 and tag tech: disconnect C1 deck: close CB1
    deck: pull CB1 and tag tech: connect C1 deck: close CB1 tech: install PAN
  }
}`;
            return check([{ path: 'k.cotter', text }], {}, { fixes: 'none', without: ofWholeTexts })
                .findings.filter(each => each.code === 'closed-with-work-open')
                .map(each => each.about.join(' '));
        };
        expect(told('step one "One"')).toEqual(['CB1 C1']);
        expect(told('test one "One" of M2')).toEqual([]);
    });
});

describe('a test without its load', () => {
    const rules = 'rule loaded: to test V require P';
    const trial =
        'deck: set SW to ON tech: see FLAG is UP within 3 s deck: set SW to OFF tech: see FLAG is DOWN within 3 s';
    const told = (lines: string) => found(`${open} ${lines} ${shut}`, { rules, step: 'test all "All" of V' });
    test('is told of at the first look that shows the failure', () => {
        // Stuck at one end shows at one look, stuck at the other end at the other.
        expect(told(trial)).toEqual(['test-not-loaded V PUMP', 'test-not-loaded V PUMP']);
    });
    test('is not where the load is there', () => {
        expect(told(`deck: set PUMP to ON ${trial} deck: set PUMP to OFF`)).toEqual([]);
    });
});

describe('what is taken on trust', () => {
    const start = 'CB1 is PULLED, CB2 is PULLED';
    test('is told of once a breaker', () => {
        expect(found(`${open} ${work} ${work} ${shut}`, { start })).toEqual([
            'taken-on-trust CB1',
            'taken-on-trust CB2',
        ]);
    });
    test.each([
        ['ensured', `deck: ensure CB1 is PULLED and tag deck: ensure CB2 is PULLED and tag ${open} ${work} ${shut}`],
        ['seen', `deck: see CB1 is PULLED deck: see CB2 is PULLED ${open} ${work} ${shut}`],
    ])('is not where it is %s', (_, lines) => {
        expect(found(lines, { start })).toEqual([]);
    });
    test('is where it is made sure of only in a block', () => {
        const lines = `if deck sees SW is ON { deck: ensure CB1 is PULLED and tag } deck: see CB2 is PULLED ${open} ${work} ${shut}`;
        expect(found(lines, { start: `${start}, SW is OFF or ON` })).toContain('taken-on-trust CB1');
    });
    test('is not a state that is the normal one', () => {
        const rules = 'rule off: before work on U require SW is OFF';
        expect(found(`${pull} ${dead} ${open} ${work} ${shut} ${close}`, { rules, start: 'PUMP is OFF' })).toEqual([]);
    });
});

describe('a tag', () => {
    test.each([
        [
            'closed by the other operator',
            `${pull} ${dead} mate: close CB1 deck: close CB2`,
            ['tag-removed-by-another CB1'],
        ],
        ['untagged by the other operator', `${pull} ${dead} mate: untag CB1 ${close}`, ['tag-removed-by-another CB1']],
        [
            'hung again by the one who closes',
            `${pull} ${dead} deck: untag CB1 mate: tag CB1 mate: close CB1 deck: close CB2`,
            [],
        ],
        [
            'on a switch that is used',
            'deck: tag SW deck: set SW to ON deck: untag SW deck: set SW to OFF',
            ['tag-removed-by-another SW'],
        ],
        ['on a switch that is surely so already', 'deck: tag SW deck: ensure SW is OFF deck: untag SW', []],
        ['off a switch before it is used', 'deck: tag SW deck: untag SW deck: set SW to ON deck: set SW to OFF', []],
    ])('%s', (_, lines, told) => {
        expect(found(lines)).toEqual(told);
    });
});

describe('proof that something is dead', () => {
    test.each([
        ['is missing', '', ['not-proved-dead CB1 CB2 U']],
        ['is missing for one', 'deck: read V1 at most 1 V', ['not-proved-dead CB2 U']],
        [
            'is not a lamp that is dark without supply',
            'deck: see LT1 is OFF deck: read V2 at most 1 V',
            ['not-proved-dead CB1 U'],
        ],
        ['is a meter', dead, []],
        ['is a trial', 'deck: set SW to ON tech: see FLAG is DOWN for 4 s deck: set SW to OFF', []],
        [
            'is no trial that gives the valve no time',
            'deck: set SW to ON tech: see FLAG is DOWN for 1 s deck: set SW to OFF',
            ['not-proved-dead CB1 CB2 U'],
        ],
    ])('%s', (_, lines, told) => {
        expect(found(`${pull} ${open} ${lines} ${work} ${shut} ${close}`)).toEqual(told);
    });
});
