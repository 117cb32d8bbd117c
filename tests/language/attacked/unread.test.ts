/** Cards whose text cannot be read whole, or says what nobody can see: nothing is said of the lines that are missing, and nothing is green. */
import { describe, expect, test } from 'vitest';
import { check } from '../../../language/check.js';
import { ofWholeTexts } from '../../small.js';
import { drawn, saidOf } from './drawn.js';

const breaker =
    'breaker CB "main feed" at FD control SW "switch" at FD positions OFF, ON source BUS "bus" live when CB';
const pulled = (line: string): string =>
    `step s "s" { deck: pull CB and tag\n${line}\ndeck: set SW to ON deck: set SW to OFF }`;

describe('what a line that cannot be read might have done is not missed', () => {
    test.each([
        ['a verb that is none', 'deck: clse CB', 'syntax unknown'],
        ['a name that nothing has', 'deck: close CBB', 'unknown-name unknown'],
        ['a verb of another kind', 'deck: connect CB', 'wrong-verb unknown'],
        // A state that is none leaves the rest of the line as it is.
        [
            'a state that is none, which leaves nothing else out',
            'deck: set SW to MAYBE',
            'breaker-left-pulled unknown-state unknown',
        ],
        ['all well', 'deck: close CB', 'clean'],
        ['nothing', '', 'breaker-left-pulled findings'],
    ])('%s', (_, line, told) => expect(drawn(breaker, pulled(line))).toBe(told));

    test('nor what a call does that wants other arguments', () => {
        const subtask = 'subtask Shut "shut" (breaker b, role r) uses E { r: close b }';
        expect(drawn(breaker, pulled('do Shut(CB)'), subtask)).toBe('wrong-arguments unknown');
        expect(drawn(breaker, pulled('do Shut(CB, deck)'), subtask)).toBe('clean');
    });
    test('nor what a subtask does with a verb of another kind', () => {
        const subtask = 'subtask Shut "shut" (role r) uses E { r: connect CB }';
        expect(drawn(breaker, pulled('do Shut(deck)'), subtask)).toBe('wrong-verb unknown');
    });
    test('an unknown name in another card leaves this one as it is', () => {
        const other =
            'card Y "y" { uses E revision "1" role deck "Operator" at FD step s "s" { deck: pull CBB and tag } }';
        expect(drawn(breaker, pulled(''), other)).toBe('breaker-left-pulled unknown-name findings');
    });
    test('a clause of the equipment that does not suit leaves no line out', () => {
        expect(drawn(`${breaker} thread "1/4-28"`, pulled(''))).toBe('breaker-left-pulled wrong-verb findings');
    });
    test('what is accepted and withheld is not said to be accepted in vain', () => {
        const accepted = `${pulled('deck: close CBB')} accept breaker-left-pulled for CB because "The next card closes it."`;
        expect(drawn(breaker, accepted)).toBe('unknown-name unknown');
    });
    test('a fix of the name is offered although what was withheld comes back with it', () => {
        const text = `equipment E "e" { place FD "Flight deck" ${breaker} }
card X "x" { uses E revision "1" role deck "Operator" at FD step s "s" { deck: pull CB and tag deck: set SW to ON deck: set SWW to OFF } }`;
        const { findings } = check([{ path: 'a.cotter', text }], {}, { without: ofWholeTexts });
        expect(findings.map(each => each.code)).toEqual(['unknown-name']);
        expect(findings[0]?.fixes.map(each => each.title)).toEqual(['Write SW']);
    });
});

describe('what nobody sees', () => {
    const source = 'control SW "switch" at FD positions OFF, ON source BUS "bus" live when SW is ON';
    test('is a source', () => {
        expect(drawn(source, 'step s "s" { deck: set SW to ON deck: see BUS is LIVE deck: set SW to OFF }')).toBe(
            'wrong-verb findings',
        );
        expect(drawn(source, 'step s "s" { if deck sees BUS is LIVE { wait 1 s } }')).toMatch(/wrong-verb/);
        expect(saidOf('wrong-verb', source, 'step s "s" { deck: see BUS is DEAD }')).toEqual([
            expect.stringContaining('Nobody sees it: look at a gauge'),
        ]);
    });
    test('is one of the colours of a lamp without supply', () => {
        const lamp = (otherwise: string): string =>
            `${source} control S2 "two" at FD positions A, B light LT "lamp" at FD from BUS { shows RED when S2 is B shows ${otherwise} otherwise }`;
        const look = (state: string): string => `step s "s" { deck: see LT is ${state} }`;
        expect(drawn(lamp('GREEN'), look('GREEN'))).toBe('cannot-be-seen findings');
        expect(drawn(lamp('OFF'), look('OFF'))).toBe('clean');
        const fed = 'step s "s" { deck: set SW to ON deck: see LT is GREEN deck: set SW to OFF }';
        expect(drawn(lamp('GREEN'), fed)).toBe('clean');
    });
});

