import { describe, expect, it } from 'vitest';
import { reflection } from '../../../language/grammar/generated/ast.js';
import { linesOf, tell, tellSteps, told as toldOf } from './told.js';

/** A switch feeds a lamp at once and a valve in 4 s; a port wets an area while the pump runs. */
const equipment = `
control SW   "MASTER" at Here positions OFF, ON
control PUMP "PUMP"   at Here positions OFF, ON
button  BTN  "PUSH"   at Here
breaker CB-1 "LAMP"   at Here
source  PRES "pressure" live when PUMP is ON
light   LT   "lamp"   at Here from CB-1 { shows ON when SW is ON  shows OFF otherwise }
valve   V    "valve"  at Here positions SHUT, OPEN normal SHUT {
  goes OPEN in 4 s when SW is ON
  goes SHUT in 4 s when SW is OFF
}
mark    M    "pointer" at Here { shows UP when V is OPEN  shows DOWN when V is SHUT  shows BETWEEN otherwise }
gauge   PG   "gauge"  at Here { shows 90 to 110 psi when PRES  shows 0 psi otherwise }
unit    BOX  "box"    at Here torque 2 to 3 N·m
connector P1 "plug"   in BOX
port    DRAIN "drain" at Here carries PRES wets SPOT
area    SPOT "spot"   at Here
pin     PIN  "pin"    at Here
lead    GPU  "lead"   at Here
stimulus HEAT "heat"  at Here`;

const has =
    'tool TW "Torque wrench" range 1 to 5 N·m spare RING "Ring" part "R-1" for P1 quantity 1 material OIL "Oil"';
const told = (statements: string, parts = '') => tellSteps(equipment, statements, `${has} ${parts}`);
const lines = (statements: string, parts = '') => told(statements, parts).lines;

const lampOn = 'set SW ON | SW OFF>ON, LT OFF>ON <SW';
const open = 'V SHUT>OPEN @4 <SW, M DOWN>UP @4 <V';

