import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { runFailures } from '../../../language/failures/runs.js';
import { modesOf } from '../../../language/failures/which.js';
import { cardWith, type FailuresTold, tell, tellFailures, tellSteps } from '../trace/told.js';

const failures = (equipment: string, statements: string, parts = '') =>
    tellFailures(tellSteps(equipment, statements, parts)).lines;
/** Only those of the thing named. */
const of = (name: string, told: readonly string[]) => told.filter(each => each.startsWith(`${name} `));
const begins = (name: string, told: readonly string[]) =>
    of(name, told).map(each => each.slice(name.length + 1).split(':')[0]);

const supply = `control SW "SWITCH" at Here positions OFF, ON  source BUS "bus" live when SW is ON  breaker CB-1 "ONE" at Here from BUS`;

describe('the ways in which each kind fails', () => {
    const words = (item: string, name: string): string[] => {
        const { machine } = tellSteps(`${supply} unit BOX "box" at Here area SPOT "spot" at Here ${item}`, 'wait 1 s');
        expect(machine.unknown).toEqual([]);
        return modesOf(machine, machine.itemIndex[name] as number).map(each =>
            each.mode === 'STUCK' ? `stuck ${each.word}` : each.word,
        );
    };
    const goes = 'goes TWO when SW is ON  goes ONE when SW is OFF';
    it.each([
        ['motor X "motor" at Here from CB-1', ['DEAD']],
        ['light X "lamp" at Here from CB-1', ['stuck OFF', 'stuck ON']],
        ['light X "lamp" at Here { shows RED when SW is ON  shows DARK otherwise }', ['stuck RED', 'stuck DARK']],
        ['horn X "horn" at Here from CB-1', ['stuck SILENT', 'stuck SOUNDING']],
        ['mark X "mark" at Here { shows UP when SW is ON  shows DOWN otherwise }', ['stuck UP', 'stuck DOWN']],
        ['flow X "flow" at Here { shows STEADY when SW is ON  shows NONE otherwise }', ['stuck STEADY', 'stuck NONE']],
        ['gauge X "gauge" at Here { shows 5 V when SW is ON  shows 0 V otherwise }', ['stuck 5 V', 'stuck 0 V']],
        ['source X "source"', ['stuck DEAD', 'stuck LIVE']],
        [`valve X "valve" at Here positions ONE, TWO { ${goes} }`, ['stuck ONE', 'stuck TWO']],
        [`valve X "valve" at Here positions ONE, HALF, TWO { ${goes} }`, ['stuck ONE', 'stuck HALF', 'stuck TWO']],
        [`mechanism X "drive" at Here positions ONE, TWO { ${goes} }`, ['stuck ONE', 'stuck TWO']],
        [`level X "level" at Here positions ONE, TWO { ${goes} }`, ['stuck ONE', 'stuck TWO']],
        [`sensor X "sensor" at Here positions ONE, TWO { ${goes} }`, ['stuck ONE', 'stuck TWO']],
        [
            'relay X "relay" at Here positions OPEN, CLOSED { goes CLOSED when SW is ON  goes OPEN otherwise }',
            ['stuck OPEN', 'stuck CLOSED'],
        ],
        [
            'timer X "timer" at Here positions OPEN, CLOSED { goes CLOSED in 5 s when SW is ON  goes OPEN otherwise }',
            ['stuck OPEN', 'stuck CLOSED', 'EARLY'],
        ],
        // Nothing can come too early that takes no time.
        [
            'timer X "timer" at Here positions OPEN, CLOSED { goes CLOSED when SW is ON  goes OPEN otherwise }',
            ['stuck OPEN', 'stuck CLOSED'],
        ],
        ['breaker X "breaker" at Here', ['TRIPPED', 'NOT-OPENING']],
        ['connector X "plug" at Here', ['OFF']],
        ['connector X "hose" at Here carries BUS wets SPOT', ['LEAKING', 'OFF']],
        ['port X "port" at Here carries BUS wets SPOT', ['LEAKING']],
        ['seal X "seal" in BOX carries BUS wets SPOT', ['LEAKING']],
        ['port X "port" at Here', []],
        ['lead X "lead" at Here', []],
        ['unit X "unit" at Here', []],
        ['panel X "panel" at Here', []],
        ['fastener X "bolt" in BOX', []],
        ['control X "control" at Here positions OFF, ON', []],
        ['button X "button" at Here', []],
        ['area X "area" at Here', []],
        ['stimulus X "heat" at Here', []],
        ['pin X "pin" at Here', []],
        ['unit X "unit" at Here { fails "shorted" as BUS is DEAD }', ['shorted']],
        [
            'light X "lamp" at Here from CB-1 { fails "dim" as X is DIM when SW is ON }',
            ['stuck OFF', 'stuck ON', 'dim'],
        ],
        [
            'gauge X "gauge" at Here { shows 5 V when SW is ON  shows 0 V otherwise  fails "low" as X is 1 to 2 V }',
            ['stuck 5 V', 'stuck 0 V', 'low'],
        ],
    ] as const)('%s', (item, expected) => {
        expect(words(item, 'X').sort()).toEqual([...expected].sort());
    });
});

