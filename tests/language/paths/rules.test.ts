/** Which acts come under a rule, what breaks it, and who is blamed. */
import { describe, expect, it } from 'vitest';
import { only, type Small } from './small.js';

const codes = ['rule-broken', 'not-isolated', 'worked-on-live', 'opened-under-pressure', 'needs-first'];
const broken = (lines: string, small: Small): string[] => only(codes, lines, small);

describe('work on X', () => {
    const hands = {
        equipment:
            'unit BOX "box" in ARM\nconnector J "plug" in BOX keyed\nrule hands: before work on ARM require CB-1 is PULLED because "It moves."',
    };
    it.each([
        'tech: "Wipe [ARM]."',
        'tech: "Wipe [J]."',
        'tech: disconnect J',
        'tech: torque ARM with TW',
        'tech: measure "gap" of BOX 1 to 2 mm',
        'tech: remove BOX',
    ])('%s', line => {
        expect(broken(line, hands).some(each => each === `not-isolated: ${line}`)).toBe(true);
        expect(
            broken(`deck: pull CB-1 and tag\n${line}\ndeck: close CB-1`, hands).filter(each => each.startsWith('not')),
        ).toEqual([]);
    });
    it.each([
        'tech: see ARM is INSTALLED',
        'tech: tell deck "Mind [ARM]."',
        'hold for insp "[ARM] is well."',
        'tech: "Wipe the floor."',
        'tech: ensure ARM is INSTALLED',
    ])('not %s', line => {
        expect(broken(line, hands)).toEqual([]);
    });
    it('a text without a name is about what that role last worked on in the step', () => {
        expect(
            broken('deck: pull CB-1 and tag\ntech: "Open [ARM]."\ndeck: close CB-1\ntech: "Wipe it."', hands),
        ).toEqual(['not-isolated: tech: "Wipe it."']);
        expect(
            broken('deck: pull CB-1 and tag\ntech: "Open [ARM]."\ndeck: close CB-1\nhelp: "Wipe the floor."', hands),
        ).toEqual([]);
    });
    it('may be so on one path only', () => {
        expect(
            broken(
                'if tech sees MARK is S { deck: pull CB-1 and tag }\ntech: "Wipe [ARM]."\ndeck: ensure CB-1 is CLOSED',
                hands,
            ),
        ).toEqual(['not-isolated: tech: "Wipe [ARM]."']);
    });
    it('is one finding for one missing breaker', () => {
        expect(broken('tech: "Open [ARM]."\ntech: "Wipe [ARM]."\ntech: "Close [ARM]."', hands)).toEqual([
            'not-isolated: tech: "Open [ARM]."',
        ]);
    });
});

describe('conditions', () => {
    const rule = (condition: string): Small => ({
        equipment: `source BUS "bus" live when SW is ON\nrule r: before press PB require ${condition} because "So."`,
    });
    const on = 'deck: set SW to ON\ndeck: press PB\ndeck: set SW to OFF';
    it('or: one of them on every path', () => {
        expect(broken(on, rule('SW is ON or CB-1 is PULLED'))).toEqual([]);
        expect(broken(on, rule('SW is OFF or CB-1 is PULLED'))).toEqual(['rule-broken: deck: press PB']);
    });
    it('not', () => {
        expect(broken(on, rule('not SW is OFF'))).toEqual([]);
        expect(broken(on, rule('not SW is ON'))).toEqual(['rule-broken: deck: press PB']);
    });
    it('a bare source, followed to what decides it', () => {
        expect(broken(on, rule('BUS'))).toEqual([]);
        expect(broken('deck: press PB', rule('BUS'))).toEqual(['rule-broken: deck: press PB']);
        expect(
            broken(
                'if tech sees MARK is S { deck: set SW to ON }\ndeck: press PB\ndeck: ensure SW is OFF',
                rule('BUS'),
            ),
        ).toEqual(['rule-broken: deck: press PB']);
    });
    it('what moves has the states that the runs give it', () => {
        expect(
            broken('deck: set SW to ON\nwait 4 s\ndeck: press PB\ndeck: set SW to OFF', rule('VLV is OPEN')),
        ).toEqual([]);
        expect(
            broken('deck: set SW to ON\nwait 3 s\ndeck: press PB\ndeck: set SW to OFF', rule('VLV is OPEN')),
        ).toEqual(['rule-broken: deck: press PB']);
    });
});