describe('actions on one thing', () => {
    it.each([
        ['tech: pull CB-1', ['0 pull CB-1 PULLED | CB-1 CLOSED>PULLED']],
        [
            'tech: pull CB-1 tech: close CB-1',
            ['0 pull CB-1 PULLED | CB-1 CLOSED>PULLED', '0 close CB-1 CLOSED | CB-1 PULLED>CLOSED'],
        ],
        [
            'tech: pull CB-1 and tag tech: close CB-1',
            [
                '0 pull CB-1 PULLED | CB-1 CLOSED>PULLED',
                '0 tag CB-1 | CB-1/tag NO-TAG>TAGGED',
                // Closing a breaker takes its tag off.
                '0 close CB-1 CLOSED | CB-1 PULLED>CLOSED, CB-1/tag TAGGED>NO-TAG',
            ],
        ],
        [
            'tech: tag CB-1 tech: untag CB-1',
            ['0 tag CB-1 | CB-1/tag NO-TAG>TAGGED', '0 untag CB-1 | CB-1/tag TAGGED>NO-TAG'],
        ],
        ['tech: tag SW', ['0 tag SW | SW/tag NO-TAG>TAGGED']],
        ['tech: set SW to ON', [`0 ${lampOn}`]],
        ['tech: set SW to OFF', ['0 set SW OFF']],
        [
            'tech: open DRAIN tech: close DRAIN',
            ['0 open DRAIN OPEN | DRAIN CLOSED>OPEN', '0 close DRAIN CLOSED | DRAIN OPEN>CLOSED'],
        ],
        [
            'tech: disconnect P1 tech: connect P1',
            [
                '0 disconnect P1 DISCONNECTED | P1 CONNECTED>DISCONNECTED',
                '0 connect P1 CONNECTED | P1 DISCONNECTED>CONNECTED',
            ],
        ],
        ['tech: connect GPU', ['0 connect GPU CONNECTED | GPU DISCONNECTED>CONNECTED']],
        [
            'tech: remove BOX tech: install BOX',
            ['0 remove BOX REMOVED | BOX INSTALLED>REMOVED', '0 install BOX INSTALLED | BOX REMOVED>INSTALLED'],
        ],
        [
            'tech: remove BOX tech: install new BOX',
            ['0 remove BOX REMOVED | BOX INSTALLED>REMOVED', '0 install new BOX INSTALLED | BOX REMOVED>INSTALLED'],
        ],
        // Any physical thing comes off besides, and keeps its own state.
        ['tech: remove P1', ['0 remove P1 REMOVED | P1/presence INSTALLED>REMOVED']],
        ['tech: install new P1 with RING, OIL', ['0 install new P1 INSTALLED']],
        ['tech: torque BOX 2 to 3 N·m with TW and extension 4 in', ['0 torque BOX']],
        [
            'warning "Hot." caution "Wet." tech: keep SW at ON at most 5 s { }',
            [
                '0 keep SW ON | SW OFF>ON, LT OFF>ON <SW',
                '0 let go SW OFF | SW ON>OFF, LT ON>OFF <SW, V SHUT>- <SW, M DOWN>BETWEEN <V',
            ],
        ],
        [
            'tech: install PIN tech: remove PIN',
            ['0 install PIN INSTALLED | PIN REMOVED>INSTALLED', '0 remove PIN REMOVED | PIN INSTALLED>REMOVED'],
        ],
        [
            'tech: apply HEAT tech: remove HEAT',
            ['0 apply HEAT APPLIED | HEAT ABSENT>APPLIED', '0 remove HEAT ABSENT | HEAT APPLIED>ABSENT'],
        ],
        ['tech: clean SPOT', ['0 clean SPOT DRY']],
        ['tech: press BTN', ['0 press BTN | BTN RELEASED>PRESSED, BTN PRESSED>RELEASED']],
        ['tech: press BTN for 3 s', ['0 press BTN -> 3 | BTN RELEASED>PRESSED, BTN PRESSED>RELEASED @3']],
        ['wait 2 min', ['0 wait -> 120']],
        ['tech: torque BOX', ['0 torque BOX']],
        ['tech: tell mate "Clear."', ['0 tell mate']],
        ['hold for mate "The seat is clean."', ['0 hold']],
        ['tech: go to There', ['0 go There']],
        ['tech: clear Here tech: leave Here', ['0 clear Here', '0 leave Here']],
        ['tech: "Wipe the seat of [BOX]."', ['0 prose']],
        // Off to look at, the alert does nothing; neither does an accept.
        ['note "Read this." accept left-open because "It stays open."', []],
    ] as const)('%s', (statements, expected) => {
        expect(lines(statements)).toEqual(expected);
    });

    it('has what follows from it, with causes', () => {
        expect(
            lines('tech: set PUMP to ON tech: open DRAIN tech: close DRAIN tech: clean SPOT tech: set PUMP to OFF'),
        ).toEqual([
            '0 set PUMP ON | PUMP OFF>ON, PRES DEAD>LIVE <PUMP, PG 0 psi>90 to 110 psi <PRES',
            '0 open DRAIN OPEN | DRAIN CLOSED>OPEN, SPOT DRY>WET <DRAIN',
            '0 close DRAIN CLOSED | DRAIN OPEN>CLOSED',
            '0 clean SPOT DRY | SPOT WET>DRY',
            '0 set PUMP OFF | PUMP ON>OFF, PRES LIVE>DEAD <PUMP, PG 90 to 110 psi>0 psi <PRES',
        ]);
    });

    it('is undone at once where what made it so goes on', () => {
        expect(lines('tech: set PUMP to ON tech: open DRAIN tech: clean SPOT').at(-1)).toBe(
            '0 clean SPOT DRY | SPOT WET>DRY, SPOT DRY>WET <DRAIN',
        );
    });
});