describe('slow', () => {
    const equipment = `${supply}
      valve V "valve" at Here positions SHUT, OPEN { goes OPEN in 3 to 4 s when SW is ON  goes SHUT in 3 to 4 s when SW is OFF }
      valve W "other" at Here positions SHUT, OPEN { goes OPEN in 4 s when SW is ON  goes SHUT in 4 s when SW is OFF }
      relay K1 "relay" at Here positions OPEN, CLOSED { goes CLOSED in 1 s when SW is ON  goes OPEN otherwise }
      mark M "pointer" at Here { shows UP when V is OPEN  shows DOWN otherwise }`;
    const slow = (look: string) =>
        failures(equipment, `tech: set SW to ON ${look}`).filter(each => each.includes(' SLOW,'));
    it('is only what a look gives a "within"', () => {
        expect(slow('wait 9 s tech: see M is UP')).toEqual([]);
        expect(slow('tech: see M is DOWN for 2 s')).toEqual([]);
    });
    it('takes twice the longest time', () => {
        // V needs 8 s: seen within 8 s, not within 7.9 s.
        expect(slow('tech: see M is UP within 8 s')).toEqual(['V SLOW, other, before begin s: masked']);
        expect(slow('tech: see M is UP within 7.9 s')).toEqual(['V SLOW, other, before begin s: see M UP within 7.9']);
    });
    it('has no EARLY beside it, which is for timers: half the shortest', () => {
        const timer = `${supply} timer TM "timer" at Here positions OPEN, CLOSED { goes CLOSED in 10 to 12 s when SW is ON  goes OPEN otherwise }  light LT "lamp" at Here from TM`;
        const early = (look: string) => of('TM EARLY,', failures(timer, `tech: set SW to ON ${look}`));
        // Due at 5 s.
        expect(early('tech: see LT is OFF for 4.9 s')).toEqual(['TM EARLY, other, before begin s: masked']);
        expect(early('tech: see LT is OFF for 5 s')).toEqual(['TM EARLY, other, before begin s: see LT OFF for 5']);
        expect(early('tech: see LT is ON after 6 s within 12 s')).toEqual([
            'TM EARLY, other, before begin s: see LT ON after 6 within 12',
        ]);
    });
});