describe('states that differ in small and capital letters', () => {
    const lamp = (one: string, other: string): string =>
        `control SW "switch" at FD positions OFF, ON light LT "lamp" at FD { shows ${one} when SW is ON shows ${other} otherwise }`;
    test.each([
        ['the word of the kind', lamp('on', 'OFF'), 'unknown-state findings'],
        ['each other', lamp('RED', 'red'), 'unknown-state findings'],
        ['nothing', lamp('RED', 'OFF'), 'clean'],
        ['positions', 'control SW "switch" at FD positions OFF, Off, ON', 'unknown-state findings'],
        [
            'what it goes to',
            'valve V "v" at FD positions SHUT, OPEN { goes open when CB } breaker CB "c" at FD',
            'unknown-state findings',
        ],
    ])('%s', (_, equipment, told) => expect(drawn(equipment, 'step s "s" { wait 1 s }')).toBe(told));
});

describe('hoses that are crossed', () => {
    const hoses = (own: string): string => `control SEL "selector" at FD positions NEUTRAL, IN, OUT
        source INP "in pressure" live when SEL is IN
        source OUTP "out pressure" live when SEL is OUT
        unit ACT "actuator" at FD
        connector H1 "hose one" in ACT carries INP wets A ${own}
        connector H2 "hose two" in ACT carries OUTP wets A ${own}
        area A "hose ends" at FD
        mechanism ROD "rod" at FD positions OUT, IN { goes IN in 2 s when INP and H1 goes OUT in 2 s when OUTP and H2 }
        mark M "rod mark" at FD { shows BACK when ROD is IN shows FORTH when ROD is OUT shows BETWEEN otherwise }`;
    const card = (
        looks: readonly [string, string],
    ): string => `step s "s" { deck: disconnect H1, H2 deck: connect H1, H2 }
        test t "t" of ROD, H1, H2 { deck: set SEL to IN wait 5 s ${looks[0]} deck: see A is DRY deck: set SEL to NEUTRAL deck: set SEL to OUT wait 5 s ${looks[1]} deck: see A is DRY deck: set SEL to NEUTRAL }`;
    const seen = ['deck: see M is BACK', 'deck: see M is FORTH'] as const;
    test('are found by a look at what they move', () => {
        expect(drawn(hoses(''), card(seen))).toBe('clean');
    });
    test('are a failure that a look at something else does not show', () => {
        const said = saidOf('test-not-isolated', hoses(''), card(['', '']));
        expect(said.some(each => each.includes('H1 (hose one) and H2 (hose two) CROSSED'))).toBe(true);
        expect(saidOf('test-not-isolated', hoses('keyed'), card(['', ''])).join()).not.toContain('CROSSED');
    });
    test('are not taken for a hose on a plug', () => {
        const mixed = hoses('').replace('in ACT carries OUTP wets A', 'in ACT');
        expect(saidOf('test-not-isolated', mixed, card(['', ''])).join()).not.toContain('CROSSED');
    });
});

describe('what a block leaves moved', () => {
    const valve = `control SW "switch" at FD positions OFF, ON control BACK "back" at FD positions OFF, ON
        valve V "valve" at FD positions SHUT, OPEN { goes OPEN in 2 s when SW is ON and BACK is OFF goes SHUT in 2 s when BACK is ON }
        light LT "lamp" at FD { shows ON when SW is ON shows OFF otherwise }`;
    const moved = 'deck: set SW to ON wait 3 s deck: set SW to OFF';
    const back = 'deck: set BACK to ON wait 3 s deck: set BACK to OFF';
    const block = (arm: string, after = ''): string => `step s "s" { deck: see LT is OFF else { ${arm} } ${after} }`;
    test.each([
        ['is left behind', block(moved), 'left-moved findings'],
        ['is brought back in the block', block(`${moved} ${back}`), 'clean'],
        ['is brought back after it', block(moved, back), 'clean'],
        ['is stopped with', block(`${moved} stop "The lamp is on."`), 'clean'],
        ['is left to another card that begins otherwise', block(`${moved} leave for Y`), 'left-moved findings'],
        ['is left to another card that begins so', block(`${moved} leave for Z`), 'clean'],
        ['is left by a card that always leaves', `step s "s" { ${moved} leave for Y }`, 'left-moved findings'],
    ])('%s', (_, card, told) => {
        const others = ['card Y "y" {', 'card Z "z" { start with V is OPEN']
            .map(
                each =>
                    `${each} uses E revision "1" role deck "Operator" at FD finish with V is SHUT step s "s" { ${back} } }`,
            )
            .join('\n')
            .replace(
                /(card Z "z" \{) (start with V is OPEN) (uses E revision "1" role deck "Operator" at FD)/,
                '$1 $3 $2',
            );
        expect(drawn(valve, card, others)).toBe(told);
    });
    test('says what the other card begins with', () => {
        const other = '} card Y "y" { uses E revision "1" role deck "Operator" at FD step s "s" { wait 1 s }';
        expect(saidOf('left-moved', valve, `${block(`${moved} leave for Y`)} ${other}`).join()).toContain(
            'Y begins with it SHUT',
        );
    });
});

test('a label that has the name only inside a word is told with the name', () => {
    const said = (label: string): string | undefined =>
        saidOf(
            'breaker-left-pulled',
            `breaker CB "${label}" at FD source BUS "bus" live when CB`,
            'step s "s" { deck: pull CB and tag }',
        )[0];
    expect(said('CBX main feed')).toMatch(/^CB \(CBX main feed\) is/);
    expect(said('main CB-2')).toMatch(/^CB \(main CB-2\) is/);
    expect(said('main CB')).toMatch(/^main CB is/i);
    expect(said('CBX and CB')).toMatch(/^CBX and CB is/);
});
