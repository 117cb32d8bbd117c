/** Who looks when, who works on what, who hears what: what the checks of people say, and what they leave alone. */
import { describe, expect, test } from 'vitest';
import { check } from '../../../language/check.js';
import { ofWholeTexts } from '../../small.js';

const codes = ['hold-too-early', 'same-hands', 'unheard'];

const equipment = `equipment E "e" {
  place   FD   "Flight deck"
  place   Bay  "Bay"
  place   Far  "Far bay"
  control SW   "SWITCH" at FD positions OFF, ON
  control KNOB "KNOB"   at FD positions LOW, HIGH
  button  BTN  "BUTTON" at FD
  breaker CB   "BREAKER" at FD
  unit    U    "drive" at Bay torque 4 to 5 N·m
  connector P  "plug"  in U keyed
  seal    S    "seal"  in U
  unit    W    "other drive" at Bay
  connector Q  "other plug" in W keyed
  pin     PIN  "rig pin" at Bay
  port    PORT "port"  at Bay
  valve   V    "valve" at Bay positions SHUT, OPEN { goes OPEN in 3 s when SW is ON  goes SHUT in 3 s otherwise }
  mark    FLAG "flag"  at Bay { shows UP when V is OPEN  shows DOWN otherwise }
  pair    U, W
  RULES
}`;

interface More {
    readonly rules?: string;
    readonly before?: string;
    readonly severity?: boolean;
    readonly roles?: string;
}

/** The codes of this family that the lines draw, and what each is about. */
function found(lines: string, { rules = '', before = '', severity = false, roles = '' }: More = {}): string[] {
    const text = `${equipment.replace('RULES', rules)}
${before}
card K "k" {
  uses E
  revision "1"
  role deck "Operator" at FD
  role tech "Technician" at Bay
  role mate "Mate" at Bay
  role insp "Inspector" at Bay independent of tech, mate
  role far  "Far hand" at Far
  role lost "Somewhere"
  tool TW "Torque wrench" range 1 to 12 N·m
  ${roles}
  step all "All" {
    ${lines}
  }
}`;
    const report = check([{ path: 'k.cotter', text }], {}, { fixes: 'none', without: ofWholeTexts });
    const broken = report.findings.filter(each => each.code === 'syntax' || each.code.startsWith('unknown'));
    if (broken.length > 0) throw new Error(broken.map(each => each.message).join('\n'));
    return report.findings
        .filter(each => codes.includes(each.code))
        .map(each => `${severity ? `${each.severity} ` : ''}${each.code} ${each.about.join(' ')}`);
}

const hold = 'hold for insp "[U] is secure."';

