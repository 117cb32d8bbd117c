/** "told P from Q": sentence by sentence. */
import { describe, expect, it } from 'vitest';
import { only, type Small } from './small.js';

const rule = 'rule clear: before set SW require told Deck from Well because "Hands may be near."';
const notTold = (lines: string, small: Small = {}): string[] =>
    only(['not-told'], lines, { equipment: rule, ...small }).map(each => each.replace('not-told: ', ''));

describe('a clearance', () => {
    it('is a tell from a role that is there to the role that acts', () => {
        expect(notTold('tech: "Look at [ARM]."\ndeck: set SW to ON\ndeck: set SW to OFF')).toEqual([
            'deck: set SW to ON',
            'deck: set SW to OFF',
        ]);
        expect(notTold('tech: "Look at [ARM]."\ntech: tell deck "Clear."\ndeck: set SW to ON')).toEqual([]);
    });
    it('may be the first thing that a role does at its place', () => {
        expect(
            notTold('help: "Look at [ARM]."\nhelp: tell tech "Out."\ntech: tell deck "Clear."\ndeck: set SW to ON'),
        ).toEqual([]);
    });
    it('is given to nobody but the one told', () => {
        const two = 'role tech "T" at Well\nrole deck "D" at Deck\nrole other "O" at Deck';
        expect(
            notTold('tech: "Work on [ARM]."\ntech: tell deck "Clear."\nother: set SW to ON', { roles: two }),
        ).toEqual(['other: set SW to ON']);
    });
    it('comes from nobody who is elsewhere', () => {
        const three = 'role tech "T" at Well\nrole deck "D" at Deck\nrole third "X" at Aft';
        expect(
            notTold('tech: "Work on [ARM]."\nthird: tell deck "Clear."\ndeck: set SW to ON', { roles: three }),
        ).toEqual(['deck: set SW to ON']);
    });
    it('is not heard by a role that is at no place', () => {
        const nowhere = 'role tech "T" at Well\nrole deck "D"';
        expect(
            notTold('tech: "Work on [ARM]."\ntech: tell deck "Clear."\ndeck: set SW to ON', { roles: nowhere }),
        ).toEqual(['deck: set SW to ON']);
    });
    it('is heard by a role that has gone there', () => {
        const nowhere = 'role tech "T" at Well\nrole deck "D"';
        expect(
            notTold('tech: "Work on [ARM]."\ndeck: go to Deck\ntech: tell deck "Clear."\ndeck: set SW to ON', {
                roles: nowhere,
            }),
        ).toEqual([]);
    });
    it('is needed on every path', () => {
        const lines = 'tech: "Work on [ARM]."\nif tech sees MARK is S { tech: tell deck "Clear." }\ndeck: set SW to ON';
        expect(notTold(lines)).toEqual(['deck: set SW to ON']);
        expect(notTold(lines.replace('}', '} otherwise { tech: tell deck "Clear." }'))).toEqual([]);
    });
});

describe('hands-on work voids it', () => {
    const between = (act: string): string[] =>
        notTold(`tech: "Work on [ARM]."\ntech: tell deck "Clear."\n${act}\ndeck: set SW to ON`);
    it.each([
        'tech: "Wipe it."',
        'tech: "Wipe [ARM]."',
        'tech: measure "gap" of ARM 1 to 2 mm',
        'tech: torque ARM with TW',
        'tech: clean SPOT',
        'tech: remove ARM',
        'tech: clear Well',
    ])('%s', act => {
        expect(between(act)).toEqual(['deck: set SW to ON']);
    });
    it.each([
        'tech: see MARK is S',
        'tech: read DIAL at most 1 psi',
        'tech: tell help "Mind the arm."',
        'hold for tech "[ARM] is in place."',
        'deck: pull CB-1',
        'wait 10 s',
        'tech: ensure ARM is INSTALLED',
    ])('not: %s', act => {
        expect(between(act)).toEqual([]);
    });
    it('whoever does it', () => {
        expect(
            notTold(
                'tech: "Work on [ARM]."\nhelp: "Hold [ARM]."\nhelp: tell tech "Out."\ntech: tell deck "Clear."\nhelp: "Hold [ARM]."\ndeck: set SW to ON',
            ),
        ).toEqual(['deck: set SW to ON']);
    });
    it('but not work elsewhere', () => {
        const three = 'role tech "T" at Well\nrole deck "D" at Deck\nrole third "X" at Aft';
        expect(
            notTold(
                'tech: "Work on [ARM]."\nthird: "Sweep."\ntech: tell deck "Clear."\nthird: "Sweep."\ndeck: set SW to ON',
                { roles: three },
            ),
        ).toEqual([]);
    });
});