describe('while and never', () => {
    it('are blamed once, at what broke them', () => {
        const rule = { equipment: 'rule w: while SW is ON require CB-1 is PULLED because "So."' };
        expect(broken('deck: set SW to ON\nwait 5 s\ndeck: press PB\ndeck: set SW to OFF', rule)).toEqual([
            'rule-broken: deck: set SW to ON',
        ]);
        expect(
            broken(
                'deck: pull CB-1 and tag\ndeck: set SW to ON\ndeck: close CB-1\ndeck: press PB\ndeck: set SW to OFF',
                rule,
            ),
        ).toEqual(['rule-broken: deck: close CB-1']);
        expect(
            broken('deck: pull CB-1 and tag\ndeck: set SW to ON\ndeck: set SW to OFF\ndeck: close CB-1', rule),
        ).toEqual([]);
    });
    it('also while a button is held', () => {
        const rule = { equipment: 'rule w: while PB is PRESSED require CB-1 is PULLED because "So."' };
        expect(broken('deck: press PB for 2 s', rule)).toEqual(['rule-broken: deck: press PB for 2 s']);
        expect(broken('deck: press PB\nwait 5 s', rule)).toEqual(['rule-broken: deck: press PB']);
        expect(broken('deck: pull CB-1 and tag\ndeck: press PB\ndeck: close CB-1', rule)).toEqual([]);
    });
    it('also while something moves, at its cause', () => {
        const rule = { equipment: 'rule n: never VLV is OPEN and CB-1 is CLOSED because "So."' };
        expect(broken('deck: set SW to ON\ndeck: press PB\nwait 5 s\ndeck: set SW to OFF\nwait 5 s', rule)).toEqual([
            'rule-broken: deck: set SW to ON',
        ]);
        expect(broken('deck: set SW to ON\nwait 3 s\ndeck: set SW to OFF\nwait 5 s', rule)).toEqual([]);
    });
});

describe('a rule on X also forbids hands-on work on X while it moves', () => {
    const rule = { equipment: 'rule m: before VLV moves require CB-1 is CLOSED because "Hands."' };
    it('until it has arrived', () => {
        expect(broken('deck: set SW to ON\ntech: "Oil [VLV]."\nwait 5 s\ndeck: set SW to OFF', rule)).toEqual([
            'rule-broken: tech: "Oil [VLV]."',
        ]);
        expect(broken('deck: set SW to ON\nwait 4 s\ntech: "Oil [VLV]."\ndeck: set SW to OFF', rule)).toEqual([]);
        expect(broken('deck: set SW to ON\ntech: see MARK is S\nwait 5 s\ndeck: set SW to OFF', rule)).toEqual([]);
    });
});

describe('at the end of a test', () => {
    it('what the rule asks is so', () => {
        const rule = { equipment: 'rule e: at end of test VLV require CB-1 is CLOSED because "So."' };
        const test = (lines: string) => `test t "Try" of VLV {\n${lines}\n}`;
        expect(broken(test('deck: pull CB-1 and tag\ntech: see MARK is S\ndeck: close CB-1'), rule)).toEqual([]);
        expect(
            broken(`${test('deck: pull CB-1 and tag\ntech: see MARK is S')}\nstep s "S" { deck: close CB-1 }`, rule),
        ).toEqual(['rule-broken: test t "Try" of VLV {']);
    });
});