describe('ensure', () => {
    it('does nothing where it is so already', () => {
        expect(lines('tech: ensure CB-1 is CLOSED')).toEqual(['0 ensure close CB-1 CLOSED']);
        expect(lines('tech: ensure SW is OFF')).toEqual(['0 ensure set SW OFF']);
    });
    it('acts where it is not so', () => {
        expect(lines('tech: ensure SW is ON')).toEqual([`0 ensure ${lampOn}`]);
        expect(lines('tech: ensure DRAIN is OPEN tech: ensure DRAIN is CLOSED').at(-1)).toBe(
            '0 ensure close DRAIN CLOSED | DRAIN OPEN>CLOSED',
        );
    });
    it('hangs a tag that is missing although it is so already', () => {
        expect(lines('tech: pull CB-1 tech: ensure CB-1 is PULLED and tag').slice(1)).toEqual([
            '0 ensure pull CB-1 PULLED',
            '0 tag CB-1 | CB-1/tag NO-TAG>TAGGED',
        ]);
    });
    it('leaves the tag of a breaker that is closed already', () => {
        expect(lines('tech: tag CB-1 tech: ensure CB-1 is CLOSED')).toEqual([
            '0 tag CB-1 | CB-1/tag NO-TAG>TAGGED',
            '0 ensure close CB-1 CLOSED',
        ]);
    });
});

