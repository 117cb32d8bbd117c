/** What the work asks for once it is done: new seals, spares, torque, measures, records, inspections, tests and leak checks, sentence by sentence. */
import { describe, expect, test } from 'vitest';
import { check } from '../../../language/check.js';
import { ofWholeTexts } from '../../small.js';

const codes = new Set([
    'seal-not-renewed',
    'spare-not-used',
    'not-torqued',
    'torque-outside',
    'not-recorded',
    'not-tested',
    'not-leak-checked',
    'not-measured',
    'not-inspected',
]);
const without = new Set([...ofWholeTexts].filter(each => !codes.has(each)));

const equipment = `equipment E "e" {
  place   FD "Flight deck"
  control SW "SWITCH" at FD positions OFF, ON
  control TWO "SECOND" at FD positions OFF, ON
  source  PRESS "pressure" live when SW is ON
  light   LT "lamp" at FD { shows ON when SW is ON  shows OFF otherwise }
  MORE
}`;

interface More {
    readonly card?: string;
    readonly start?: string;
    readonly other?: string;
}

/** Severity, code and what it is about. `lines` are whole steps, or the lines of one. */
function found(items: string, lines: string, { card = '', start = 'SW is OFF', other = '' }: More = {}): string[] {
    const steps = /^\s*(step|test) /.test(lines) ? lines : `step all "All" { ${lines} }`;
    const text = `${equipment.replace('MORE', items)}
${other}
card K "k" {
  uses E
  revision "1"
  role tech "Technician" at FD
  role insp "Inspector" at FD independent of tech
  tool TW "Torque wrench" range 10 to 500 lbf·in
  start with ${start}
  ${card}
  ${steps}
}`;
    const report = check([{ path: 'k.cotter', text }], {}, { fixes: 'none', without });
    const broken = report.findings.filter(each => each.code === 'syntax' || each.code.startsWith('unknown'));
    if (broken.length > 0) throw new Error(broken.map(each => each.message).join('\n'));
    return report.findings
        .filter(each => codes.has(each.code))
        .map(each => `${each.code} ${each.about.join(' ')}`)
        .sort();
}

const either = (then: string, otherwise = '', item = 'LT'): string =>
    `if tech sees ${item} is ON { ${then} } otherwise { ${otherwise} }`;
const open = { start: 'SW is OFF or ON' };
const stop = 'tech: see LT is OFF else { stop "Not today." }';

describe('not-torqued', () => {
    const bolt =
        'fastener B "bolt" at FD torque 50 to 70 lbf·in  fastener C "other bolt" at FD  connector N "hose" at FD keyed torque 20 to 30 lbf·in';
    test.each([
        ['what was removed and installed', 'tech: remove B tech: install B', ['not-torqued B']],
        ['a new one too', 'tech: remove B tech: install new B', ['not-torqued B']],
        ['what is parted and made', 'tech: disconnect N tech: connect N', ['not-torqued N']],
        ['torqued once it is back', 'tech: remove B tech: install B tech: torque B', []],
        [
            'torqued, and then loosened again',
            'tech: remove B tech: install B tech: torque B tech: remove B tech: install B',
            ['not-torqued B'],
        ],
        ['another bolt is torqued', 'tech: remove B tech: install B tech: torque C 1 to 2 N·m', ['not-torqued B']],
        ['without a torque in the equipment', 'tech: remove C tech: install C', []],
        ['on one of two paths only', `tech: remove B tech: install B ${either('tech: torque B')}`, ['not-torqued B']],
        ['on both paths', `tech: remove B tech: install B ${either('tech: torque B', 'tech: torque B')}`, []],
        ['loosened on one path only', either('tech: remove B tech: install B'), ['not-torqued B']],
        ['loosened and torqued on one path only', either('tech: remove B tech: install B tech: torque B'), []],
        ['at a stop', `tech: remove B tech: install B tech: see LT is OFF else { stop "No." } tech: torque B`, []],
        ['what an ensure leaves as it is', 'tech: ensure B is INSTALLED', []],
        ['what an ensure puts back', 'tech: remove B tech: ensure B is INSTALLED', ['not-torqued B']],
    ])('%s', (_, lines, told) => expect(found(bolt, lines, open)).toEqual(told));

    test('nothing is owed at a leave, nor for what stays off', () => {
        const other = 'card L "l" { uses E revision "1" role tech "T" at FD step s "S" { tech: torque B } }';
        expect(found(bolt, 'tech: remove B tech: install B leave for L', { other })).toEqual([]);
        expect(found(bolt, 'tech: remove B', { card: 'finish with B is REMOVED' })).toEqual([]);
    });
    test('what another card took off is torqued when this one puts it back', () =>
        expect(found(bolt, 'tech: install B', { start: 'B is REMOVED', card: 'finish with B is INSTALLED' })).toEqual([
            'not-torqued B',
        ]));
});