describe('when a failure begins', () => {
    const equipment = `${supply} panel 1AL "panel" at Here  unit BOX "box" at Here  connector P1 "plug" in BOX  unit CORE "core" in BOX
      motor MA "motor" in CORE from CB-1, P1  seal RS "ring" in BOX carries BUS wets SPOT  area SPOT "spot" at Here  port D "drain" at Here carries BUS wets SPOT
      light LT "lamp" at Here from CB-1  mark M "vane" at Here { shows TURNS when MA  shows STILL otherwise }`;

    it('is the start for what the card leaves alone', () => {
        const told = failures(equipment, 'tech: set SW to ON');
        expect(told.every(each => each.includes(', other, before begin s:'))).toBe(true);
        expect(told.map(each => each.split(',')[0])).toEqual([
            'BUS stuck DEAD',
            'BUS stuck LIVE',
            'CB-1 TRIPPED',
            'CB-1 NOT-OPENING',
            'P1 OFF',
            'MA DEAD',
            'RS LEAKING',
            'D LEAKING',
            'LT stuck OFF',
            'LT stuck ON',
            'M stuck TURNS',
            'M stuck STILL',
        ]);
    });
    it.each([
        ['removed and installed', 'tech: remove BOX tech: install BOX', 'MA', ['DEAD, disturbed, before end s']],
        [
            'in what is removed',
            'tech: remove BOX tech: install BOX wait 1 s',
            'RS',
            ['LEAKING, disturbed, before wait'],
        ],
        ['in something in it', 'tech: remove BOX tech: install BOX wait 1 s', 'MA', ['DEAD, disturbed, before wait']],
        ['disconnected', 'tech: disconnect P1 wait 1 s tech: connect P1', 'P1', ['OFF, disturbed, before wait']],
        [
            'disconnected, after the unit went back',
            'tech: disconnect P1 tech: remove BOX tech: install BOX tech: connect P1 wait 1 s',
            'P1',
            ['OFF, disturbed, before connect P1 CONNECTED'],
        ],
        ['opened', 'tech: open D wait 1 s tech: close D', 'D', ['LEAKING, disturbed, before wait']],
        [
            'disturbed twice, at the last',
            'tech: open D tech: close D tech: open D wait 1 s tech: close D',
            'D',
            ['LEAKING, disturbed, before wait'],
        ],
        ['ensured off', 'tech: ensure D is OPEN wait 1 s tech: close D', 'D', ['LEAKING, disturbed, before wait']],
        ['ensured and already so', 'tech: ensure D is CLOSED', 'D', ['LEAKING, other, before begin s']],
        [
            'set, pulled and closed: not disturbed',
            'tech: set SW to ON tech: pull CB-1 tech: close CB-1',
            'CB-1',
            ['TRIPPED, other, before begin s', 'NOT-OPENING, other, before begin s'],
        ],
        ['behind a panel: not disturbed', 'tech: remove 1AL tech: install 1AL', 'MA', ['DEAD, other, before begin s']],
    ] as const)('%s', (_, statements, name, expected) => {
        expect(begins(name, failures(equipment, statements))).toEqual(expected);
    });

    it('is not the taking off of a panel, a door or a guard, though something is in it', () => {
        const inside = (kind: string) => `${supply} ${kind} LID "lid" at Here  light LT "lamp" in LID from CB-1`;
        expect(begins('LT', failures(inside('panel'), 'tech: remove LID tech: install LID'))).toEqual([
            'stuck OFF, other, before begin s',
            'stuck ON, other, before begin s',
        ]);
        expect(begins('LT', failures(inside('door'), 'tech: open LID tech: close LID'))[0]).toBe(
            'stuck OFF, other, before begin s',
        );
        expect(begins('LT', failures(inside('cover'), 'tech: install LID tech: remove LID'))).toEqual([]);
        expect(begins('LT', failures(inside('unit'), 'tech: remove LID tech: install LID'))[0]).toBe(
            'stuck OFF, disturbed, before end s',
        );
    });

    it('is the test for what only a test names', () => {
        const text = cardWith(equipment, 'tech: set SW to ON').replace(
            /\}\s*$/,
            'test t "Test" of LT, BOX { wait 1 s } test u "Again" of LT, D { wait 2 s } }',
        );
        const told = tellFailures(tell(text)).lines;
        expect(begins('LT', told)).toEqual(['stuck OFF, tested, before begin t', 'stuck ON, tested, before begin t']);
        // A unit names everything in it.
        expect(begins('MA', told)).toEqual(['DEAD, tested, before begin t']);
        expect(begins('D', told)).toEqual(['LEAKING, tested, before begin u']);
        expect(begins('M', told)).toEqual(['stuck TURNS, other, before begin s', 'stuck STILL, other, before begin s']);
    });

    it('is the disturbance where a test names it besides', () => {
        const text = cardWith(equipment, 'tech: open D tech: close D').replace(
            /\}\s*$/,
            'test t "Test" of D { wait 1 s } }',
        );
        expect(begins('D', tellFailures(tell(text)).lines)).toEqual(['LEAKING, disturbed, before close D CLOSED']);
    });

    it('is never for what the card leaves off', () => {
        expect(of('P1', failures(equipment, 'tech: disconnect P1'))).toEqual([]);
        expect(of('MA', failures(equipment, 'tech: remove BOX'))).toEqual([]);
        expect(of('MA', failures(equipment, 'tech: remove MA'))).toEqual([]);
        expect(of('D', failures(equipment, 'tech: open D'))).toEqual([]);
        expect(of('D', failures(equipment, 'wait 1 s', 'start with D is OPEN'))).toEqual([]);
        expect(of('RS', failures(equipment, 'tech: remove RS'))).toEqual([]);
    });
});