describe('who comes voids it', () => {
    it('by going there', () => {
        const three = 'role tech "T" at Well\nrole deck "D" at Deck\nrole third "X" at Aft';
        expect(
            notTold(
                'tech: "Work on [ARM]."\nthird: "Sweep."\ntech: tell deck "Clear."\nthird: go to Well\ndeck: set SW to ON',
                { roles: three },
            ),
        ).toEqual(['deck: set SW to ON']);
    });
    it('by a first act there, even a look', () => {
        expect(
            notTold('tech: "Work on [ARM]."\ntech: tell deck "Clear."\nhelp: see MARK is S\ndeck: set SW to ON'),
        ).toEqual(['deck: set SW to ON']);
    });
    it('not by moving about inside', () => {
        const there =
            'tech: remove LID\ntech: "Work on [ARM]."\ntech: tell deck "Clear."\ntech: go to Bay\ndeck: set SW to ON\ntech: go to Well\ntech: install LID';
        expect(notTold(there)).toEqual([]);
    });
});

describe('every other role that has worked there must tell first', () => {
    const work = 'tech: "Work on [ARM]."\nhelp: "Hold [ARM]."\n';
    it('else the tell clears nothing', () => {
        expect(notTold(`${work}tech: tell deck "Clear."\ndeck: set SW to ON`)).toEqual(['deck: set SW to ON']);
    });
    it('to anybody', () => {
        expect(notTold(`${work}help: tell tech "Out."\ntech: tell deck "Clear."\ndeck: set SW to ON`)).toEqual([]);
        expect(notTold(`${work}help: tell deck "Out."\ntech: tell deck "Clear."\ndeck: set SW to ON`)).toEqual([]);
    });
    it('each time it has worked', () => {
        expect(
            notTold(`${work}help: tell tech "Out."\nhelp: "Hold [ARM]."\ntech: tell deck "Clear."\ndeck: set SW to ON`),
        ).toEqual(['deck: set SW to ON']);
    });
    it('unless it has left', () => {
        expect(notTold(`${work}help: go to Deck\ntech: tell deck "Clear."\ndeck: set SW to ON`)).toEqual([]);
    });
    it('but not who only looked', () => {
        expect(
            notTold('tech: "Work on [ARM]."\nhelp: see MARK is S\ntech: tell deck "Clear."\ndeck: set SW to ON'),
        ).toEqual([]);
    });
});

describe('while nobody is there it holds of itself', () => {
    it('before anybody has come', () => {
        expect(notTold('deck: set SW to ON\ndeck: set SW to OFF')).toEqual([]);
    });
    it('after all have gone', () => {
        expect(notTold('tech: "Work on [ARM]."\ntech: go to Deck\ndeck: set SW to ON\ndeck: set SW to OFF')).toEqual(
            [],
        );
        expect(notTold('tech: "Work on [ARM]."\nhelp: "Hold [ARM]."\ntech: go to Deck\ndeck: set SW to ON')).toEqual([
            'deck: set SW to ON',
        ]);
    });
    it('after people have been sent out', () => {
        const yard =
            'place Yard "Yard"\nplace Pit "Pit" in Yard\nunit CRANE "crane" at Pit\nrule pit: before set SW require told Deck from Pit';
        const two = 'role tech "T" at Yard\nrole deck "D" at Deck';
        expect(notTold('tech: "Work on [CRANE]."\ndeck: set SW to ON', { equipment: yard, roles: two })).toEqual([
            'deck: set SW to ON',
        ]);
        expect(
            notTold('tech: "Work on [CRANE]."\ntech: leave Pit\ndeck: set SW to ON', { equipment: yard, roles: two }),
        ).toEqual([]);
    });
    it('and not again when they come back', () => {
        expect(notTold('tech: "Work on [ARM]."\ntech: go to Deck\ntech: go to Well\ndeck: set SW to ON')).toEqual([
            'deck: set SW to ON',
        ]);
    });
});

describe('one action uses it up', () => {
    const told = 'tech: "Work on [ARM]."\ntech: tell deck "Clear."\n';
    it('so the next needs its own', () => {
        expect(notTold(`${told}deck: set SW to ON\ndeck: set SW to OFF`)).toEqual(['deck: set SW to OFF']);
    });
    it('all its rules together', () => {
        const both = `${rule}\nrule moves: before VLV moves require told Deck from Well because "Hands."`;
        expect(notTold(`${told}deck: set SW to ON`, { equipment: both })).toEqual([]);
    });
    it('also an action that a movement follows from, without a rule of its own', () => {
        const moves = 'rule moves: before VLV moves require told Deck from Well because "Hands."';
        expect(notTold(`${told}deck: set SW to ON\nwait 5 s\ndeck: set SW to OFF`, { equipment: moves })).toEqual([
            'deck: set SW to OFF',
        ]);
    });
    it('not an action that no rule speaks of', () => {
        expect(notTold(`${told}deck: pull CB-1\ndeck: close CB-1\ndeck: set SW to ON`)).toEqual([]);
    });
    it('not an ensure that is surely already so', () => {
        expect(notTold(`${told}deck: ensure SW is OFF\ndeck: set SW to ON`)).toEqual([]);
        expect(notTold('tech: "Work on [ARM]."\ndeck: ensure SW is OFF')).toEqual([]);
    });
});

