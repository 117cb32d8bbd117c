/** What can never be, and what nothing rests on: said where it is so, and nowhere else. */
import { describe, expect, it, test } from 'vitest';
import { check } from '../../../language/check.js';

const head = `place FD "Flight deck"
control SW "SWITCH" at FD positions OFF, ON
breaker CB "SUPPLY" at FD
motor   LOAD "load" at FD from CB`;

function found(parts: string, more = ''): string[] {
    const text = `equipment E "e" {\n${head}\n${parts}\n}\n${more}`;
    const { findings } = check([{ path: 'e.cotter', text }], {}, { fixes: 'none' });
    return findings.map(each => `${each.code} ${each.about.join(' ')}${each.only ? ` only ${each.only}` : ''}`);
}

describe('draws nothing', () => {
    test.each([
        [
            'a relay that holds itself',
            'relay K "k" positions OPEN, CLOSED { goes CLOSED when SW is ON or K goes OPEN otherwise }',
        ],
        [
            'a lamp that only a stuck valve lights',
            `valve V "v" at FD positions SHUT, OPEN { goes OPEN in 4 s when SW is ON goes SHUT in 4 s when SW is OFF }
             light L "l" at FD { shows ON when V is SHUT and SW is ON shows OFF otherwise }`,
        ],
        [
            'what is seen only while a valve is between its positions',
            `valve V "v" at FD positions SHUT, OPEN { goes OPEN in 4 s when SW is ON goes SHUT in 4 s when SW is OFF }
             mark  M "m" at FD { shows RED when V is SHUT shows GREEN when V is OPEN shows GREY otherwise }`,
        ],
        [
            'a lamp that is off only without supply',
            'light L "l" at FD from CB { shows ON when SW is ON or SW is OFF shows OFF otherwise }',
        ],
        ['a lamp without a block', 'light L "l" at FD from CB'],
        ['a gauge with two bands', 'gauge G "g" at FD { shows 5 to 6 psi when SW is ON shows 0 psi otherwise }'],
        [
            'a lamp that tells of a tripped breaker',
            'light L "l" at FD { shows ON when CB is TRIPPED shows OFF otherwise }',
        ],
        ['a state that only a failure brings about', 'valve V "v" positions SHUT, OPEN { fails "leaks" as V is OPEN }'],
        ['a source without a condition', 'source S "s"'],
        [
            'a connector through which only the holding of a relay runs',
            `unit U "u" at FD
             connector J "j" in U
             button B "b" at FD
             relay K "k" positions OPEN, CLOSED { goes CLOSED when B or (K and J) goes OPEN otherwise }`,
        ],
        [
            'a breaker that feeds a bus',
            'breaker CB2 "BUS" at FD breaker CB3 "LAMP" at FD from CB2 light L "l" at FD from CB3',
        ],
        ['a breaker that a rule asks for', 'breaker CB2 "B" at FD rule r: before set SW require CB2 is PULLED'],
        ['a breaker that feeds a plug', 'breaker CB2 "B" at FD plug P "p" at FD from CB2'],
        ['what has too many combinations to try', many(13)],
    ])('%s', (_, parts) => expect(found(parts)).toEqual([]));

    it('what another equipment uses', () => {
        const more = 'equipment F "f" uses E { light L "l" at FD from CB2 }';
        expect(found('breaker CB2 "B" at FD', more)).toEqual([]);
        expect(found('breaker CB2 "B" at FD')).toEqual(['nothing-depends CB2']);
    });
    it('what is used on aircraft with a modification alone', () => {
        const more = 'modification M "m"';
        expect(found('breaker CB2 "B" at FD where M { light L "l" at FD from CB2 }', more)).toEqual([]);
    });
});

/** Beyond the number that is tried: the lamp is on when all of many switches are on and the first is off. */
function many(count: number): string {
    const names = Array.from({ length: count }, (_, n) => `SW-${n + 1}`);
    const switches = names.map(name => `control ${name} "S ${name}" at FD positions OFF, ON`).join('\n');
    const all = names.map(name => `${name} is ON`).join(' and ');
    return `${switches}\nlight L "l" at FD { shows ON when ${all} and SW-1 is OFF shows OFF otherwise }`;
}

describe('says once', () => {
    test.each([
        [
            'a position to which nothing leads',
            'valve V "v" positions SHUT, HALF, OPEN { goes SHUT when SW is OFF goes OPEN when SW is ON }',
            ['state-never-reached V'],
        ],
        [
            'a movement that never begins',
            'valve V "v" positions SHUT, OPEN { goes OPEN when SW is ON and SW is OFF }',
            ['state-never-reached V'],
        ],
        [
            'what rests on what is never so',
            `source S "s" live when SW is ON and SW is OFF
             light L "l" at FD from S { shows ON when SW is ON shows OFF otherwise }`,
            ['state-never-reached S', 'state-never-reached L'],
        ],
        [
            'a line behind one that always holds',
            'mark M "m" at FD { shows A when SW is OFF or SW is ON shows B otherwise }',
            ['state-never-reached M'],
        ],
        ['the same with fewer combinations', many(3), ['state-never-reached L']],
        ['an area that nothing wets', 'area A "a" at FD', ['state-never-reached A']],
        [
            'a connector whose making does not matter',
            'unit U "u" at FD connector J "j" in U light L "l" at FD { shows ON when SW is ON or (SW is ON and J) shows OFF otherwise }',
            ['nothing-depends J'],
        ],
        [
            'a failure that never shows',
            'fails "jams" as LOAD is STOPPED when SW is ON and SW is OFF',
            ['nothing-depends LOAD'],
        ],
        [
            'a failure of a switch that never shows',
            'light L "l" at FD { shows ON when SW is ON shows OFF otherwise fails "flickers" as L is OFF when SW is ON and SW is OFF }',
            ['nothing-depends L'],
        ],
        [
            'by modification',
            'where M { valve V "v" positions SHUT, HALF { goes SHUT when SW is OFF } }',
            ['state-never-reached V only after M'],
        ],
    ])('%s', (_, parts, codes) =>
        expect(found(parts, parts.includes('where M') ? 'modification M "m"' : '')).toEqual(codes),
    );
});