describe('crossed', () => {
    const equipment = (
        keyed: string,
        more = '',
        place = 'Here',
    ) => `${supply} control AUX "AUX" at Here positions OFF, ON  source TWO "two" live when AUX is ON
      connector P1 "plug 1" at Here ${keyed}  connector P2 "plug 2" at ${place}
      light L1 "lamp 1" at Here from P1, BUS  light L2 "lamp 2" at Here from P2, TWO ${more}`;
    const both = 'tech: disconnect P1, P2 tech: connect P1 tech: connect P2';
    const crossed = (text: string, statements: string) =>
        failures(text, statements).filter(each => each.includes('CROSSED'));
    it('is for like connectors, both disturbed, at one place, from the later disturbance', () => {
        expect(crossed(equipment(''), `${both} tech: set SW to ON tech: see L1 is ON`)).toEqual([
            'P1 CROSSED with P2, disturbed, before connect P1 CONNECTED: see L1 ON',
        ]);
        expect(crossed(equipment(''), `${both} tech: set SW to ON tech: see L2 is OFF`)).toEqual([
            'P1 CROSSED with P2, disturbed, before connect P1 CONNECTED: see L2 OFF',
        ]);
    });
    it('is masked where both are tried together', () => {
        expect(
            crossed(
                equipment(''),
                `${both} tech: set SW to ON tech: set AUX to ON tech: see L1 is ON tech: see L2 is ON`,
            ),
        ).toEqual(['P1 CROSSED with P2, disturbed, before connect P1 CONNECTED: masked']);
    });
    it('is not where one is keyed, left alone, elsewhere, or where it would change nothing', () => {
        expect(crossed(equipment('keyed'), both)).toEqual([]);
        expect(crossed(equipment('').replace(/("plug 2" at Here)/, '$1 keyed'), both)).toEqual([]);
        expect(crossed(equipment(''), 'tech: disconnect P1 tech: connect P1')).toEqual([]);
        expect(crossed(equipment('', '', 'There'), both)).toEqual([]);
        expect(crossed(equipment('').replace('P2, TWO', 'P2, BUS'), both)).toEqual([]);
    });
    it('crosses what each is from, where it says so', () => {
        const own = `${supply} control AUX "AUX" at Here positions OFF, ON  source TWO "two" live when AUX is ON
          connector P1 "plug 1" at Here from BUS  connector P2 "plug 2" at Here from TWO  light L1 "lamp 1" at Here from P1`;
        expect(crossed(own, `${both} tech: set SW to ON tech: see L1 is ON`)).toEqual([
            'P1 CROSSED with P2, disturbed, before connect P1 CONNECTED: see L1 ON',
        ]);
    });
});

describe('breakers that have failed', () => {
    const lamp = `${supply} light LT "lamp" at Here from CB-1  light L2 "closed" at Here { shows ON when CB-1 is CLOSED  shows OFF otherwise }  light L3 "pulled" at Here { shows ON when CB-1 is PULLED  shows OFF otherwise }`;
    const shown = (statements: string) =>
        of('CB-1', failures(lamp, statements, 'start with SW is ON')).map(each => each.split('begin s: ')[1]);
    it('TRIPPED feeds nothing although nobody pulled it, and does not close', () => {
        expect(shown('tech: see LT is ON')).toEqual(['see LT ON', 'masked']);
        expect(shown('tech: pull CB-1 tech: close CB-1 tech: see LT is ON')).toEqual(['see LT ON', 'masked']);
    });
    it('NOT-OPENING feeds although it is pulled', () => {
        expect(shown('tech: pull CB-1 tech: see LT is OFF')).toEqual(['masked', 'see LT OFF']);
    });
    it('CLOSED speaks of the contact, PULLED of the knob', () => {
        expect(shown('tech: see L2 is ON')).toEqual(['see L2 ON', 'masked']);
        expect(shown('tech: pull CB-1 tech: see L2 is OFF')).toEqual(['masked', 'see L2 OFF']);
        expect(shown('tech: pull CB-1 tech: see L3 is ON')).toEqual(['masked', 'masked']);
    });
    it('is seen to have tripped, and once pulled to be pulled', () => {
        expect(shown('tech: see CB-1 is CLOSED')).toEqual(['see CB-1 CLOSED', 'masked']);
        expect(shown('tech: pull CB-1 tech: see CB-1 is PULLED')).toEqual(['masked', 'masked']);
    });
    it('leads into an arm by being seen', () => {
        const { arms } = tellFailures(
            tellSteps(lamp, 'if tech sees CB-1 is CLOSED { wait 1 s } otherwise { wait 2 s }', 'start with SW is ON'),
        );
        expect(arms).toEqual(['if CB-1 CLOSED then: plain', 'if CB-1 CLOSED otherwise: failure']);
    });
});

