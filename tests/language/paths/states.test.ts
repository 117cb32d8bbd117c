/** What things may be on every path, tags, areas, and what each way out owes. */

import { describe, expect, it } from 'vitest';
import { check } from '../../../language/check.js';
import { applyEdits } from '../../../language/findings/edits.js';
import { ofWholeTexts } from '../../small.js';
import { answers, card, messages, only, type Small } from './small.js';

const left = (lines: string, small: Small = {}): string[] =>
    answers(lines, small).filter(each => !each.startsWith('role-not-there'));

describe('every path counts', () => {
    it('both sides of an if', () => {
        expect(left('if tech sees MARK is S { deck: set SW to ON }')).toEqual([
            'control-not-returned: if tech sees MARK is S { deck: set SW to ON }',
        ]);
        expect(
            left(
                'if tech sees MARK is S { deck: set SW to ON } otherwise { deck: ensure SW is OFF }\ndeck: ensure SW is OFF',
            ),
        ).toEqual([]);
    });
    it('an else that goes on', () => {
        expect(left('tech: see MARK is S else {\ndeck: set SW to ON\ntech: see MARK is S\n}')).toEqual([
            'control-not-returned: deck: set SW to ON',
        ]);
    });
    it('every pass of a repeat', () => {
        const lines =
            'step one "One" {\ndeck: ensure SW is OFF\ntech: see MARK is S else {\ndeck: set SW to ON\nrepeat step one at most 2 times\n}\n}';
        expect(left(lines)).toEqual([]);
    });
    it('what an if has asked is known on either side', () => {
        expect(left('if deck sees SW is ON { deck: set SW to OFF }', { parts: 'start with SW is ON or OFF' })).toEqual(
            [],
        );
        expect(
            left(
                'if deck sees SW is OFF { deck: pull CB-1 and tag\ndeck: close CB-1 } otherwise { deck: set SW to OFF }',
                { parts: 'start with SW is ON or OFF' },
            ),
        ).toEqual([]);
        expect(
            left('deck: see SW is OFF else { deck: set SW to OFF }', { parts: 'start with SW is ON or OFF' }),
        ).toEqual([]);
    });
    it('two ifs about the same thing are looked at one by one', () => {
        const two = 'if tech sees MARK is S { deck: set SW to ON }\nif tech sees MARK is S { deck: set SW to OFF }';
        expect(left(two)).toHaveLength(1);
        expect(left(`${two}\ndeck: ensure SW is OFF`)).toEqual([]);
    });
});

describe('the reference is what the card starts with', () => {
    it('else normal', () => {
        expect(left('deck: set SW to OFF', { parts: 'start with SW is ON' })).toEqual([
            'control-not-returned: deck: set SW to OFF',
        ]);
        expect(left('deck: set SW to OFF\ndeck: set SW to ON', { parts: 'start with SW is ON' })).toEqual([]);
    });
    it('normal where the card must find out', () => {
        expect(left('deck: ensure SW is ON', { parts: 'start with SW is ON or OFF' })).toHaveLength(1);
        expect(left('deck: see MARK is S', { parts: 'start with SW is ON or OFF' })).toEqual([
            'control-not-returned: start with SW is ON or OFF',
        ]);
    });
    it('finish with stands above it', () => {
        expect(left('deck: set SW to ON', { parts: 'finish with SW is ON' })).toEqual([]);
        expect(left('deck: ensure SW is OFF', { parts: 'finish with SW is ON' })).toEqual([
            'finish-not-reached: finish with SW is ON',
        ]);
        expect(left('deck: set SW to ON\nwait 5 s', { parts: 'finish with SW is ON, VLV is OPEN' })).toEqual([]);
        expect(left('deck: set SW to ON', { parts: 'finish with SW is ON, VLV is SHUT' })).toEqual([
            'finish-not-reached: finish with SW is ON, VLV is SHUT',
        ]);
    });
    it('for what moves, where it rested; what follows from a control is not told twice', () => {
        expect(left('deck: set SW to ON\nwait 5 s\ndeck: set SW to OFF')).toEqual([]);
        expect(left('deck: set SW to ON\nwait 5 s')).toEqual(['control-not-returned: deck: set SW to ON']);
        const latch = 'relay K "latch" at Well positions OPEN, CLOSED { goes CLOSED when SW is ON or K }';
        expect(left('deck: set SW to ON\ndeck: set SW to OFF', { equipment: latch })).toEqual([
            'left-moved: deck: set SW to ON',
        ]);
    });
});