describe('looks', () => {
    const on = 'tech: set SW to ON';
    it.each([
        // At this moment, without a time.
        [`${on} tech: see LT is ON`, '0 see LT ON -> yes'],
        [`${on} tech: see M is UP`, '0 see M UP -> no'],
        // Within: seen as soon as it is so; due exactly at the limit is seen; a moment less is not.
        [`${on} tech: see M is UP within 6 s`, `0 see M UP within 6 -> yes at 4 | ${open}`],
        [`${on} tech: see M is UP within 4 s`, `0 see M UP within 4 -> yes at 4 | ${open}`],
        [`${on} tech: see M is UP within 3.9 s`, '0 see M UP within 3.9 -> no at 3.9'],
        [`${on} tech: see LT is ON within 6 s`, '0 see LT ON within 6 -> yes'],
        // For: so now, and so at every moment until then, its end included.
        ['tech: see M is DOWN for 6 s', '0 see M DOWN for 6 -> yes at 6'],
        [`${on} tech: see M is DOWN for 3 s`, '0 see M DOWN for 3 -> yes at 3'],
        [`${on} tech: see M is DOWN for 4 s`, `0 see M DOWN for 4 -> no at 4 | ${open}`],
        [`${on} tech: see M is UP for 6 s`, `0 see M UP for 6 -> no at 6 | ${open}`],
        // After: not before, and by the limit.
        [`${on} tech: see M is UP after 3 s within 5 s`, `0 see M UP after 3 within 5 -> yes at 4 | ${open}`],
        [`${on} tech: see M is UP after 4 s within 5 s`, `0 see M UP after 4 within 5 -> yes at 4 | ${open}`],
        [`${on} tech: see M is UP after 2 s within 4 s`, `0 see M UP after 2 within 4 -> yes at 4 | ${open}`],
        [`${on} tech: see M is UP after 1 s within 3 s`, '0 see M UP after 1 within 3 -> no at 3'],
        [`${on} tech: see M is UP after 5 s within 6 s`, `0 see M UP after 5 within 6 -> no at 5 | ${open}`],
        [`${on} tech: see LT is ON after 2 s within 6 s`, '0 see LT ON after 2 within 6 -> no at 2'],
        // A gauge: the band shown lies inside the limit.
        ['tech: set PUMP to ON tech: read PG 90 to 110 psi', '0 read PG 90 to 110 psi -> yes'],
        ['tech: set PUMP to ON tech: read PG 80 to 120 psi', '0 read PG 80 to 120 psi -> yes'],
        ['tech: set PUMP to ON tech: read PG 95 to 120 psi', '0 read PG 95 to 120 psi -> no'],
        ['tech: set PUMP to ON tech: read PG 80 to 105 psi', '0 read PG 80 to 105 psi -> no'],
        ['tech: set PUMP to ON tech: read PG at least 90 psi', '0 read PG at least 90 psi -> yes'],
        ['tech: set PUMP to ON tech: read PG at least 91 psi', '0 read PG at least 91 psi -> no'],
        ['tech: set PUMP to ON tech: read PG at most 110 psi', '0 read PG at most 110 psi -> yes'],
        ['tech: read PG at most 0 psi', '0 read PG at most 0 psi -> yes'],
        // 110 psi is 7.58 bar.
        ['tech: set PUMP to ON tech: read PG at most 7.6 bar', '0 read PG at most 7.6 bar -> yes'],
        ['tech: set PUMP to ON tech: read PG at most 7.5 bar', '0 read PG at most 7.5 bar -> no'],
        [
            'tech: set PUMP to ON tech: read PG at least 90 psi within 5 s record',
            '0 read PG at least 90 psi within 5 -> yes',
        ],
        ['tech: read PG at most 5 psi for 3 s else { stop "It moves." }', '0 read PG at most 5 psi for 3 -> yes at 3'],
        ['tech: see LT is OFF record', '0 see LT OFF -> yes'],
        // Things that are operated are looked at too.
        ['tech: pull CB-1 tech: see CB-1 is PULLED', '0 see CB-1 PULLED -> yes'],
        ['tech: see BOX is INSTALLED', '0 see BOX INSTALLED -> yes'],
        ['tech: see P1 is REMOVED', '0 see P1 REMOVED -> no'],
        ['tech: see SPOT is DRY', '0 see SPOT DRY -> yes'],
        ['tech: see SW is ON', '0 see SW ON -> no'],
        // A measure is outside the machine.
        ['tech: measure "gap" of BOX 3.95 to 4.00 mm record', '0 measure BOX 3.95 to 4.00 mm'],
    ])('%s', (statements, expected) => {
        expect(lines(statements).at(-1)).toBe(expected);
    });

    it('sees exactly at the limit also where the seconds do not add up in binary', () => {
        const slow = equipment.replaceAll('in 4 s', 'in 0.8 s');
        const { runs } = tellSteps(slow, `${on} wait 0.1 s tech: see M is UP within 0.7 s`);
        expect(runs.contradicted).toEqual([]);
    });

    it('goes on along the path where a look fails, and says so', () => {
        const all = told('tech: see LT is ON tech: pull CB-1');
        expect(all.lines).toEqual(['0 see LT ON -> no', '0 pull CB-1 PULLED | CB-1 CLOSED>PULLED']);
        expect(all.runs.contradicted.map(each => all.plan.events[each.event]?.kind)).toEqual(['look']);
    });
});