describe('a hold', () => {
    test.each([
        ['of what is worked on before it alone', `tech: torque U with TW ${hold}`],
        ['that is repeated after the work', `${hold} tech: torque U with TW ${hold}`],
        [
            'after which what was worked on is held by itself',
            `${hold} tech: disconnect P tech: connect P hold for insp "[P] is tight."`,
        ],
        [
            'after which it is looked at and tagged',
            'hold for insp "[SW] and [FLAG]." tech: see FLAG is DOWN deck: tag SW deck: untag SW',
        ],
        ['after which an ensure finds it so already', 'hold for insp "[PORT] is shut." tech: ensure PORT is CLOSED'],
        ['after which something else is worked on', `${hold} tech: "Wipe [W]."`],
        [
            'of a unit that is off, and then goes back',
            'tech: disconnect P tech: remove U hold for insp "The seat of [U] is clean, [S] is new." tech: install U tech: torque U with TW tech: connect P',
        ],
        [
            'of a plug that is apart, and then connected',
            'tech: disconnect P hold for insp "The pins of [P] are straight." tech: connect P',
        ],
        ['of a pin that is in, and then comes out', 'tech: install PIN hold for insp "[PIN] is in." tech: remove PIN'],
        [
            'of a breaker that is pulled, and then closed',
            'deck: pull CB and tag hold for insp "[CB] is pulled." deck: close CB',
        ],
        [
            'of a control out of its normal position, and then returned',
            'deck: set SW to ON hold for insp "[SW]." deck: set SW to OFF',
        ],
        [
            'after which the work leads to a stop alone',
            `${hold} tech: see FLAG is DOWN else { tech: "Wipe [U]." stop "Replace [V]." }`,
        ],
        ['on another branch than the work', `if tech sees FLAG is DOWN { ${hold} } otherwise { tech: "Wipe [U]." }`],
    ])('says nothing %s', (_, lines) => {
        expect(found(lines)).toEqual([]);
    });

    test.each([
        ['a verb', `${hold} tech: torque U with TW`, 'U'],
        ['an action text', `${hold} tech: "Wipe [U]."`, 'U'],
        [
            'an action text without a name, on what the role last worked on',
            `tech: "Wipe [U]." ${hold} tech: "Grease it."`,
            'U',
        ],
        ['a measurement', `${hold} tech: measure "gap" of U 1 to 2 mm`, 'U'],
        ['work on something in it', `${hold} tech: disconnect P tech: connect P`, 'U'],
        ['an ensure that acts', 'hold for insp "[PORT] is shut." tech: open PORT tech: ensure PORT is CLOSED', 'PORT'],
        ['work in a branch', `${hold} if tech sees FLAG is DOWN { tech: "Wipe [U]." }`, 'U'],
        [
            'work that only one branch holds again',
            `${hold} tech: "Wipe [U]." if tech sees FLAG is DOWN { ${hold} }`,
            'U',
        ],
        [
            'work, and a later hold of something in it that was not worked on',
            `${hold} tech: torque U with TW hold for insp "[P] is tight."`,
            'U',
        ],
        ['two things by one act', 'hold for insp "[U] and [P] are tight." tech: disconnect P tech: connect P', 'U P'],
        ['work in a subtask', `${hold} do Wipe(U)`, 'U'],
        ['work in the next step', `${hold} } step more "More" { tech: "Wipe [U]."`, 'U'],
        [
            'a pin that is worked on while it is in',
            'tech: install PIN hold for insp "[PIN] is in." tech: "Turn [PIN]." tech: remove PIN',
            'PIN',
        ],
    ])('comes too early for %s', (_, lines, about) => {
        const before = 'subtask Wipe "Wipe" (unit what, role who) uses E { who: "Wipe [what]." }';
        expect(found(lines.replace('Wipe(U)', 'Wipe(U, tech)'), { before, severity: true })).toEqual([
            `error hold-too-early ${about}`,
        ]);
    });

    test('is a warning where what is off is worked on before it goes back', () => {
        const lines = `tech: disconnect P tech: remove U hold for insp "The seat of [U] is clean." tech: "Clean the seat of [U]."
            tech: install U tech: connect P ${hold}`;
        expect(found(lines, { severity: true })).toEqual(['warning hold-too-early U']);
    });

    test('that names it again in between answers for what came before it, and not for what comes after', () => {
        const [only, ...more] = found(`${hold} tech: "Wipe [U]." ${hold} tech: torque U with TW`);
        expect([only, more]).toEqual(['hold-too-early U', []]);
    });
});

describe('like work on a pair', () => {
    const mate = 'mate: "Wipe [W]."';
    test.each([
        ['by different hands', `tech: "Wipe [U]." ${mate}`],
        ['on one of them, again and again', 'tech: "Wipe [U]." tech: torque U with TW'],
        [
            'on the one, and a look at the other',
            'tech: "Wipe [U]." tech: see W is INSTALLED hold for insp "[U] and [W]."',
        ],
        [
            'on the one or on the other, never on both',
            'if tech sees FLAG is DOWN { tech: "Wipe [U]." } otherwise { tech: "Wipe [W]." }',
        ],
        ['where an ensure finds the other so already', 'tech: "Wipe [U]." tech: ensure Q is CONNECTED'],
    ])('%s is left alone', (_, lines) => {
        expect(found(lines)).toEqual([]);
    });

    test.each([
        ['one after the other', 'tech: "Wipe [U]." tech: "Wipe [W]."', 'tech U W'],
        ['in one action', 'tech: "Wipe [U] and [W]."', 'tech U W'],
        ['on what is in them', 'tech: disconnect P tech: connect P tech: disconnect Q tech: connect Q', 'tech U W'],
        ['by measuring them', 'tech: measure "gap" of W 1 to 2 mm tech: measure "gap" of U 1 to 2 mm', 'tech W U'],
        ['on the other in a branch', 'tech: "Wipe [U]." if tech sees FLAG is DOWN { tech: "Wipe [W]." }', 'tech U W'],
        ['after a branch', 'if tech sees FLAG is DOWN { tech: "Wipe [W]." } tech: "Wipe [U]."', 'tech W U'],
        ['in two calls of a subtask', 'do Wipe(U) do Wipe(W)', 'tech U W'],
        ['in two rows', 'for each what in U, W { tech: "Wipe [what]." }', 'tech U W'],
        ['although another works on them besides', `tech: "Wipe [U]." ${mate} tech: "Wipe [W]."`, 'tech U W'],
    ])('by one role is told of, %s', (_, lines, about) => {
        const before = 'subtask Wipe "Wipe" (unit what, role who) uses E { who: "Wipe [what]." }';
        const text = lines.replaceAll(/Wipe\((\w)\)/g, 'Wipe($1, tech)');
        expect(found(text, { before, severity: true })).toEqual([`error same-hands ${about}`]);
    });

    test('is told of once for each role', () => {
        const lines = 'tech: "Wipe [U]." tech: "Wipe [W]." tech: torque U with TW mate: "Wipe [U]." mate: "Wipe [W]."';
        expect(found(lines)).toEqual(['same-hands tech U W', 'same-hands mate U W']);
    });
});