describe('what can be taken off', () => {
    it('whatever it is', () => {
        expect(left('deck: remove SW\ndeck: install SW')).toEqual([]);
        expect(left('deck: remove SW')).toEqual(['left-removed: deck: remove SW']);
    });
});

describe('tags', () => {
    const stop = 'tech: see MARK is S else { stop "It moved." }\ndeck: close CB-1';
    it('hang where they are hung', () => {
        expect(left(`deck: pull CB-1\n${stop}`)).toEqual(['untagged-at-stop: deck: pull CB-1']);
        expect(left(`deck: pull CB-1 and tag\n${stop}`)).toEqual([]);
        expect(left(`deck: pull CB-1\ndeck: tag CB-1\n${stop}`)).toEqual([]);
        expect(left(`deck: pull CB-1\ndeck: ensure CB-1 is PULLED and tag\n${stop}`)).toEqual([]);
    });
    it('come off by untag, and by closing the breaker', () => {
        expect(left(`deck: pull CB-1 and tag\ndeck: untag CB-1\n${stop}`)).toEqual([
            'untagged-at-stop: deck: pull CB-1 and tag',
        ]);
        expect(left(`deck: pull CB-1 and tag\ndeck: close CB-1\ndeck: pull CB-1\n${stop}`)).toEqual([
            'untagged-at-stop: deck: pull CB-1',
        ]);
    });
    it('are told together with the breaker on each path', () => {
        expect(
            left(
                `if tech sees MARK is S { deck: pull CB-1 and tag }\ntech: see MARK is S else { stop "It moved." }\ndeck: ensure CB-1 is CLOSED`,
            ),
        ).toEqual([]);
    });
    it('at the end only for what may stay pulled', () => {
        expect(left('deck: pull CB-1', { parts: 'finish with CB-1 is PULLED' })).toEqual([
            'untagged-at-stop: deck: pull CB-1',
        ]);
        expect(left('deck: pull CB-1 and tag', { parts: 'finish with CB-1 is PULLED' })).toEqual([]);
        expect(left('deck: pull CB-1')).toEqual(['breaker-left-pulled: deck: pull CB-1']);
    });
    it('of whoever pulled it before the card are taken to hang', () => {
        expect(left('tech: "Wipe [ARM]."', { parts: 'start with CB-1 is PULLED' })).toEqual([]);
    });
});

describe('at a stop', () => {
    const block = (lines: string) => `tech: see MARK is S else {\n${lines}\nstop "It moved."\n}`;
    it('controls are as at the start or normal, never as "finish with"', () => {
        expect(left(block('deck: set SW to ON'))).toEqual(['control-not-returned: deck: set SW to ON']);
        expect(left(block('deck: set SW to ON\ndeck: set SW to OFF'))).toEqual([]);
        expect(left(`${block('deck: set SW to ON')}\ndeck: set SW to ON`, { parts: 'finish with SW is ON' })).toEqual([
            'control-not-returned: deck: set SW to ON',
        ]);
        expect(left(`${block('deck: set SW to OFF')}`, { parts: 'start with SW is ON' })).toEqual([]);
    });
    it('no stimulus is applied', () => {
        const magnet = { equipment: 'stimulus MAG "magnet" at Well' };
        expect(left(block('tech: apply MAG'), magnet)).toEqual(['left-applied: tech: apply MAG']);
    });
    it('other things may be open: the finished card prints them', () => {
        expect(left(block('tech: remove LID'))).toEqual([]);
    });
});

describe('leaving for another card', () => {
    const more =
        'card C-2-2 "Other" {\nuses Small\nrevision "1"\nrole deck "Operator" at Deck\nstart with SW is ON\nstep one "One" { deck: set SW to OFF\ndeck: set SW to ON }\n}';
    const block = (lines: string) => `tech: see MARK is S else {\n${lines}\nleave for C-2-2\n}`;
    it('everything is as that card starts, else normal', () => {
        expect(left(block('deck: set SW to ON'), { more })).toEqual([]);
        expect(left(block('deck: pull CB-2 and tag\ndeck: set SW to ON'), { more })).toEqual([
            'breaker-left-pulled: deck: pull CB-2 and tag',
        ]);
        expect(left(block('tech: see MARK is S'), { more })).toEqual(['control-not-returned: leave for C-2-2']);
    });
});