describe('else', () => {
    const otherwise = (block: string) =>
        `tech: set SW to ON tech: see LT is OFF else { ${block} } tech: set PUMP to ON`;
    const forced = (statements: string, parts = '') => {
        const { machine, plan, runs } = told(statements, parts);
        return runs.forced.map(trace => linesOf(machine, plan, trace));
    };

    it('is not taken where the look holds', () => {
        expect(lines('tech: see LT is OFF else { tech: pull CB-1 } tech: open DRAIN')).toEqual([
            '0 see LT OFF -> yes',
            '0 open DRAIN OPEN | DRAIN CLOSED>OPEN',
        ]);
    });
    it('falls through, and is run by force as far as that', () => {
        expect(forced('tech: see LT is OFF else { tech: pull CB-1 } tech: open DRAIN')).toEqual([
            ['0 pull CB-1 PULLED | CB-1 CLOSED>PULLED'],
        ]);
    });
    it('stops', () => {
        expect(forced('tech: see LT is OFF else { tech: pull CB-1 stop "The lamp is on." } tech: open DRAIN')).toEqual([
            ['0 pull CB-1 PULLED | CB-1 CLOSED>PULLED', '0 stop', 'stop'],
        ]);
    });
    it('leaves for another card', () => {
        const text = `equipment E "Equipment" { place Here "Here" light LT "lamp" at Here }
          card C-1 "Card" { uses E role tech "Technician" at Here step s "Step" { tech: see LT is ON else { leave for C-2 } } }
          card C-2 "Repair" { uses E role tech "Technician" at Here step s "Step" { tech: see LT is ON } }`;
        const { machine, plan, runs } = tell(text);
        expect(runs.forced.map(trace => linesOf(machine, plan, trace))).toEqual([['0 leave for C-2', 'leave-for']]);
    });
    it('is taken where "start with" says so, and that is no contradiction', () => {
        const all = told(
            'tech: see DRAIN is CLOSED else { tech: close DRAIN } tech: see DRAIN is CLOSED',
            'start with DRAIN is OPEN',
        );
        expect(all.lines).toEqual([
            '0 see DRAIN CLOSED -> no',
            '0 close DRAIN CLOSED | DRAIN OPEN>CLOSED',
            '0 see DRAIN CLOSED -> yes',
        ]);
        expect(all.runs.contradicted).toEqual([]);
    });
    it('is not taken where the card itself made it so: that is a contradiction', () => {
        const all = told(otherwise('tech: pull CB-1'));
        expect(all.lines).toEqual([
            `0 ${lampOn}`,
            '0 see LT OFF -> no',
            '0 set PUMP ON | PUMP OFF>ON, PRES DEAD>LIVE <PUMP, PG 0 psi>90 to 110 psi <PRES',
        ]);
        expect(all.runs.contradicted).toHaveLength(1);
    });
    it('counts no more than `after` as surely passed where the look has failed', () => {
        const all = told(
            'tech: see M is DOWN for 6 s else { tech: pull CB-1 } tech: see M is DOWN after 0 s within 1 s else { tech: open DRAIN }',
        );
        const [first] = all.runs.forced;
        expect(first?.visits.map(each => [each.time, each.guaranteed])).toEqual([[6, 0]]);
        // What changed while it was looked at has been so for no time that is sure.
        const moved = told('tech: set SW to ON tech: see M is DOWN for 6 s else { wait 1 s tech: pull CB-1 }');
        const { machine, runs } = moved;
        const slot = machine.items[machine.itemIndex.V as number]?.slot as number;
        expect(runs.forced[0]?.visits.map(each => [each.time, each.guaranteed - (each.since[slot] as number)])).toEqual(
            [
                [6, 0],
                [7, 1],
            ],
        );
    });
    it('is forced for a measure', () => {
        expect(forced('tech: measure "gap" of BOX 3 to 4 mm else { tech: remove BOX stop "Too wide." }')).toEqual([
            ['0 remove BOX REMOVED | BOX INSTALLED>REMOVED', '0 stop', 'stop'],
        ]);
    });
});