describe('in a failure run', () => {
    it('the first "goes" wins where two hold', () => {
        // K1 stuck CLOSED makes both hold: SHUT, written first, wins, and the look at OPEN fails.
        const equipment = `${supply} relay K1 "relay" at Here positions OPEN, CLOSED { goes CLOSED when SW is OFF  goes OPEN when SW is ON }
          valve V "valve" at Here positions SHUT, OPEN { goes SHUT in 1 s when K1  goes OPEN in 1 s when SW is ON }`;
        const told = failures(equipment, 'tech: set SW to ON tech: see V is OPEN within 2 s');
        expect(of('K1', told).slice(0, 2)).toEqual([
            'K1 stuck OPEN, other, before begin s: masked',
            'K1 stuck CLOSED, other, before begin s: see V OPEN within 2',
        ]);
    });
    it('a dead motor is still, whatever it shows when it runs', () => {
        const equipment = `${supply} motor MA "motor" at Here from CB-1 { shows FAST when SW is ON  shows STILL otherwise }  mark M "vane" at Here { shows TURNS when MA  shows RESTS otherwise }`;
        expect(of('MA', failures(equipment, 'tech: set SW to ON tech: see M is TURNS'))).toEqual([
            'MA DEAD, other, before begin s: see M TURNS',
        ]);
        expect(of('MA', failures(equipment, 'tech: set SW to ON tech: set SW to OFF tech: see M is RESTS'))).toEqual([
            'MA DEAD, other, before begin s: masked',
        ]);
    });
    it('every look that fails is noted, and the run goes on along the path of the plain run', () => {
        const equipment = `${supply} light LT "lamp" at Here from CB-1`;
        expect(
            of(
                'LT',
                failures(
                    equipment,
                    'tech: set SW to ON tech: see LT is ON else { stop "No." } tech: set SW to OFF tech: see LT is OFF tech: set SW to ON tech: see LT is ON',
                ),
            ),
        ).toEqual([
            'LT stuck OFF, other, before begin s: see LT ON; see LT ON',
            'LT stuck ON, other, before begin s: see LT OFF',
        ]);
    });
    it('own failures are tried under their condition', () => {
        const equipment = `${supply} light LT "lamp" at Here from CB-1 { fails "goes out when warm" as LT is OFF when HEAT }  stimulus HEAT "heat" at Here`;
        expect(of('LT goes out', failures(equipment, 'tech: set SW to ON tech: see LT is ON'))).toEqual([
            'LT goes out when warm, other, before begin s: masked',
        ]);
        expect(
            of('LT goes out', failures(equipment, 'tech: set SW to ON tech: apply HEAT tech: see LT is ON')),
        ).toEqual(['LT goes out when warm, other, before begin s: see LT ON']);
    });
});

describe('install new', () => {
    // A lamp found dead is replaced in the arm, with the plug made again.
    const equipment = `${supply} unit BOX "box" at Here  connector P1 "plug" in BOX  light LT "lamp" in BOX from CB-1, P1`;
    const card = (how: string) =>
        `tech: see LT is ON else { tech: disconnect P1 tech: remove BOX ${how} tech: connect P1 tech: see LT is ON }`;
    const run = (how: string, failure: string) =>
        tellFailures(tellSteps(equipment, card(how), 'start with SW is ON'))
            .inArms.find(each => each[0] === failure)
            ?.at(-1);
    it('ends failures of what is installed and of what is in it', () => {
        expect(run('tech: install new BOX', 'LT stuck OFF')).toBe('0 see LT ON -> yes');
        expect(run('tech: install new BOX', 'P1 OFF')).toBe('0 see LT ON -> yes');
    });
    it('does not end those of other things, nor does an old part', () => {
        expect(run('tech: install new BOX', 'CB-1 TRIPPED')).toBe('failed-look');
        expect(run('tech: install BOX', 'LT stuck OFF')).toBe('failed-look');
        expect(run('tech: install BOX', 'P1 OFF')).toBe('failed-look');
    });
    it('leaves a new plug as it was last left, not as the old one had failed', () => {
        const loose = 'tech: see LT is ON else { tech: remove BOX tech: install new BOX tech: see LT is ON }';
        expect(
            tellFailures(tellSteps(equipment, loose, 'start with SW is ON'))
                .inArms.find(each => each[0] === 'P1 OFF')
                ?.at(-1),
        ).toBe('0 see LT ON -> yes');
    });
});