const clear = 'rule clear: before set SW require told FD from Bay';
const called = 'tech: tell deck "Clear."';
const on = 'deck: set SW to ON wait 4 s';
const back = `${called} deck: set SW to OFF wait 4 s`;

describe('a call', () => {
    test.each([
        ['that a rule asks for', `tech: "Wipe [W]." ${called} ${on} ${back}`, clear],
        [
            'that a rule on a movement asks for',
            `tech: "Wipe [W]." ${called} ${on} ${back}`,
            'rule clear: before V moves require told FD from Bay',
        ],
        [
            'of each who has worked there',
            `tech: "Wipe [W]." mate: "Wipe [P]." mate: tell deck "Clear." ${called} ${on} tech: tell deck "Off." deck: set SW to OFF`,
            clear,
        ],
        [
            'to a third, after which another call counts',
            `mate: "Wipe [P]." tech: "Wipe [W]." mate: tell tech "I am clear." ${called} ${on} ${back}`,
            clear,
        ],
        [
            'of each of two who are there, although the last would do',
            `tech: "Wipe [W]." tech: tell deck "Clear." mate: tell deck "Clear." ${on} mate: tell deck "Off." ${called} deck: set SW to OFF`,
            clear,
        ],
        ['that one branch needs', `tech: "Wipe [W]." ${called} if tech sees FLAG is DOWN { ${on} ${back} }`, clear],
        [
            'that only one alternative of a rule needs',
            `tech: "Wipe [W]." ${called} ${on} ${back}`,
            'rule clear: before set SW require told FD from Bay or KNOB is HIGH',
        ],
        ['that came too early: the act says so', `${called} tech: "Wipe [W]." ${on} deck: set SW to OFF`, clear],
        ['that came too late: the act says so', `tech: "Wipe [W]." ${on} ${called} deck: set SW to OFF`, clear],
        [
            'to the wrong one: the act says so',
            `tech: "Wipe [W]." tech: tell far "Clear." ${on} deck: set SW to OFF`,
            clear,
        ],
    ])('is left alone %s', (_, lines, rules) => {
        expect(found(lines, { rules })).toEqual([]);
    });

    test.each([
        ['that no rule asks for', `${called} ${on} deck: set SW to OFF`, ''],
        [
            'whose place another call has taken',
            `tech: "Wipe [W]." tech: tell deck "Nearly." ${called} ${on} ${back}`,
            clear,
        ],
        [
            'after which nothing is done',
            `tech: "Wipe [W]." ${called} ${on} ${back} tech: tell deck "Thank you."`,
            clear,
        ],
        ['from another place than the rule speaks of', `far: tell deck "Clear." ${on} deck: set SW to OFF`, clear],
    ])('is information %s', (_, lines, rules) => {
        const all = found(lines, { rules, severity: true });
        expect(all).toHaveLength(1);
        expect(all[0]).toMatch(/^information unheard (tech|far) deck$/);
    });

    test.each([
        ['goes to one who is at no place', 'tech: tell lost "Clear."', 'error unheard tech lost'],
        [
            'goes to one who may be at no place',
            'if tech sees FLAG is DOWN { lost: go to Bay } tech: tell lost "Clear."',
            'error unheard tech lost',
        ],
        ['goes to the one who calls', 'tech: tell tech "Clear."', 'error unheard tech tech'],
    ])('is lost where it %s', (_, lines, told) => {
        expect(found(lines, { severity: true })).toEqual([told]);
    });

    test('is heard by one who has gone somewhere, or has acted there', () => {
        for (const first of ['lost: go to FD', 'lost: go to FD lost: "Wipe [KNOB]."'])
            expect(
                found(
                    `tech: "Wipe [W]." ${first} tech: tell lost "Clear." lost: set SW to ON tech: tell lost "Clear." lost: set SW to OFF`,
                    { rules: clear },
                ),
            ).toEqual([]);
    });

    test('in a subtask is needed where one of its callers needs it', () => {
        const before = 'subtask Call "Call" (role who, role whom) uses E { who: tell whom "Clear." }';
        expect(
            found(
                `tech: "Wipe [W]." do Call(tech, deck) ${on} do Call(tech, deck) deck: set SW to OFF do Call(tech, deck)`,
                { rules: clear, before },
            ),
        ).toEqual([]);
        expect(found('do Call(tech, deck) do Call(mate, deck)', { before })).toEqual(['unheard tech deck']);
    });
});