describe('torque-outside', () => {
    const bolt = 'fastener B "bolt" at FD torque 50 to 70 lbf·in  fastener C "other bolt" at FD';
    test.each([
        ['the range of the equipment', 'tech: torque B', []],
        ['a narrower one', 'tech: torque B 55 to 60 lbf·in', []],
        ['the same in other units', 'tech: torque B 5.70 to 7.90 N·m', []],
        ['more', 'tech: torque B 50 to 71 lbf·in', ['torque-outside B']],
        ['less', 'tech: torque B 49 to 70 lbf·in', ['torque-outside B']],
        ['no range anywhere', 'tech: torque C', ['torque-outside C']],
        ['a range on the card alone', 'tech: torque C 10 to 12 lbf·in', []],
        ['a stage', 'tech: torque B 20 to 30 lbf·in tech: torque B', []],
        ['a stage and no more', 'tech: torque B tech: torque B 20 to 30 lbf·in', ['torque-outside B']],
        [
            'a stage, and the rest on one path only',
            `tech: torque B 20 to 30 lbf·in ${either('tech: torque B')}`,
            ['torque-outside B'],
        ],
        ['a stage above', 'tech: torque B 90 to 95 lbf·in tech: torque B', ['torque-outside B']],
        [
            'a stage of another bolt',
            'tech: torque B 20 to 30 lbf·in tech: torque C 50 to 70 lbf·in',
            ['torque-outside B'],
        ],
    ])('%s', (_, lines, told) => expect(found(bolt, lines, open)).toEqual(told));
});

describe('seal-not-renewed', () => {
    const seal = 'unit U "unit" at FD  unit IN "inner unit" in U  seal S "seal" in U  seal T "inner seal" in IN';
    const both = 'spare SP "Seals" for S quantity 9 spare TP "Seals" for T quantity 9';
    const all = (lines: string, more: More = {}): string[] =>
        found(seal, lines, { card: both, ...more }).filter(each => each.startsWith('seal'));
    test.each([
        ['a removed unit goes back', 'tech: remove U tech: install U', ['seal-not-renewed S T U']],
        ['with one of two', 'tech: remove U tech: install U with SP', ['seal-not-renewed T U']],
        ['with both', 'tech: remove U tech: install U with SP, TP', []],
        ['a new unit', 'tech: remove U tech: install new U', []],
        ['the inner one alone', 'tech: remove IN tech: install IN with TP', []],
        ['the inner one alone, old', 'tech: remove IN tech: install IN with SP', ['seal-not-renewed T IN']],
        ['by itself', 'tech: remove S tech: install S', ['seal-not-renewed S']],
        ['by itself, new', 'tech: remove S tech: install new S', []],
        ['renewed afterwards', 'tech: remove U tech: install U tech: install new S, T', []],
        [
            'off again afterwards and then renewed',
            'tech: remove U tech: install U tech: remove S, T tech: install new S, T',
            ['seal-not-renewed S T U'],
        ],
        [
            'each time',
            'tech: remove U tech: install U with SP, TP tech: remove U tech: install U',
            ['seal-not-renewed S T U'],
        ],
        [
            'each time, the first too',
            'tech: remove U tech: install U tech: remove U tech: install U with SP, TP',
            ['seal-not-renewed S T U'],
        ],
        [
            'on one path only',
            `tech: remove U ${either('tech: install U', 'tech: install U with SP, TP')}`,
            ['seal-not-renewed S T U'],
        ],
        ['new before a stop or not', `tech: remove U tech: install U ${stop}`, ['seal-not-renewed S T U']],
    ])('%s', (_, lines, told) => expect(all(lines, open)).toEqual(told));
    test('what a text says renews nothing', () =>
        expect(all('tech: remove S tech: "Fit a new [S]." tech: install S')).toEqual(['seal-not-renewed S']));
    test('nothing is owed at a leave', () => {
        const other = 'card L "l" { uses E revision "1" role tech "T" at FD step s "S" { tech: see LT is OFF } }';
        expect(all('tech: remove U tech: install U leave for L', { other })).toEqual([]);
    });
    test('what another card took off goes back with a new one', () =>
        expect(all('tech: install U', { start: 'U is REMOVED', card: `${both} finish with U is INSTALLED` })).toEqual([
            'seal-not-renewed S T U',
        ]));
});

