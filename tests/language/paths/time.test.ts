/** Guaranteed time, upper bounds and rest. */
import { describe, expect, it } from 'vitest';
import { messages, only, type Small } from './small.js';

const rule = 'rule decay: before pull CB-1 require SW is OFF for at least 90 s because "It must decay."';
const tooShort = (lines: string, small: Small = {}): string[] =>
    only(['wait-too-short', 'rule-broken'], lines, { equipment: rule, ...small });
const between = (lines: string): string[] =>
    tooShort(`deck: set SW to ON\ndeck: set SW to OFF\n${lines}\ndeck: pull CB-1\ndeck: close CB-1`);
const short = ['wait-too-short: deck: pull CB-1'];

describe('what counts towards a minimum', () => {
    it.each([
        'wait 90 s',
        'tech: see MARK is S for 90 s',
        'tech: see MARK is S after 90 s within 100 s',
        'deck: press PB for 90 s',
        'wait 60 s\nwait 30 s',
        'deck: keep PB at most 100 s { wait 90 s }',
    ])('%s', lines => {
        expect(between(lines)).toEqual([]);
    });
    it.each([
        'wait 89 s',
        'tech: see MARK is S within 90 s',
        'tech: see MARK is S after 60 s within 100 s',
        'deck: press PB',
        'deck: keep PB at most 100 s { tech: see MARK is S within 95 s }',
    ])('not %s', lines => {
        expect(between(lines)).toEqual(short);
    });
    it('not how long a step takes', () => {
        const steps =
            'step one "One" takes 10 min {\ndeck: set SW to ON\ndeck: set SW to OFF\n}\nstep two "Two" takes 10 min {\ndeck: pull CB-1\ndeck: close CB-1\n}';
        expect(tooShort(steps)).toEqual(short);
    });
    it('the least over all paths', () => {
        expect(between('if tech sees MARK is S { wait 90 s } otherwise { wait 60 s }')).toEqual(short);
        expect(between('if tech sees MARK is S { wait 90 s } otherwise { wait 120 s }')).toEqual([]);
    });
    it('of a look that has failed, no more than its "after"', () => {
        expect(between('tech: see MARK is O for 90 s else { deck: tell tech "Go on." }')).toEqual(short);
        expect(between('tech: see MARK is O after 90 s within 91 s else { deck: tell tech "Go on." }')).toEqual([]);
    });
    it('from the last change, whatever was so before', () => {
        expect(
            tooShort(
                'wait 90 s\ndeck: set SW to ON\ndeck: set SW to OFF\nwait 60 s\ndeck: pull CB-1\ndeck: close CB-1',
            ),
        ).toEqual(short);
        expect(tooShort('wait 60 s\ndeck: set SW to OFF\nwait 30 s\ndeck: pull CB-1\ndeck: close CB-1')).toEqual([]);
    });
    it('before the card only as far as it says', () => {
        expect(tooShort('deck: pull CB-1\ndeck: close CB-1')).toEqual(short);
        expect(
            tooShort('deck: pull CB-1\ndeck: close CB-1', { parts: 'start with SW is OFF for at least 2 min' }),
        ).toEqual([]);
        expect(
            tooShort('wait 30 s\ndeck: pull CB-1\ndeck: close CB-1', {
                parts: 'start with SW is OFF for at least 60 s',
            }),
        ).toEqual([]);
    });
    it('a time whose state does not hold is no short wait', () => {
        expect(
            tooShort('deck: set SW to ON\nwait 90 s\ndeck: pull CB-1\ndeck: close CB-1\ndeck: set SW to OFF'),
        ).toEqual(['rule-broken: deck: pull CB-1']);
    });
    it('says how much is guaranteed', () => {
        expect(
            messages('deck: set SW to ON\ndeck: set SW to OFF\nwait 60 s\ndeck: pull CB-1\ndeck: close CB-1', {
                equipment: rule,
            }),
        ).toEqual([
            'wait-too-short: CB-1 (ONE) is pulled when SW (SWITCH) is OFF for a guaranteed 60 s only; at least 90 s must have passed. Set at line 28. Rule decay: It must decay.',
        ]);
    });
});

describe('times are kept for what moves and shows too', () => {
    const moved = {
        equipment: 'rule rest: before pull CB-1 require VLV is OPEN for at least 10 s because "It must settle."',
    };
    const lines = (wait: string) =>
        `deck: set SW to ON\ntech: see MARK is O within 5 s\n${wait}\ndeck: pull CB-1\ndeck: close CB-1\ndeck: set SW to OFF`;
    it('from when it has arrived', () => {
        expect(tooShort(lines('wait 10 s'), moved)).toEqual([]);
        expect(tooShort(lines('wait 9 s'), moved)).toEqual(short);
    });
    it('and none of it inside a "within"', () => {
        expect(
            tooShort(
                'deck: set SW to ON\nwait 8 s\nwait 6 s\ndeck: pull CB-1\ndeck: close CB-1\ndeck: set SW to OFF',
                moved,
            ),
        ).toEqual([]);
        expect(
            tooShort('deck: set SW to ON\nwait 8 s\ndeck: pull CB-1\ndeck: close CB-1\ndeck: set SW to OFF', moved),
        ).toEqual(short);
    });
});