describe('live work', () => {
    const fan = {
        equipment:
            'breaker CB-9 "NINE" at Deck\nunit FAN "fan" at Well\nconnector FP "fan plug" in FAN keyed\nmotor FM "fan motor" in FAN from CB-9, FP\nlight FL "fan lamp" in FAN from CB-9',
    };
    it('is found without a rule', () => {
        expect(broken('tech: disconnect FP\ntech: remove FAN\ntech: install FAN\ntech: connect FP', fan)).toEqual([
            'worked-on-live: tech: disconnect FP',
        ]);
        expect(
            broken(
                'deck: pull CB-9 and tag\ntech: disconnect FP\ntech: remove FAN\ntech: install FAN\ntech: connect FP\ndeck: close CB-9',
                fan,
            ),
        ).toEqual([]);
        expect(broken('deck: pull CB-9 and tag\ntech: disconnect FP\ndeck: close CB-9\ntech: connect FP', fan)).toEqual(
            ['worked-on-live: tech: connect FP'],
        );
    });
    it('not for lamps, nor for feeds without a breaker, nor for texts', () => {
        const lamp = {
            equipment:
                'breaker CB-9 "NINE" at Deck\nsource BUS "bus"\nunit FAN "fan" at Well\nlight FL "fan lamp" in FAN from CB-9\nmotor FM "motor" in FAN from BUS',
        };
        expect(broken('tech: remove FAN\ntech: install FAN', lamp)).toEqual([]);
        expect(broken('tech: "Wipe [FAN]."', fan)).toEqual([]);
    });
});

describe('opened under pressure', () => {
    const port = {
        equipment:
            'source P "pressure" live when SW is ON\nport TAP "tap" at Well carries P\nunit BODY "body" at Well\nseal PACK "packing" in BODY carries P',
    };
    it('the joint, or what it is in', () => {
        expect(broken('deck: set SW to ON\ntech: open TAP\ntech: close TAP\ndeck: set SW to OFF', port)).toEqual([
            'opened-under-pressure: tech: open TAP',
        ]);
        expect(broken('deck: set SW to ON\ntech: remove BODY\ntech: install BODY\ndeck: set SW to OFF', port)).toEqual([
            'opened-under-pressure: tech: remove BODY',
        ]);
        expect(broken('tech: open TAP\ntech: close TAP', port)).toEqual([]);
    });
    it('on any path', () => {
        expect(
            broken(
                'if tech sees MARK is S { deck: set SW to ON }\ntech: open TAP\ntech: close TAP\ndeck: ensure SW is OFF',
                port,
            ),
        ).toEqual(['opened-under-pressure: tech: open TAP']);
    });
});

describe('what must come first', () => {
    const box = {
        equipment: 'unit BOX "box" at Well\nconnector J "plug" in BOX keyed\nfastener B "bolt" at Well holds BOX',
    };
    it('connectors and what holds it off before, and on after', () => {
        expect(
            broken(
                'tech: disconnect J\ntech: remove B\ntech: remove BOX\ntech: install BOX\ntech: install B\ntech: connect J',
                box,
            ),
        ).toEqual([]);
        expect(
            broken(
                'tech: remove B\ntech: remove BOX\ntech: disconnect J\ntech: install BOX\ntech: install B\ntech: connect J',
                box,
            ),
        ).toEqual(['needs-first: tech: remove BOX']);
        expect(
            broken(
                'tech: disconnect J\ntech: remove BOX\ntech: remove B\ntech: install BOX\ntech: install B\ntech: connect J',
                box,
            ),
        ).toEqual(['needs-first: tech: remove BOX']);
        expect(
            broken(
                'tech: disconnect J\ntech: remove B\ntech: remove BOX\ntech: install B\ntech: install BOX\ntech: connect J',
                box,
            ),
        ).toEqual(['needs-first: tech: install B']);
    });
    it('nothing inside what is off, and nothing that is off, is operated', () => {
        expect(
            broken(
                'tech: disconnect J\ntech: remove B\ntech: remove BOX\ntech: connect J\ntech: torque BOX with TW\ntech: install BOX\ntech: install B',
                box,
            ),
        ).toEqual(['needs-first: tech: connect J']);
        expect(broken('deck: remove SW\ndeck: set SW to ON\ndeck: set SW to OFF\ndeck: install SW', {})).toEqual([
            'needs-first: deck: set SW to ON',
        ]);
    });
    it('a text or a look is no such work', () => {
        expect(
            broken(
                'tech: disconnect J\ntech: remove B\ntech: remove BOX\ntech: "Clean the seat of [BOX]."\ntech: install BOX\ntech: install B\ntech: connect J',
                box,
            ),
        ).toEqual([]);
    });
});