describe('spare-not-used', () => {
    const items = 'unit U "unit" at FD  seal S "seal" in U  lock L "clamp" at FD  lock M "other clamp" at FD';
    const with_ = (spare: string, lines: string, more: More = open): string[] =>
        found(items, lines, { ...more, card: `spare SP "Spare" ${spare}` }).filter(each => each.startsWith('spare'));
    test.each([
        ['is not installed', 'for L quantity 1', 'tech: remove L tech: install L', ['spare-not-used SP']],
        ['is installed', 'for L quantity 1', 'tech: remove L tech: install new L with SP', []],
        ['is spoken of only', 'for L', 'tech: remove L tech: "Fit [SP]." tech: install L', ['spare-not-used SP']],
        ['is for nothing in particular', 'part "X"', 'tech: remove L tech: "Fit [SP]." tech: install L', []],
        ['is installed with the unit around it', 'for S', 'tech: remove U tech: install U with SP', []],
        [
            'is installed on one path',
            'for L',
            `tech: remove L ${either('tech: install L with SP', 'tech: install L')}`,
            [],
        ],
        [
            'is used twice',
            'for L quantity 1',
            'tech: remove L tech: install L with SP tech: remove L tech: install L with SP',
            ['spare-not-used SP L'],
        ],
        [
            'is used twice, and there are two',
            'for L quantity 2',
            'tech: remove L tech: install L with SP tech: remove L tech: install L with SP',
            [],
        ],
        [
            'is used once on each of two paths',
            'for L quantity 1',
            `tech: remove L ${either('tech: install L with SP', 'tech: install L with SP')}`,
            [],
        ],
        [
            'is used on two things at once',
            'for L, M quantity 1',
            'tech: remove L, M tech: install L, M with SP',
            ['spare-not-used SP M'],
        ],
        ['is for another', 'for M', 'tech: remove L tech: install L with SP', ['spare-not-used SP L']],
        ['is for a seal that goes back old', 'for S', 'tech: remove U tech: install U', []],
    ])('%s', (_, spare, lines, told) => expect(with_(spare, lines)).toEqual(told));
});