describe('repeat', () => {
    /** A timer closes 10 s after the switch; the card looks at 4 s, 8 s and 12 s. */
    const late = `control SW "MASTER" at Here positions OFF, ON normal ON
      control T-SW "TIMER" at Here positions OFF, ON normal OFF
      timer TM "timer" at Here positions OPEN, CLOSED { goes CLOSED in 10 s when T-SW is ON  goes OPEN when T-SW is OFF }
      light LT "lamp" at Here { shows ON when TM  shows OFF otherwise }`;
    const statements = (times: number) =>
        `tech: see LT is ON within 4 s else { tech: set T-SW to ON repeat step s at most ${times} times } tech: set SW to OFF`;

    it('does the step again as often as it says, and goes on once the look holds', () => {
        // A look that does the step again is met in the end, and so contradicts nothing before.
        const { lines: run } = tellSteps(late, statements(3));
        expect(run).toEqual([
            '0 see LT ON within 4 -> no at 4',
            '4 set T-SW ON | T-SW OFF>ON',
            '4 see LT ON within 4 -> no at 8',
            '8 set T-SW ON',
            '8 see LT ON within 4 -> no at 12',
            '12 set T-SW ON',
            '12 see LT ON within 4 -> yes at 14 | TM OPEN>CLOSED @14 <T-SW, LT OFF>ON @14 <TM',
            '14 set SW OFF | SW ON>OFF',
        ]);
    });
    it('is a look without else when no pass is left: the run goes on as written, contradicted', () => {
        const { lines: run } = tellSteps(late, statements(1));
        expect(run).toEqual([
            '0 see LT ON within 4 -> no at 4',
            '4 set T-SW ON | T-SW OFF>ON',
            '4 see LT ON within 4 -> no at 8',
            '8 set SW OFF | SW ON>OFF',
        ]);
    });
});

describe('if and otherwise', () => {
    it('is decided by the machine', () => {
        const statements = 'if tech sees LT is ON { tech: open DRAIN } otherwise { tech: connect GPU } tech: pull CB-1';
        expect(lines(`tech: set SW to ON ${statements}`)).toEqual([
            `0 ${lampOn}`,
            '0 if LT ON -> yes',
            '0 open DRAIN OPEN | DRAIN CLOSED>OPEN',
            '0 pull CB-1 PULLED | CB-1 CLOSED>PULLED, LT ON>OFF <CB-1',
        ]);
        expect(lines(statements)).toEqual([
            '0 if LT ON -> no',
            '0 connect GPU CONNECTED | GPU DISCONNECTED>CONNECTED',
            '0 pull CB-1 PULLED | CB-1 CLOSED>PULLED',
        ]);
    });
    it('does nothing where there is no otherwise', () => {
        expect(lines('if tech sees LT is ON { tech: open DRAIN } tech: pull CB-1')).toEqual([
            '0 if LT ON -> no',
            '0 pull CB-1 PULLED | CB-1 CLOSED>PULLED',
        ]);
    });
    it('runs the other side by force', () => {
        const { machine, plan, runs } = told(
            'if tech sees LT is ON { tech: open DRAIN } otherwise { tech: connect GPU } tech: pull CB-1',
        );
        expect(runs.forced.map(trace => linesOf(machine, plan, trace))).toEqual([
            ['0 open DRAIN OPEN | DRAIN CLOSED>OPEN'],
        ]);
    });
});