describe('a card that does another', () => {
    const more = (body: string, parts = '') =>
        `card C-2-2 "Other" {\nuses Small\nrevision "1"\nrole deck "Operator" at Deck\n${parts}\nstep one "One" {\n${body}\n}\n}`;
    it('gets what it promises', () => {
        expect(
            left('do C-2-2\ndeck: set SW to OFF', { more: more('deck: set SW to ON', 'finish with SW is ON') }),
        ).toEqual([]);
        // Once for that card by itself, once for the one that does it and finds it so.
        expect(left('do C-2-2\ndeck: set SW to OFF', { more: more('deck: set SW to ON') })).toEqual([
            'control-not-returned: deck: set SW to ON',
            'control-not-returned: deck: set SW to ON',
        ]);
    });
});

describe('areas', () => {
    const wet = {
        equipment:
            'source P "pressure" live when SW is ON\nport TAP "tap" at Well carries P wets SPOT\nunit BODY "body" at Well\nseal PACK "packing" in BODY carries P wets SPOT',
    };
    const dry = (lines: string) => only(['left-wet'], lines, wet);
    it('get wet from a joint that is open while its source may be live', () => {
        expect(dry('tech: open TAP\ndeck: set SW to ON\ndeck: set SW to OFF\ntech: close TAP')).toHaveLength(1);
        expect(dry('tech: open TAP\ntech: close TAP\ndeck: set SW to ON\ndeck: set SW to OFF')).toEqual([]);
        expect(dry('deck: set SW to ON\ntech: open TAP\ntech: close TAP\ndeck: set SW to OFF')).toHaveLength(1);
    });
    it('and from one in something that is off', () => {
        expect(dry('tech: remove BODY\ndeck: set SW to ON\ndeck: set SW to OFF\ntech: install BODY')).toHaveLength(1);
        expect(dry('tech: remove BODY\ntech: install BODY\ndeck: set SW to ON\ndeck: set SW to OFF')).toEqual([]);
    });
    it('on any path', () => {
        expect(
            dry('tech: open TAP\nif tech sees MARK is O { deck: set SW to ON\ndeck: set SW to OFF }\ntech: close TAP'),
        ).toHaveLength(1);
    });
    it('until they are cleaned, once nothing leaks any more', () => {
        expect(
            dry('tech: open TAP\ndeck: set SW to ON\ndeck: set SW to OFF\ntech: close TAP\ntech: clean SPOT'),
        ).toEqual([]);
        expect(
            dry('tech: open TAP\ndeck: set SW to ON\ntech: clean SPOT\ndeck: set SW to OFF\ntech: close TAP'),
        ).toHaveLength(1);
    });
    it('a look that finds them wet says so', () => {
        expect(dry('tech: see SPOT is DRY else { tech: tell deck "Go on." }')).toHaveLength(1);
        expect(dry('tech: see SPOT is DRY else { tech: clean SPOT }')).toEqual([]);
    });
});

describe('messages', () => {
    it('say how it was when it has come to its normal state', () => {
        expect(messages('deck: close CB-1', { parts: 'start with CB-1 is PULLED' })).toEqual([
            'breaker-left-pulled: CB-1 (ONE) is CLOSED when the card ends; it was PULLED when the card began. Closed at line 27. Pull it.',
        ]);
    });
    it('say where, in which subtask, called from where', () => {
        const more = 'subtask Pull "Pull it" (breaker it, role who) uses Small {\nwho: pull it and tag\n}';
        expect(messages('do Pull(CB-1, deck)', { more })).toEqual([
            'breaker-left-pulled: CB-1 (ONE) is still pulled when the card ends. Pulled at line 31 (in Pull, called at line 27). Close it.',
        ]);
    });
});

describe('one thing left at several ways out', () => {
    it('is one finding, and one fix mends them all', () => {
        const lines = 'deck: set SW to ON\ntech: see MARK is O within 5 s else {\nstop "It did not move."\n}';
        expect(left(lines)).toEqual(['control-not-returned: deck: set SW to ON']);
        const text = card(lines);
        const [first] = check([{ path: 'c.cotter', text }]).findings.filter(
            each => each.code === 'control-not-returned',
        );
        const fixed = applyEdits(text, first?.fixes[0]?.edits ?? []);
        expect(fixed.split('deck: set SW to OFF')).toHaveLength(3);
        expect(
            check([{ path: 'c.cotter', text: fixed }])
                .findings.map(each => each.code)
                .filter(code => !ofWholeTexts.has(code)),
        ).toEqual([]);
    });
});

it('Paths are plain data', () => {
    const report = check([
        { path: 'c.cotter', text: card('tech: remove LID\ntech: tell deck "Open."\ntech: install LID') },
    ]);
    const paths = report.judged[0]?.paths;
    expect(structuredClone(paths)).toEqual(paths);
});