describe('not-measured and not-recorded', () => {
    const rod =
        'unit R "rod" at FD measured "end play" 1 to 2 mm  unit BOX "box" at FD  unit Q "inner rod" in BOX measured "travel" 10 to 12 deg';
    const off = 'tech: remove R tech: install R';
    const play = (limits = '1 to 2 mm', record = 'record'): string =>
        `tech: measure "end play" of R ${limits} ${record}`;
    const all = (lines: string, more: More = open): string[] =>
        found(rod, lines, more).filter(each => !each.startsWith('not-tested'));
    test.each([
        ['after it was disturbed', off, ['not-measured R']],
        ['measured after', `${off} ${play()}`, []],
        ['measured before', `${play()} ${off}`, ['not-measured R']],
        ['measured while it is off', `tech: remove R ${play()} tech: install R`, ['not-measured R']],
        ['the unit around it was', 'tech: remove BOX tech: install BOX', ['not-measured Q']],
        ['something else of it', `${off} tech: measure "wear" of R 1 to 2 mm record`, ['not-measured R']],
        ['in other words for the same', `${off} tech: measure "End  play" of R 1 to 2 mm record`, []],
        ['within wider limits', `${off} ${play('1 to 3 mm')}`, ['not-measured R']],
        ['within half a limit', `${off} ${play('at most 2 mm')}`, ['not-measured R']],
        ['within narrower limits', `${off} ${play('1.2 to 1.8 mm')}`, []],
        ['in other units', `${off} ${play('0.1 to 0.2 in')}`, ['not-measured R']],
        ['on one path only', `${off} ${either(play())}`, ['not-measured R']],
        ['with an else that stops', `${off} ${play()} else { stop "Worn." }`, []],
        ['not recorded', `${off} ${play('1 to 2 mm', '')}`, ['not-recorded R']],
        ['not recorded though not disturbed', play('1 to 2 mm', ''), ['not-recorded R']],
        ['recorded the second time', `${off} ${play('1 to 2 mm', '')} ${play()}`, []],
        ['recorded the first time', `${off} ${play()} ${play('1 to 2 mm', '')}`, []],
        ['recorded before it was disturbed', `${play()} ${off} ${play('1 to 2 mm', '')}`, ['not-recorded R']],
        ['another value, which nobody asks for', 'tech: measure "wear" of R 1 to 2 mm', []],
    ])('%s', (_, lines, told) => expect(all(lines)).toEqual(told));
});

describe('not-inspected', () => {
    const items =
        'fastener B "bolt" at FD inspected  unit BOX "box" at FD  unit Q "inner" in BOX inspected  panel P "panel" at FD inspected';
    const hold = (names: string): string => `hold for insp "${names} secure."`;
    const off = 'tech: remove B tech: install B';
    test.each([
        ['after it was disturbed', off, ['not-inspected B']],
        ['held for after', `${off} ${hold('[B] is')}`, []],
        ['held for before', `${hold('[B] is')} ${off}`, ['not-inspected B']],
        ['held for while it is off', `tech: remove B ${hold('[B] is')} tech: install B`, ['not-inspected B']],
        ['the unit around it was', 'tech: remove BOX tech: install BOX', ['not-inspected Q']],
        [
            'a hold that names the unit around it',
            `tech: remove BOX tech: install BOX ${hold('[BOX] is')}`,
            ['not-inspected Q'],
        ],
        ['a panel that asks for it', 'tech: remove P tech: install P', ['not-inspected P']],
        ['on one path only', `${off} ${either(hold('[B] is'))}`, ['not-inspected B']],
        ['what stays as it is', 'tech: ensure B is INSTALLED', []],
    ])('%s', (_, lines, told) =>
        expect(found(items, lines, open).filter(each => each.startsWith('not-inspected'))).toEqual(told),
    );
});