describe('written once, done several times', () => {
    it('for each row of a list', () => {
        expect(lines('for each (a, b) in (SW, ON), (PUMP, ON) { tech: set a to b }')).toEqual([
            `0 ${lampOn}`,
            '0 set PUMP ON | PUMP OFF>ON, PRES DEAD>LIVE <PUMP, PG 0 psi>90 to 110 psi <PRES',
        ]);
        expect(lines('for each x in DRAIN, P1 { tech: remove x }')).toEqual([
            '0 remove DRAIN REMOVED | DRAIN/presence INSTALLED>REMOVED',
            '0 remove P1 REMOVED | P1/presence INSTALLED>REMOVED',
        ]);
    });

    it('do, with an item, a role, a position and a tool', () => {
        const text = `equipment E "Equipment" { place Here "Here"
            control SW "MASTER" at Here positions OFF, ON  control AUX "AUX" at Here positions OFF, ON  unit BOX "box" at Here torque 1 to 2 N·m }
          subtask Both "Both" (control one, control two, role who, position where-to, tool with-what) uses E {
            who: set one to where-to  who: set two to where-to  who: torque BOX with with-what }
          card C-1 "Card" { uses E role tech "Technician" at Here tool TW "Torque wrench" range 1 to 5 N·m
            step s "Step" { do Both(AUX, SW, tech, ON, TW) } }`;
        expect(tell(text).lines).toEqual(['0 set AUX ON | AUX OFF>ON', '0 set SW ON | SW OFF>ON', '0 torque BOX']);
    });

    it('do, with another card', () => {
        const text = `equipment E "Equipment" { place Here "Here" control SW "MASTER" at Here positions OFF, ON }
          card C-1 "Card" { uses E role tech "Technician" at Here step s "Step" { wait 1 s do C-2 wait 2 s } }
          card C-2 "Other" { uses E role tech "Technician" at Here step one "One" { tech: set SW to ON } step two "Two" { wait 3 s } }`;
        expect(tell(text).lines).toEqual(['0 wait -> 1', '1 set SW ON | SW OFF>ON', '1 wait -> 4', '4 wait -> 6']);
    });

    it('where, for the aircraft with and without', () => {
        const text = `modification M1 "Modification" equipment E "Equipment" { place Here "Here"
            where M1 { control SW "NEW" at Here positions OFF, ON } otherwise { control SW "OLD" at Here positions OFF, ON, MAX } }
          card C-1 "Card" { uses E role tech "Technician" at Here
            where M1 { start with SW is ON }
            step s "Step" { where M1 { tech: see SW is ON } otherwise { tech: set SW to MAX } } }`;
        expect(tell(text, ['M1']).lines).toEqual(['0 see SW ON -> yes']);
        expect(tell(text).lines).toEqual(['0 set SW MAX | SW OFF>MAX']);
    });
});

describe('keep', () => {
    it('holds a control while the block is done, and lets go at the brace', () => {
        expect(
            lines('tech: keep SW at ON at most 30 s { tech: see M is UP within 6 s wait 2 s } tech: see LT is OFF'),
        ).toEqual([
            '0 keep SW ON | SW OFF>ON, LT OFF>ON <SW',
            `0 see M UP within 6 -> yes at 4 | ${open}`,
            '4 wait -> 6',
            '6 let go SW OFF | SW ON>OFF, LT ON>OFF <SW',
            '6 see LT OFF -> yes',
        ]);
    });
    it('holds a button', () => {
        expect(lines('tech: keep BTN at most 5 s { wait 4 s }')).toEqual([
            '0 keep BTN PRESSED | BTN RELEASED>PRESSED',
            '0 wait -> 4',
            '4 let go BTN RELEASED | BTN PRESSED>RELEASED',
        ]);
    });
    it('lets go on every way out', () => {
        const { machine, plan, runs } = told(
            'tech: keep BTN at most 5 s { tech: see LT is OFF else { stop "It is lit." } }',
        );
        expect(runs.forced.map(trace => linesOf(machine, plan, trace))).toEqual([
            ['0 let go BTN RELEASED | BTN PRESSED>RELEASED', '0 stop', 'stop'],
        ]);
    });
    it('goes back to where it stood', () => {
        expect(lines('tech: keep SW at OFF at most 5 s { wait 1 s }', 'start with SW is ON').slice(0, 3)).toEqual([
            '0 keep SW OFF | SW ON>OFF, LT ON>OFF <SW',
            '0 wait -> 1',
            '1 let go SW ON | SW OFF>ON, LT OFF>ON <SW, V OPEN>- <SW, M UP>BETWEEN <V',
        ]);
    });
});