describe('what counts as setting it', () => {
    it('ensure, where it may not be so', () => {
        expect(notTold('tech: "Work on [ARM]."\ndeck: ensure SW is ON')).toEqual(['deck: ensure SW is ON']);
    });
    it('keep, and not the release at its end', () => {
        expect(notTold('tech: "Work on [ARM]."\ndeck: keep SW at ON at most 9 s {\nwait 1 s\n}')).toEqual([
            'deck: keep SW at ON at most 9 s {',
        ]);
        expect(
            notTold('tech: "Work on [ARM]."\ntech: tell deck "Clear."\ndeck: keep SW at ON at most 9 s {\nwait 1 s\n}'),
        ).toEqual([]);
    });
    it('press', () => {
        expect(
            notTold('tech: "Work on [ARM]."\ndeck: press PB', {
                equipment: 'rule clear: before press PB require told Deck from Well',
            }),
        ).toEqual(['deck: press PB']);
    });
});

describe('a movement is judged at the action that started it and when it starts', () => {
    const late = `
      timer  T1 "delay" at Deck positions OPEN, CLOSED { goes CLOSED in 10 s when SW is ON  goes OPEN otherwise }
      valve  BIG "big valve" at Well positions SHUT, OPEN { goes OPEN in 4 s when T1  goes SHUT in 4 s otherwise }
      rule moves: before BIG moves require told Deck from Well because "Hands."`;
    const told = 'tech: "Work on [ARM]."\ntech: tell deck "Clear."\n';
    it('told, then nothing in between', () => {
        expect(notTold(`${told}deck: set SW to ON\nwait 20 s`, { equipment: late })).toEqual([]);
    });
    it('not told when it was started', () => {
        expect(notTold('tech: "Work on [ARM]."\ndeck: set SW to ON\nwait 20 s', { equipment: late })).toEqual([
            'deck: set SW to ON',
        ]);
    });
    it('also when a held control is let go and it moves back', () => {
        const moves = 'rule moves: before VLV moves require told Deck from Well because "Hands."';
        const held = (lines: string) =>
            `${told}deck: keep SW at ON at most 20 s {\ntech: see MARK is O within 5 s\n${lines}\n}`;
        expect(notTold(held(''), { equipment: moves })).toEqual([expect.stringContaining('keep SW')]);
        expect(notTold(held('tech: tell deck "Clear. Let go."'), { equipment: moves })).toEqual([]);
    });
    it('hands back in before it starts', () => {
        expect(notTold(`${told}deck: set SW to ON\ntech: "Wipe [ARM]."\nwait 20 s`, { equipment: late })).toEqual([
            'deck: set SW to ON',
        ]);
        expect(notTold(`${told}deck: set SW to ON\nwait 20 s\ntech: "Wipe [ARM]."`, { equipment: late })).toEqual([]);
    });
});

describe('once for each test', () => {
    const once = 'rule clear: before set SW require told Deck from Well once for each test because "Hands."';
    const test = (name: string, lines: string) => `test ${name} "T" of VLV {\n${lines}\n}\n`;
    const twice =
        'deck: set SW to ON\ntech: see MARK is O within 5 s\ndeck: set SW to OFF\ntech: see MARK is S within 5 s';
    it('lasts through the test', () => {
        expect(notTold(test('one', `tech: "Look."\ntech: tell deck "Clear."\n${twice}`), { equipment: once })).toEqual(
            [],
        );
    });
    it('and is over at its end', () => {
        const second = notTold(test('one', `tech: "Look."\ntech: tell deck "Clear."\n${twice}`) + test('two', twice), {
            equipment: once,
        });
        expect(second).toEqual(['deck: set SW to ON', 'deck: set SW to OFF']);
    });
    it('is voided by work like any other', () => {
        expect(
            notTold(
                test(
                    'one',
                    `tech: "Look."\ntech: tell deck "Clear."\ndeck: set SW to ON\ntech: "Wipe [ARM]."\ndeck: set SW to OFF`,
                ),
                { equipment: once },
            ),
        ).toEqual(['deck: set SW to OFF']);
    });
});