describe('not-tested', () => {
    const fan =
        'unit U "unit" at FD  motor MO "motor" in U  flow AIR "air" at FD { shows SOME when MO  shows NONE otherwise }  unit SEAT "seat" at FD  unit G "guarded" at FD  rule off: before work on G require SW is OFF';
    const off = 'step one "One" { tech: remove U tech: install new U }';
    const air = (of: string): string => `test t "T" of ${of} { tech: see AIR is SOME }`;
    const all = (lines: string, more: More = open): string[] =>
        found(fan, lines, more).filter(each => each.startsWith('not-tested'));
    test.each([
        ['none of its parts is in any of', off, ['not-tested U']],
        ['a part of it is', `${off} ${air('MO')}`, []],
        ['it is', `${off} ${air('U')}`, []],
        ['another is', `${off} ${air('AIR')}`, ['not-tested U']],
        [
            'it is measured',
            'step one "One" { tech: remove U tech: install new U tech: measure "speed" of U 1 to 2 rpm }',
            [],
        ],
        [
            'it was measured before',
            'step one "One" { tech: measure "speed" of U 1 to 2 rpm tech: remove U tech: install new U }',
            ['not-tested U'],
        ],
        ['nothing uses it', 'step one "One" { tech: remove SEAT tech: install new SEAT }', []],
        ['a rule uses it', 'step one "One" { tech: remove G tech: install new G }', ['not-tested G']],
        ['of what cannot fail', 'test t "T" of SEAT { tech: see AIR is SOME }', ['not-tested SEAT']],
        ['of what cannot fail, and is measured', 'test t "T" of SEAT { tech: measure "height" of SEAT 1 to 2 mm }', []],
        [
            'disturbed on one path only',
            `step one "One" { ${either('tech: remove U tech: install new U')} }`,
            ['not-tested U'],
        ],
    ])('%s', (_, lines, told) => expect(all(lines)).toEqual(told));
});

describe('not-leak-checked', () => {
    const joint =
        'port J "joint" at FD carries PRESS wets A  area A "area" at FD  port K2 "other joint" at FD carries PRESS';
    const shut = 'tech: open J tech: close J';
    const look = 'tech: set SW to ON tech: see A is DRY tech: set SW to OFF';
    test.each([
        ['nobody looks', shut, ['not-leak-checked J']],
        ['somebody looks under pressure', `${shut} ${look}`, []],
        ['somebody looks without pressure', `${shut} tech: see A is DRY`, ['not-leak-checked J']],
        ['somebody looked before', `${look} ${shut}`, ['not-leak-checked J']],
        [
            'somebody looks when the pressure is gone: it is still wet',
            `${shut} tech: set SW to ON tech: set SW to OFF tech: see A is DRY`,
            [],
        ],
        [
            'it was wiped first',
            `${shut} tech: set SW to ON tech: set SW to OFF tech: clean A tech: see A is DRY`,
            ['not-leak-checked J'],
        ],
        ['it is opened once more', `${shut} ${look} ${shut}`, ['not-leak-checked J']],
        ['nothing shows a leak of it', 'tech: open K2 tech: close K2', []],
    ])('%s', (_, lines, told) => expect(found(joint, lines)).toEqual(told));

    test('on every path', () => {
        const two = { start: 'SW is OFF, TWO is OFF or ON' };
        const lamp = `${joint} light L2 "second" at FD { shows ON when TWO is ON  shows OFF otherwise }`;
        expect(found(lamp, `${shut} ${either(look, '', 'L2')}`, two)).toEqual(['not-leak-checked J']);
        expect(found(lamp, `${shut} ${either(look, look, 'L2')}`, two)).toEqual([]);
        expect(found(lamp, either(`${shut} ${look}`, '', 'L2'), two)).toEqual([]);
        expect(found(lamp, either(shut, '', 'L2'), two)).toEqual(['not-leak-checked J']);
        // Where no run goes of itself.
        expect(found(lamp, either(`${shut} ${look}`, '', 'TWO'))).toEqual([]);
        expect(found(lamp, either(shut, '', 'TWO'))).toEqual(['not-leak-checked J']);
    });
    test('in what a measure leads into', () => {
        const arm = (more: string): string => `tech: measure "gap" of J 1 to 2 mm else { ${shut} ${more} }`;
        expect(found(joint, arm(''))).toEqual(['not-leak-checked J']);
        expect(found(joint, arm(look))).toEqual([]);
    });
});
