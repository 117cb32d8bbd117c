/** What each check of text finds beside its fixture, and that none finds anything where all is well. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { textChecks } from '../../../language/checks/text/index.js';
import { parseProject } from '../../../language/names/project.js';

function found(text: string): string[] {
    const project = parseProject([{ path: 'a', text }]);
    // A small text declares more than it needs.
    return textChecks
        .filter(check => check.code !== 'never-used')
        .flatMap(check => [...(check.ofText?.(project) ?? [])])
        .map(finding => `${finding.code}: ${finding.message}`);
}

test('a text with everything that the language has draws nothing', () => {
    expect(found(readFileSync(new URL('../sample/everything.cotter', import.meta.url), 'utf8'))).toEqual([]);
});

const equipment = (more: string) => `modification M "m"
equipment E "e" {
  place P "p"
  breaker CB "cb" at P
  control C "c" at P positions OFF, ON
  button B "b" at P
  unit U "u" at P torque 4 to 5 N·m measured "gap" 1 to 2 mm
  connector J "j" in U
  light LT "lt" at P from CB { shows ON when C is ON  shows OFF otherwise }
  gauge G "g" at P { shows 2,900 to 3,100 psi when C is ON  shows 0 psi otherwise }
  valve V "v" at P positions SHUT, OPEN { goes SHUT in 4 s when C is ON  goes OPEN in 4 s when C is OFF }
  source S "s" live when C is ON
  area A "a" at P
  ${more}
}
`;
const card = (body: string, parts = '') => `${equipment('')}card K "k" {
  uses E
  role r "r" at P
  tool T "t" range 1 to 9 N·m
  tool PG "pg" range 1 to 9 psi
  spare R "r" for U quantity 2
  ${parts}
  step one "s" {
    ${body}
  }
  step two "s" { }
}
`;

describe('on a card', () => {
    test.each([
        [
            'r: set V to SHUT',
            'wrong-verb: V (v) is a valve: "set" does not suit it. A valve moves by itself; no role operates it.',
        ],
        ['r: press CB', 'wrong-verb: CB (cb) is a breaker: "press" does not suit it. A breaker is pulled or closed.'],
        [
            'r: pull J',
            'wrong-verb: J (j) is a connector: "pull" does not suit it. A connector is disconnected or connected.',
        ],
        ['r: pull CB, C', 'wrong-verb: C (c) is a control: "pull" does not suit it. A control is set.'],
        [
            'r: remove J and tag',
            'wrong-verb: J (j) is a connector: "tag" does not suit it. A connector is disconnected or connected.',
        ],
        [
            'r: read LT 1 to 2 psi',
            'wrong-verb: LT (lt) is a light: "read" does not suit it. A light only shows what is so.',
        ],
        [
            'r: ensure S is LIVE',
            'wrong-verb: S (s) is a source: "ensure" does not suit it. A source only shows what is so.',
        ],
        [
            'r: keep U at most 3 s { }',
            'wrong-verb: U (u) is a unit: "keep" does not suit it. A unit is removed or installed.',
        ],
        [
            'for each x in CB, C { r: pull x }',
            'wrong-verb: C (c) is a control: "pull" does not suit it. A control is set.',
        ],
        ['r: see A is ACROSS', 'unknown-state: A (a) is never ACROSS. It is DRY or WET.'],
        ['r: set C to UP', 'unknown-state: C (c) is never UP. It is OFF or ON.'],
        ['r: see C is on', 'unknown-state: C (c) is never on. Did you mean ON? It is OFF or ON.'],
        [
            'r: see G is HIGH',
            'unknown-state: G (g) is a gauge: it has no states, it is read, as in "read G 10 to 20 psi".',
        ],
        ['if r sees V is UP { }', 'unknown-state: V (v) is never UP. It is SHUT or OPEN.'],
        ['r: read G 1 to 2 mm', 'unit-mismatch: G (g) shows psi: mm is a unit of length, and psi one of pressure.'],
        [
            'wait 5 mm',
            'unit-mismatch: A wait is not given in mm, which is a unit of length. Write it as time, such as 90 s, 2 min or 1 h.',
        ],
        ['wait -5 s', 'unit-mismatch: A wait cannot be less than nothing: write it without the minus.'],
        ['wait 5 hrs', 'unit-mismatch: There is no unit "hrs". Did you mean h?'],
        [
            'r: torque U 4 to 5 psi',
            'unit-mismatch: A torque is not given in psi, which is a unit of pressure. Write it as torque, such as 50 lbf·in or 5.6 N·m.',
        ],
        [
            'r: torque U with T and extension 4 s',
            'unit-mismatch: The length of an extension is not given in s, which is a unit of time. Write it as length, such as 4 in or 100 mm.',
        ],
        [
            'r: torque U with PG',
            'unit-mismatch: pg (PG) has a range in psi, which is no torque: it cannot be used here.',
        ],
        [
            'r: measure "gap" of U 1 to 2 psi',
            'unit-mismatch: "gap" of U (u) is measured mm: psi is a unit of pressure, and mm one of length.',
        ],
        ['r: torque U with R', 'wrong-arguments: R is a spare: a tool is due here.'],
        ['r: install U with T', 'wrong-arguments: T is a tool: a spare or a material is due here.'],
        ['for each x in CB, r { r: pull x }', 'wrong-arguments: x is a role (r): an item is due here.'],
        [
            'for each (x, y) in (CB, U), (CB) { r: pull x }',
            'wrong-arguments: This row has one thing; the loop wants 2 things in each row: x and y.',
        ],
        ['for each x in ON, UP { r: set C to x }', 'wrong-arguments: C (c) is never UP. It is OFF or ON.'],
        ['for each x in CB, CC { r: pull x }', 'unknown-name: There is no item named CC here.'],
        [
            'repeat step two at most 2 times',
            'wrong-arguments: The step two comes later: only this step or an earlier one can be repeated.',
        ],
        [
            'repeat step one at most 0 times',
            'wrong-arguments: 0 is no number to count with: write a whole number, 1 or more.',
        ],
        ['do K', 'calls-itself: K does K. It could never begin: take one of these out.'],
    ])('%s', (body, message) => expect(found(card(body))).toEqual([message]));

    test.each([
        ['after K', 'calls-itself: K comes after K. It could never begin: take one of these out.'],
        ['start with C is UP', 'unknown-state: C (c) is never UP. It is OFF or ON.'],
        [
            'start with C is ON for at least 3 mm',
            'unit-mismatch: The time in a state is not given in mm, which is a unit of length. Write it as time, such as 90 s, 2 min or 1 h.',
        ],
    ])('%s', (part, message) => expect(found(card('', part))).toEqual([message]));
});

describe('in an equipment', () => {
    test.each([
        ['light X "x" at P { goes ON when CB }', 'wrong-verb: X (x) is a light: write "shows".'],
        ['relay X "x" positions OPEN, CLOSED { shows OPEN when CB }', 'wrong-verb: X (x) is a relay: write "goes".'],
        ['area X "x" { goes WET when CB }', 'wrong-verb: X (x) is an area and does not move by itself.'],
        [
            'light X "x" at P { shows ON when C is ON for at least 5 s }',
            'wrong-verb: What equipment does cannot ask "for at least": only a rule can. Give it a timer that goes after that time.',
        ],
        [
            'light X "x" at P { shows ON when someone at P }',
            'wrong-verb: What equipment does cannot rest on people: "someone" belongs in a rule.',
        ],
        ['unit X "x" rated 5 A', 'wrong-verb: X (x) is a unit: "rated" is said only of a breaker.'],
        [
            'breaker X "x" positions OFF, ON',
            'wrong-verb: X (x) is a breaker: "positions" is said only of a control or of what moves.',
        ],
        ['breaker X "x" at P at P', 'wrong-verb: X (x) has "at" twice: only the first would count.'],
        [
            'rule x: before CB moves require C is ON',
            'wrong-verb: CB (cb) is a breaker and never moves: a rule on what moves needs a valve, relay, timer, sensor, mechanism or level.',
        ],
        [
            'rule x: before open CB require C is ON',
            'wrong-verb: CB (cb) is a breaker: "open" does not suit it. A breaker is pulled or closed.',
        ],
        [
            'rule x: never V',
            'unknown-state: V (v) is a valve: a name alone does not say in which state, as in "V is SHUT".',
        ],
        ['rule x: never A is DRYY', 'unknown-state: A (a) is never DRYY. Did you mean DRY? It is DRY or WET.'],
        [
            'light X "x" from V',
            'unknown-state: V (v) is a valve: it is never simply on or off, so nothing can be fed from it. Say "live when V is ..." of a source, and feed it from that.',
        ],
        ['control X "x" positions OFF, ON normal UP', 'unknown-state: X (x) is never UP. It is OFF or ON.'],
        [
            'valve X "x" positions SHUT, OPEN { goes SHUTT when CB }',
            'unknown-state: X (x) is never SHUTT. Did you mean SHUT? It is SHUT or OPEN.',
        ],
        [
            'fails "f" as CB is LEAKING',
            'unknown-state: CB (cb) is never LEAKING. It is CLOSED, PULLED, TRIPPED or NOT-OPENING.',
        ],
        [
            'breaker X "x" rated 5 V',
            'unit-mismatch: What a breaker is rated for is not given in V, which is a unit of voltage. Write it as current, such as 5 A.',
        ],
        [
            'gauge X "x" { shows 1 psi when CB  shows 0 V otherwise }',
            'unit-mismatch: X (x) shows psi: V is a unit of voltage, and psi one of pressure.',
        ],
        ['seal X "x" in U carries CB', 'wrong-arguments: CB (cb) is a breaker: a joint carries a source.'],
        ['seal X "x" in U wets U', 'wrong-arguments: U (u) is a unit: what leaks out wets an area.'],
        [
            'seal X "x" in A',
            'wrong-arguments: A (a) is an area: nothing can be in it. Where something stands is said with "at".',
        ],
        ['place X "x" in Y place Y "y" in X', 'calls-itself: X lies in Y, which lies in X. Take one of these out.'],
        ['unit X "x" in X', 'calls-itself: X is in X. Take one of these out.'],
    ])('%s', (more, message) => expect(found(equipment(more))).toEqual([message]));
});

describe('in calls', () => {
    const calls = (subtask: string, call: string) => found(card(call).replace('card K', `${subtask}\ncard K`));
    const turn = 'subtask Turn "t" (control own, position there, role who) uses E {\n  who: set own to there\n}';
    test.each([
        [turn, 'do Turn(C, ON, r)', []],
        [turn, 'do Turn(C, UP, r)', ['wrong-arguments: C (c) is never UP, but Turn wants it so. It is OFF or ON.']],
        [turn, 'do Turn(CB, ON, r)', ['wrong-arguments: CB (cb) is a breaker: Turn wants a control as "own".']],
        [turn, 'do Turn(C, ON, T)', ['wrong-arguments: T is a tool: Turn wants a role as "who".']],
        [turn, 'do Turn(CX, ON, r)', ['unknown-name: There is no control named CX here.']],
        [
            turn,
            'do Turn(C, ON)',
            [
                'wrong-arguments: Turn wants 3 things: a control "own", a position "there" and a role "who". Here stand 2.',
            ],
        ],
        [
            turn,
            'do Turn',
            [
                'wrong-arguments: Turn wants 3 things: a control "own", a position "there" and a role "who". Here stand none.',
            ],
        ],
        [turn, 'for each x in ON, UP { do Turn(C, x, r) }', ['wrong-arguments: C (c) is never UP. It is OFF or ON.']],
        // Handed on twice: reported where the card wrote it.
        [
            `${turn}\nsubtask Again "a" (position where_to, role who) uses E {\n  do Turn(C, where_to, who)\n}`,
            'do Again(UP, r)',
            ['wrong-arguments: C (c) is never UP, but Turn wants it so. It is OFF or ON.'],
        ],
        [
            'subtask Bad "b" (breaker own) uses E {\n  own: pull own\n}',
            'do Bad(CB)',
            ['wrong-arguments: own is a breaker: a role is due here.'],
        ],
        [
            'subtask Bad "b" (tool own, role who) uses E {\n  who: pull own\n}',
            'do Bad(T, r)',
            ['wrong-arguments: own is a tool: an item is due here.'],
        ],
        [
            'subtask Bad "b" (breaker own, role who) uses E {\n  who: see own is OPEN\n}',
            'do Bad(CB, r)',
            ['unknown-state: own is never OPEN. It is CLOSED, PULLED or TRIPPED.'],
        ],
    ])('%s: %s', (subtask, call, messages) => expect(calls(subtask, call)).toEqual(messages));
});