describe('arms', () => {
    const equipment = `${supply} light LT "lamp" at Here from CB-1  mark M "label" at Here { shows CLEAN when BUS  shows CLEAN otherwise }`;
    const told = (statements: string, parts = 'start with SW is ON'): FailuresTold =>
        tellFailures(tellSteps(equipment, statements, parts));
    it('are judged in the plain run, in a failure run, by measurement, or not', () => {
        expect(told('tech: see LT is ON else { stop "Dark." }').arms).toEqual(['see LT ON else: failure']);
        expect(told('if tech sees LT is ON { wait 1 s } otherwise { wait 2 s }').arms).toEqual([
            'if LT ON then: plain',
            'if LT ON otherwise: failure',
        ]);
        expect(told('tech: see M is CLEAN else { stop "Dirty." }').arms).toEqual(['see M CLEAN else: forced']);
        expect(told('tech: measure "gap" of CB-1 1 to 2 mm else { stop "Too wide." }').arms).toEqual([
            'measure CB-1 1 to 2 mm else: measured',
        ]);
        expect(told('tech: see SW is OFF else { wait 1 s }').arms).toEqual(['see SW OFF else: plain']);
    });
    it('that nobody wrote need no judging', () => {
        expect(told('if tech sees M is CLEAN { wait 1 s }').arms).toEqual([
            'if M CLEAN then: plain',
            'if M CLEAN otherwise: plain',
        ]);
    });
    it('are run with the failure from their entry to where they end', () => {
        expect(told('tech: see LT is ON else { tech: pull CB-1 tech: close CB-1 } tech: set SW to OFF').inArms).toEqual(
            [
                [
                    'BUS stuck DEAD',
                    '0 pull CB-1 PULLED | CB-1 CLOSED>PULLED',
                    '0 close CB-1 CLOSED | CB-1 PULLED>CLOSED',
                ],
                ['CB-1 TRIPPED', '0 pull CB-1 PULLED | CB-1 CLOSED>PULLED', '0 close CB-1 CLOSED | CB-1 PULLED>CLOSED'],
                ['LT stuck OFF', '0 pull CB-1 PULLED | CB-1 CLOSED>PULLED', '0 close CB-1 CLOSED | CB-1 PULLED>CLOSED'],
            ],
        );
    });
    it('inside arms are reached by the failures that lead there', () => {
        const nested =
            'tech: see LT is ON else { tech: see CB-1 is CLOSED else { stop "It has tripped." } stop "The lamp." }';
        expect(told(nested).arms).toEqual(['see LT ON else: failure', 'see CB-1 CLOSED else: failure']);
        expect(told(nested).inArms.map(each => [each[0], each.at(-2)])).toEqual([
            ['BUS stuck DEAD', '0 stop'],
            ['CB-1 TRIPPED', '0 stop'],
            ['LT stuck OFF', '0 stop'],
        ]);
    });
    it('end at a look without else that fails: the card says no more', () => {
        const [first] = told('tech: see LT is ON else { tech: see LT is ON tech: pull CB-1 stop "Never." }').inArms;
        expect(first).toEqual(['BUS stuck DEAD', '0 see LT ON -> no', 'failed-look']);
    });
    it('of one source line are judged when one call is', () => {
        const text = `equipment E "Equipment" { place Here "Here" ${supply} light LT "lamp" at Here from CB-1  light L2 "bulb" at Here }
          subtask Look "Look" (light what, role who) uses E { who: see what is ON else { stop "Dark." } }
          card C-1 "Card" { uses E role tech "Technician" at Here start with SW is ON step s "Step" { do Look(LT, tech) do Look(L2, tech) } }`;
        expect(tellFailures(tell(text)).arms).toEqual(['see LT ON else: failure', 'see L2 ON else: failure']);
        const { arms } = told('for each x in LT, M { tech: "Look at it." } tech: see LT is ON else { stop "Dark." }');
        expect(arms).toEqual(['see LT ON else: failure']);
    });
    it('of one source line are judged in all calls when they are so in one', () => {
        const text = `equipment E "Equipment" { place Here "Here" ${supply} light LT "lamp" at Here from CB-1
            mark M "label" at Here { shows ON when BUS  shows ON otherwise } }
          card C-1 "Card" { uses E role tech "Technician" at Here start with SW is ON step s "Step" {
            for each x in M, LT { tech: see x is ON else { stop "Not so." } } } }`;
        expect(tellFailures(tell(text)).arms).toEqual(['see M ON else: failure', 'see LT ON else: failure']);
    });
});

