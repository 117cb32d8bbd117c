import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { check } from '../../../language/check.js';
import { testRuns, unprovenFailures } from '../../../language/failures/masks.js';
import { runFailures } from '../../../language/failures/runs.js';
import { applyEdits } from '../../../language/findings/edits.js';
import { tell } from '../trace/told.js';

/** "test t: MB DEAD, MA did it": each failure that a test does not show, with what did its work; "too early" where it is worked on afterwards. */
function unproven(text: string): string[] {
    const { machine, plan, runs } = tell(text);
    expect(runs.contradicted).toEqual([]);
    const name = (index: number) => machine.items[index]?.name;
    return unprovenFailures(machine, plan, runs, runFailures(machine, plan, runs).results).map(each => {
        const { failure } = each.result;
        const word = failure.mode === 'STUCK' ? `stuck ${failure.word}` : failure.word;
        const why = each.tooEarly
            ? ', too early'
            : each.instead.length > 0
              ? `, ${each.instead.map(name).join(' and ')} did it`
              : '';
        return `${plan.steps[each.test.step]?.name}: ${name(failure.item)} ${word}${why}`;
    });
}

/** The one finding of test-not-isolated on this thing, and the text after its fix. */
function mended(text: string, about: string): { title: string; after: string; left: string[] } {
    const files = [{ path: 'card.cotter', text }];
    const found = check(files).findings.filter(each => each.code === 'test-not-isolated' && each.about[0] === about);
    const fix = found[0]?.fixes[0];
    if (!fix) throw new Error(`nothing to mend ${about}: ${found.map(each => each.message).join()}`);
    const after = applyEdits(text, fix.edits);
    const left = check([{ path: 'card.cotter', text: after }])
        .findings.filter(each => each.code === 'test-not-isolated')
        .map(each => each.about[0] ?? '');
    return { title: fix.title, after, left };
}

const card = (
    equipment: string,
    steps: string,
    start = '',
) => `equipment E "Equipment" { place Deck "Deck" place Bay "Bay"
${equipment}
}
card C-1 "Card" {
  uses E
  revision "1"
  role deck "Operator" at Deck
  role tech "Technician" at Bay
  ${start}
${steps}
}
`;