describe('the start', () => {
    it('is at rest under what the card starts with', () => {
        expect(lines('tech: see M is UP tech: see LT is ON', 'start with SW is ON')).toEqual([
            '0 see M UP -> yes',
            '0 see LT ON -> yes',
        ]);
    });
    it('may leave something off, pulled or applied', () => {
        const start = 'start with CB-1 is PULLED, BOX is REMOVED, P1 is DISCONNECTED, HEAT is APPLIED';
        const looks =
            'tech: see CB-1 is PULLED tech: see BOX is REMOVED tech: see P1 is DISCONNECTED tech: see HEAT is APPLIED';
        expect(lines(looks, start).every(each => each.endsWith('-> yes'))).toBe(true);
    });
    it('counts a time before the card only as far as it is said', () => {
        const { machine, plan, runs } = told('tech: open DRAIN', 'start with SW is ON for at least 5 min, PUMP is ON');
        const [first] = runs.plain[0]?.visits ?? [];
        const since = (name: string) => first?.since[machine.items[machine.itemIndex[name] as number]?.slot as number];
        expect(plan.unknown).toEqual([]);
        expect([since('SW'), since('PUMP'), since('V')]).toEqual([-300, 0, 0]);
    });
    it('is run in each of several states', () => {
        const { machine, plan, runs } = told(
            'tech: see DRAIN is CLOSED else { tech: close DRAIN }',
            'start with DRAIN is OPEN or CLOSED',
        );
        expect(runs.plain.map(trace => linesOf(machine, plan, trace))).toEqual([
            ['0 see DRAIN CLOSED -> no', '0 close DRAIN CLOSED | DRAIN OPEN>CLOSED'],
            ['0 see DRAIN CLOSED -> yes'],
        ]);
        expect(runs.contradicted).toEqual([]);
        expect(runs.forced).toEqual([]);
    });
});

describe('meanwhile', () => {
    it('is not part of this version, and is said to be so', () => {
        expect(() => lines('meanwhile { tech: open DRAIN } and { mate: wait 1 s }')).toThrow();
    });
});

describe('causes', () => {
    it('lead back to the event that began it', () => {
        const { machine, plan, runs } = told('tech: set SW to ON wait 10 s');
        const changes = runs.plain[0]?.changes ?? [];
        const set = plan.events.find(each => each.kind === 'operate')?.id;
        expect(changes.map(each => [machine.items[machine.slots[each.slot]?.item ?? -1]?.name, each.root])).toEqual([
            ['SW', set],
            ['LT', set],
            ['V', set],
            ['M', set],
        ]);
        expect(runs.plain[0]?.visits.find(each => each.event === set)?.started).toEqual([machine.itemIndex.V]);
    });
});

describe('every alternative of the grammar', () => {
    it('of statements, actions and looks has been run above', () => {
        const types = (of: string) => reflection.getAllSubTypes(of).filter(each => each !== of);
        const own = [...types('Statement'), ...types('Action'), ...types('Look')].filter(
            each => !['Statement', 'Action', 'Look', 'Meanwhile', 'UnknownAction'].includes(each),
        );
        expect(own.length).toBeGreaterThan(25);
        const parts = [
            'Operate.tag',
            'Ensure.tag',
            'Install.fresh',
            'Install.with',
            'Press.time',
            'Keep.state',
            'Torque.limits',
            'Torque.tool',
            'Torque.extension',
            'Timing.within',
            'Timing.for',
            'Timing.after',
            'See.else',
            'See.timing',
            'See.record',
            'Read.else',
            'Read.timing',
            'Read.record',
            'Measure.else',
            'Measure.record',
            'Limits.low',
            'Limits.high',
            'If.otherwise',
            'WhereStatements.otherwise',
            'Setting.atLeast',
            'Do.args',
            'ForEach.rows',
            ...['pull', 'close', 'open', 'disconnect', 'connect', 'remove', 'clean', 'apply', 'tag', 'untag'].map(
                each => `Operate ${each}`,
            ),
            'Clear clear',
            'Clear leave',
            'Alert warning',
            'Alert caution',
            'Alert note',
            ...['item', 'role', 'tool', 'position'].map(each => `Parameter ${each === 'item' ? 'control' : each}`),
        ];
        expect([...own, ...parts].filter(each => !toldOf.has(each))).toEqual([]);
    });
});