describe('a start that is left open', () => {
    const equipment = `${supply} valve V "valve" at Here positions SHUT, OPEN { goes OPEN in 1 s when SW is ON }  light LT "lamp" at Here { shows ON when SW is ON  shows OFF otherwise }`;
    it('has what is masked in one of the states count as masked', () => {
        const look = 'tech: see LT is ON else { tech: set SW to ON }';
        // With SW already ON a lamp stuck at ON is never seen; with SW OFF neither, for the run is on its way into the arm.
        expect(of('LT', failures(equipment, look, 'start with SW is OFF or ON'))).toEqual([
            'LT stuck ON, other, before begin s: masked',
            'LT stuck OFF, other, before begin s: masked',
        ]);
        const twice = `${look} tech: see LT is ON`;
        expect(of('LT', failures(equipment, twice, 'start with SW is OFF or ON'))).toEqual([
            'LT stuck ON, other, before begin s: masked',
            'LT stuck OFF, other, before begin s: see LT ON',
        ]);
    });
    it('has every arm judged that one of the states leads into', () => {
        const { arms } = tellFailures(
            tellSteps(
                equipment,
                'if tech sees SW is ON { wait 1 s } otherwise { tech: set SW to ON }',
                'start with SW is OFF or ON',
            ),
        );
        expect(arms).toEqual(['if SW ON then: plain', 'if SW ON otherwise: plain']);
    });
});

describe('the sample', () => {
    const sample = readFileSync(new URL('../sample/valve.cotter', import.meta.url), 'utf8');
    it.each([[[]], [['M29-14']]] as const)('reveals all that it disturbs and tests, with %j', embodied => {
        const { plan, machine, runs } = tell(sample, embodied);
        expect(runs.contradicted).toEqual([]);
        expect(runs.unknown).toEqual([]);
        const told = runFailures(machine, plan, runs).results.map(each => {
            const { item, mode, word } = each.failure;
            return {
                name: `${machine.items[item]?.name} ${mode === 'STUCK' ? 'stuck ' : ''}${word}`,
                kind: each.class,
                looks: each.revealedBy.join(),
            };
        });
        const named = (kind: string) => told.filter(each => each.kind === kind);
        const names = (all: typeof told) => all.map(each => each.name).sort();
        expect(names(named('disturbed'))).toEqual([
            'BLEED LEAKING',
            'MA DEAD',
            'MB DEAD',
            'P1 OFF',
            'P2 OFF',
            'RS LEAKING',
        ]);
        expect(names(named('tested'))).toEqual(['VLV SLOW', 'VLV stuck OPEN', 'VLV stuck SHUT']);
        expect(names([...named('disturbed'), ...named('tested')].filter(each => each.looks === ''))).toEqual([]);
        const like = (name: string) => {
            const { looks } = told.find(each => each.name === name) as { looks: string };
            return names(told.filter(each => each.looks === looks && looks !== ''));
        };
        expect(like('MA DEAD')).toEqual(['CB-217 TRIPPED', 'MA DEAD', 'P1 OFF']);
        expect(like('MB DEAD')).toEqual(['CB-218 TRIPPED', 'MB DEAD', 'P2 OFF']);
        expect(like('CB-217 NOT-OPENING')).toEqual(['CB-217 NOT-OPENING', 'CB-218 NOT-OPENING']);
    });
});