describe('two motors on one valve', () => {
    const pair = `  control SW "SWITCH" at Deck positions SHUT, OPEN
  breaker CB-1 "MOTOR A" at Deck
  breaker CB-2 "MOTOR B" at Deck
  motor MA "motor A" at Bay from CB-1
  motor MB "motor B" at Bay from CB-2
  valve V "valve" at Bay positions SHUT, OPEN {
    goes OPEN in 4 s when SW is OPEN and (MA or MB)
    goes SHUT in 4 s when SW is SHUT and (MA or MB)
  }`;
    const moves = `    deck: set SW to OPEN
    tech: see V is OPEN within 5 s
    deck: set SW to SHUT
    tech: see V is SHUT within 5 s`;

    it('tested together: each hides the other', () => {
        expect(unproven(card(pair, `  test t "Both" of MA, MB {\n${moves}\n  }`))).toEqual([
            't: MA DEAD, MB did it',
            't: MB DEAD, MA did it',
        ]);
    });
    it('tested alone: each shows', () => {
        const alone = (name: string, other: string, motor: string) =>
            `  test ${name} "Alone" of ${motor} {\n    deck: pull ${other}\n${moves}\n    deck: close ${other}\n  }`;
        expect(unproven(card(pair, `${alone('a', 'CB-2', 'MA')}\n${alone('b', 'CB-1', 'MB')}`))).toEqual([]);
    });
    it('isolated from the wrong one', () => {
        expect(
            unproven(card(pair, `  test t "Alone" of MA {\n    deck: pull CB-1\n${moves}\n    deck: close CB-1\n  }`)),
        ).toEqual(['t: MA DEAD, MB did it']);
    });
    it('isolated only for the way back', () => {
        const late = moves.replace('    deck: set SW to SHUT', '    deck: pull CB-2\n    deck: set SW to SHUT');
        expect(unproven(card(pair, `  test t "Alone" of MA {\n${late}\n    deck: close CB-2\n  }`))).toEqual([]);
    });
    it('isolated before the test, and with the breaker closed again between', () => {
        const step = (close: string) =>
            `  step s "Isolate" {\n    deck: pull CB-2\n${close}  }\n  test t "Alone" of MA {\n${moves}\n  }`;
        expect(unproven(card(pair, step('')))).toEqual([]);
        expect(unproven(card(pair, step('    deck: close CB-2\n')))).toEqual(['t: MA DEAD, MB did it']);
    });
    it('a test of the valve alone says nothing of the motors', () => {
        expect(unproven(card(pair, `  test t "Valve" of V {\n${moves}\n  }`))).toEqual([]);
        // Only one way is seen: stuck at OPEN shows, stuck at SHUT does not... and the other way round.
        const half = moves.replace('    tech: see V is OPEN within 5 s', '    wait 5 s');
        expect(unproven(card(pair, `  test t "Valve" of V {\n${half}\n  }`))).toEqual(['t: V stuck SHUT']);
    });
    it('SLOW is not asked for', () => {
        expect(
            unproven(card(pair, `  test t "Valve" of V {\n${moves.replaceAll('within 5 s', 'within 60 s')}\n  }`)),
        ).toEqual([]);
    });
    it('is silent where the plain run of the test already fails', () => {
        const { machine, plan, runs } = tell(
            card(pair, `  test t "Both" of MA {\n${moves.replace('within 5 s', 'within 3 s')}\n  }`),
        );
        expect(testRuns(plan, runs)).toEqual([]);
        expect(unprovenFailures(machine, plan, runs, runFailures(machine, plan, runs).results)).toEqual([]);
    });
    it('a unit names everything in it', () => {
        const boxed = `${pair.replace('motor MA "motor A" at Bay', 'unit ACT "actuator" at Bay\n  motor MA "motor A" in ACT').replace('motor MB "motor B" at Bay', 'motor MB "motor B" in ACT')}`;
        expect(unproven(card(boxed, `  test t "Actuator" of ACT {\n${moves}\n  }`))).toEqual([
            't: MA DEAD, MB did it',
            't: MB DEAD, MA did it',
        ]);
    });
    it('is mended by the breaker to pull, tried by running', () => {
        const text = card(
            pair,
            `  test t "Motor A" of MA {\n${moves}\n  }\n  step end "End" {\n    deck: ensure CB-2 is CLOSED\n  }`,
        );
        const { title, after, left } = mended(text, 'MA');
        expect(title).toContain('Pull CB-2');
        expect(after).toContain('deck: ensure CB-2 is PULLED and tag');
        expect(left).toEqual([]);
        expect(unproven(after)).toEqual([]);
    });
    it('is mended and put back where nothing after the test does so', () => {
        const { after, left } = mended(card(pair, `  test t "Motor A" of MA {\n${moves}\n  }`), 'MA');
        expect(left).toEqual([]);
        const { runs, machine } = tell(after);
        const last = runs.plain[0]?.visits.at(-1)?.after;
        expect(last?.[machine.items[machine.itemIndex['CB-2'] as number]?.slot as number]).toBe(0);
    });
});

describe('three pumps on one line', () => {
    const pumps = `  control SW "PUMPS" at Deck positions OFF, ON
${[1, 2, 3].map(n => `  breaker CB-${n} "PUMP ${n}" at Deck\n  motor M${n} "pump ${n}" at Bay from CB-${n}`).join('\n')}
  gauge PG "pressure" at Deck { shows 2,900 to 3,100 psi when SW is ON and (M1 or M2 or M3)  shows 0 psi otherwise }`;
    const test = (acts: string) =>
        card(
            pumps,
            `  test t "Pump 1" of M1 {\n${acts}    deck: set SW to ON\n    deck: read PG 2,850 to 3,150 psi\n    deck: set SW to OFF\n    deck: ensure CB-2 is CLOSED\n    deck: ensure CB-3 is CLOSED\n  }`,
        );
    it('needs both of the others isolated', () => {
        expect(unproven(test(''))).toEqual(['t: M1 DEAD, M2 and M3 did it']);
        expect(unproven(test('    deck: pull CB-2\n'))).toEqual(['t: M1 DEAD, M3 did it']);
        expect(unproven(test('    deck: pull CB-2, CB-3\n'))).toEqual([]);
    });
});