describe('the time in "to test X"', () => {
    const leak = {
        equipment:
            'source P "pressure" live when SW is ON\nport TAP "tap" at Well carries P wets SPOT\nrule soak: to test TAP require SW is ON for at least 2 min because "It needs time."',
    };
    const test = (lines: string) => `test leaks "Leaks" of TAP {\n${lines}\n}`;
    const soak = (lines: string) => only(['wait-too-short'], test(lines), leak);
    it('must be reached by a look', () => {
        expect(soak('deck: set SW to ON\nwait 2 min\ntech: see SPOT is DRY\ndeck: set SW to OFF')).toEqual([]);
        expect(soak('deck: set SW to ON\nwait 1 min\ntech: see SPOT is DRY\ndeck: set SW to OFF')).toEqual([
            'wait-too-short: tech: see SPOT is DRY',
        ]);
        expect(soak('deck: set SW to ON\ntech: see SPOT is DRY for 2 min\ndeck: set SW to OFF')).toEqual([]);
        expect(
            soak('deck: set SW to ON\ntech: see SPOT is DRY\nwait 2 min\ntech: see SPOT is DRY\ndeck: set SW to OFF'),
        ).toEqual([]);
    });
    it('starts no earlier than the joint was last closed', () => {
        const lines = (wait: string) =>
            `tech: open TAP\ndeck: set SW to ON\n${wait}\ntech: close TAP\ntech: clean SPOT\nwait 1 min\ntech: see SPOT is DRY\ndeck: set SW to OFF`;
        expect(soak(lines('wait 2 min'))).toEqual(['wait-too-short: tech: see SPOT is DRY']);
    });
    it('starts no earlier than its area was last cleaned', () => {
        expect(
            soak('deck: set SW to ON\nwait 2 min\ntech: clean SPOT\ntech: see SPOT is DRY\ndeck: set SW to OFF'),
        ).toEqual(['wait-too-short: tech: see SPOT is DRY']);
        expect(
            soak('deck: set SW to ON\ntech: clean SPOT\nwait 2 min\ntech: see SPOT is DRY\ndeck: set SW to OFF'),
        ).toEqual([]);
    });
});

describe('held no longer than allowed', () => {
    const brief = { equipment: 'rule brief: keep SW at ON at most 30 s because "It gets hot."' };
    const kept = (lines: string) => only(['kept-too-long'], lines, brief);
    it('by the "at most" of the card', () => {
        expect(kept('deck: keep SW at ON at most 30 s { wait 20 s }')).toEqual([]);
        expect(kept('deck: keep SW at ON at most 31 s { wait 20 s }')).toHaveLength(1);
    });
    it('waits are exact, and limits bound looks', () => {
        expect(kept('deck: keep SW at ON at most 30 s { wait 31 s }')).toHaveLength(1);
        expect(kept('deck: keep SW at ON at most 30 s { tech: see MARK is O within 10 s\nwait 20 s }')).toEqual([]);
        expect(kept('deck: keep SW at ON at most 30 s { tech: see MARK is O within 11 s\nwait 20 s }')).toHaveLength(1);
        expect(kept('deck: keep SW at ON at most 30 s { tech: see MARK is S for 31 s }')).toHaveLength(1);
    });
    it('set and not held: only waits and limits bound it', () => {
        expect(kept('deck: set SW to ON\nwait 20 s\ndeck: set SW to OFF')).toEqual([]);
        expect(kept('deck: set SW to ON\nwait 31 s\ndeck: set SW to OFF')).toEqual([
            'kept-too-long: deck: set SW to ON',
        ]);
        // Nothing says how long people look around: no time is too long, and none is set.
        expect(
            only(
                ['kept-too-long', 'no-time-limit'],
                'deck: set SW to ON\ntech: "Look around."\ndeck: set SW to OFF',
                brief,
            ),
        ).toEqual(['no-time-limit: deck: set SW to ON']);
        expect(kept('deck: set SW to ON\nif tech sees MARK is S { wait 31 s }\ndeck: set SW to OFF')).toEqual([
            'kept-too-long: deck: set SW to ON',
        ]);
    });
    it('and a button pressed', () => {
        const button = { equipment: 'rule brief: keep PB at most 5 s because "It gets hot."' };
        expect(only(['kept-too-long'], 'deck: press PB for 5 s', button)).toEqual([]);
        expect(only(['kept-too-long'], 'deck: press PB for 6 s', button)).toHaveLength(1);
    });
});

describe('rest', () => {
    const resting = {
        equipment:
            'rule rest: keep SW at ON at most 30 s then rest 60 s, after 2 times rest 3 min because "It gets hot."',
    };
    const use = 'deck: keep SW at ON at most 30 s { wait 5 s }';
    const rest = (...lines: string[]) => only(['rest-too-short'], lines.join('\n'), resting).length;
    it('after each time', () => {
        expect(rest(use, 'wait 60 s', use)).toBe(0);
        expect(rest(use, 'wait 59 s', use)).toBe(1);
    });
    it('is guaranteed time alone', () => {
        expect(rest(use, 'tech: see MARK is S within 60 s', use)).toBe(1);
        expect(rest(use, 'tech: "Look around."', use)).toBe(1);
    });
    it('longer after several', () => {
        expect(rest(use, 'wait 60 s', use, 'wait 3 min', use, 'wait 60 s', use)).toBe(0);
        expect(rest(use, 'wait 60 s', use, 'wait 60 s', use)).toBe(1);
        expect(rest(use, 'wait 60 s', use, 'wait 3 min', use, 'wait 60 s', use, 'wait 60 s', use)).toBe(1);
    });
    it('a long rest begins the count anew', () => {
        expect(rest(use, 'wait 3 min', use, 'wait 60 s', use)).toBe(0);
    });
    it('on every path', () => {
        expect(rest(use, 'wait 60 s', `if tech sees MARK is S { ${use}`, 'wait 60 s }', use)).toBe(1);
        expect(rest(use, 'if tech sees MARK is S { wait 60 s } otherwise { wait 90 s }', use)).toBe(0);
    });
    it('counts a control that is set like one that is held', () => {
        expect(rest('deck: set SW to ON\nwait 5 s\ndeck: set SW to OFF', use)).toBe(1);
    });
});