describe('a lamp', () => {
    const lamp = `  control SW "SWITCH" at Deck positions OFF, ON
  light LT "lamp" at Deck { shows ON when SW is ON  shows OFF otherwise }`;
    const test = (looks: string, more = '') => card(lamp, `  test t "Lamp" of LT {\n${looks}\n  }\n${more}`);
    const on = '    deck: set SW to ON\n    deck: see LT is ON';
    const off = '    deck: set SW to OFF\n    deck: see LT is OFF';
    it('is proved by being seen ON in the test and OFF anywhere', () => {
        expect(unproven(test(`${on}\n${off}`))).toEqual([]);
        expect(
            unproven(test(`${on}\n    deck: set SW to OFF`, '  step s "After" {\n    deck: see LT is OFF\n  }')),
        ).toEqual([]);
    });
    it('is not proved by OFF alone, nor by ON elsewhere, nor without OFF', () => {
        expect(unproven(test(off))).toEqual(['t: LT stuck OFF']);
        expect(
            unproven(test('    deck: see LT is OFF', `  step s "After" {\n${on}\n    deck: set SW to OFF\n  }`)),
        ).toEqual(['t: LT stuck OFF']);
        expect(unproven(test(`${on}\n    deck: set SW to OFF`))).toEqual(['t: LT stuck ON']);
    });
    it('is mended by one more look', () => {
        const { after, left } = mended(
            test(
                '    deck: set SW to ON\n    wait 1 s',
                '  step s "After" {\n    deck: set SW to OFF\n    deck: see LT is OFF\n  }',
            ),
            'LT',
        );
        expect(after).toContain('deck: see LT is ON');
        expect(left).toEqual([]);
    });
});

describe('a seal', () => {
    const pipe = `  control PUMP "PUMP" at Deck positions OFF, ON
  source PRES "pressure" live when PUMP is ON
  unit ACT "actuator" at Bay
  seal RS "packing ring" in ACT carries PRES wets WEEP
  area WEEP "seal area" at Bay`;
    const test = (before: string, after = '') =>
        card(
            pipe,
            `  step s "Replace" {\n    tech: remove ACT\n    tech: install new ACT\n  }\n  test t "Leak" of RS {\n${before}    tech: see WEEP is DRY\n${after}  }`,
        );
    it('is proved only with what it carries', () => {
        expect(unproven(test(''))).toEqual(['t: RS LEAKING']);
        expect(unproven(test('    deck: set PUMP to ON\n    wait 2 min\n', '    deck: set PUMP to OFF\n'))).toEqual([]);
        // Once wet, the place stays wet.
        expect(unproven(test('    deck: set PUMP to ON\n    deck: set PUMP to OFF\n'))).toEqual([]);
        expect(unproven(test('    deck: set PUMP to ON\n    deck: set PUMP to OFF\n    tech: clean WEEP\n'))).toEqual([
            't: RS LEAKING',
        ]);
    });
    it('is mended by what makes it live', () => {
        const { after, left } = mended(test('', '    deck: ensure PUMP is OFF\n'), 'RS');
        expect(after).toContain('deck: ensure PUMP is ON');
        expect(left).toEqual([]);
    });
});

describe('a test that stands before the work', () => {
    const text = card(
        `  control SW "SWITCH" at Deck positions OFF, ON
  connector P1 "connector" at Bay
  motor MA "motor" at Bay from P1
  mark M "vane" at Bay { shows TURNS when MA and SW is ON  shows STILL otherwise }`,
        `  test t "Motor" of P1 {\n    deck: set SW to ON\n    tech: see M is TURNS\n    deck: set SW to OFF\n  }\n  step s "Work" {\n    tech: disconnect P1\n    tech: connect P1\n  }`,
    );
    it('proves nothing about what is worked on afterwards', () => {
        expect(unproven(text)).toEqual(['t: P1 OFF, too early']);
        const found = check([{ path: 'card.cotter', text }]).findings.filter(each => each.code === 'test-not-isolated');
        expect(found.map(each => each.fixes.length)).toEqual([0]);
        expect(found[0]?.message).toContain('after');
    });
    it('proves it where it stands after', () => {
        const [before = '', rest = ''] = text.split('  test t');
        const [test, work] = rest.split('  step s');
        expect(unproven(`${before}  step s${work?.replace(/\}\s*$/, '')}\n  test t${test}}`)).toEqual([]);
    });
});

describe('the sample', () => {
    const sample = readFileSync(new URL('../sample/valve.cotter', import.meta.url), 'utf8');
    it('isolates each motor', () => {
        expect(unproven(sample)).toEqual([]);
    });
    it('without "ensure other is PULLED" hides a dead motor B behind motor A, and is mended by CB-217', () => {
        const broken = sample.replace(/\n *deck: ensure other is PULLED and tag/, '');
        expect(broken).not.toBe(sample);
        expect(unproven(broken)).toContain('motor_b: MB DEAD, MA did it');
        expect(mended(broken, 'MB').title).toContain('CB-217');
    });
    it('without pressure in the leak test proves no joint, and is mended by PUMP', () => {
        const broken = sample.replace(/(test leaks[^{]*\{\n) *deck: set PUMP to ON\n/, '$1');
        expect(broken).not.toBe(sample);
        expect(unproven(broken)).toContain('leaks: BLEED LEAKING');
        expect(mended(broken, 'BLEED').title).toContain('PUMP');
    });
});
