import { describe, expect, test } from 'vitest';
import { check, type Settings } from '../../../language/check.js';
import { renderFinishedCard } from '../../../language/html/index.js';
import type { FinishedCard, Line } from '../../../language/readers/finished-card/card.js';
import { finishedCard } from '../../../language/readers/finished-card/index.js';
import { wordsOf } from '../../../language/vocabulary/sentences.js';

const rig = `
modification M1 "Modification 1: more"
equipment Rig "Rig" {
  place    Bay "Bay"
  control  SW "MASTER" at Bay positions OFF, ON
  breaker  CB-1 "MASTER" at Bay grid "A1"
  unit     BOX "box" at Bay
  fastener B1 "bolt" in BOX thread "1/4-28" torque 50 to 70 lbf·in
  light    LT "LAMP" at Bay from CB-1 { shows ON when SW is ON shows OFF otherwise }
  gauge    PG "PRESS" at Bay { shows 2,900 to 3,100 psi when SW is ON shows 0 psi otherwise }
  valve    FLAP "flap" at Bay positions SHUT, OPEN { goes OPEN in 10 s when CB-1 and SW is ON goes SHUT in 10 s when CB-1 and SW is OFF }
}`;
const head = 'uses Rig role tech "Technician" at Bay tool TW "Torque wrench" range 40 to 200 lbf·in';

/** The card C-1 with these parts, on the aircraft with every modification; `more` stands beside it. */
function cardOf(parts: string, more = '', settings: Settings = {}): FinishedCard {
    const text = `${rig} card C-1 "Card" { ${head} ${parts} } ${more}`;
    const { judged } = check([{ path: 'a.cotter', text }], settings, { fixes: 'none' });
    const found = judged.filter(each => each.plan.card === 'C-1').at(-1);
    if (!found) throw new Error('no card C-1');
    expect(found.plan.unknown).toEqual([]);
    return finishedCard(found, found.status, found.digest(), found.settings.units);
}
const all = (lines: readonly Line[]): readonly Line[] =>
    lines.flatMap(line => [line, ...line.blocks.flatMap(block => all(block.lines))]);
const linesOf = (card: FinishedCard): readonly Line[] => all(card.steps.flatMap(step => step.lines));
const say = ({ number, sentence }: Line) => `${number} ${wordsOf(sentence)}`;

describe('a card done inside a step', () => {
    const inner = `
card C-2 "Inner" { ${head} revision "4" dated "2026-05-06"
  caution "Inner caution."
  step a "First" takes 1 min { tech: see LT is OFF else { repeat step a at most 3 times } note "Closing." }
  test b "Second" of LT { tech: set SW to ON tech: see LT is ON else { tech: set SW to OFF repeat step a at most 1 times } tech: set SW to OFF do C-3 tech: see LT is OFF }
}
card C-3 "Innermost" { ${head} step x "X" { tech: "Look." } }`;
    const card = cardOf('step one "One" { tech: "Begin." do C-2 tech: "End." }', inner);

    test('counts its lines on with those of the step, and no two numbers are the same', () => {
        expect(linesOf(card).map(each => each.number)).toEqual([
            '1.1',
            '1.2',
            '1.2a',
            '1.3',
            '1.4',
            '1.4a',
            '1.4b',
            '1.5',
            '1.6',
            '1.7',
            '1.8',
        ]);
    });

    test('says at the first line of each of its steps where it comes from, and after the last where it ends', () => {
        const headings = linesOf(card).flatMap(({ number, headings }) =>
            headings.map(({ kind, card, title, takes, proves }) =>
                [number, kind, card, title, takes, proves].join('|'),
            ),
        );
        expect(headings).toEqual([
            '1.2|step|C-2|First|1 min|',
            '1.3|step|C-2|Second||proves LAMP',
            '1.6|step|C-3|X||',
            '1.7|end|C-3|||',
            '1.8|end|C-2|||',
        ]);
        const page = renderFinishedCard(card);
        expect(page).toContain('From C-2: First</h3> <small>Revision 4 · 1\u00a0min</small>');
        expect(page).toContain('End of C-2.');
    });

    test('names a line to go back to, and a step where it is one of the card itself', () => {
        const back = (each: FinishedCard) =>
            linesOf(each)
                .filter(line => line.kind === 'repeat')
                .map(say);
        expect(back(card)).toEqual([
            '1.2a Go back to line 1.2. Do this at most 3 times; if that does not help, stop.',
            '1.4b Go back to line 1.2. Do this at most once; if that does not help, stop.',
        ]);
        expect(back(cardOf('step s "S" { tech: see LT is OFF else { repeat step s at most 2 times } }'))).toEqual([
            '1.1a Go back to step 1. Do this at most twice; if that does not help, stop.',
        ]);
    });

    test('keeps its alerts: before its first line, and at the end of the step that they close', () => {
        const line = linesOf(card).find(each => each.number === '1.2');
        expect(line?.alerts.map(each => [each.kind, wordsOf(each.sentence)])).toEqual([['caution', 'Inner caution.']]);
        const next = linesOf(card).find(each => each.number === '1.3');
        expect(next?.headings[0]?.closing.map(each => wordsOf(each.sentence))).toEqual(['Closing.']);
        const last = cardOf('step one "One" { do C-2 }', inner).steps[0];
        expect(last?.lines.at(-1)?.headings.map(each => each.kind)).toEqual(['end']);
    });
});

describe('going back', () => {
    const card = (times: number) =>
        renderFinishedCard(cardOf(`step s "S" { tech: see LT is OFF else { repeat step s at most ${times} times } }`));

    test('is ticked once for each time, and has no box for initials', () => {
        expect(card(2).match(/Gone back, time \d: box to tick/g)).toHaveLength(2);
        const line = /<li id="line-1-1a">[\s\S]*?<\/li>/.exec(card(2))?.[0];
        expect(line).not.toContain('Initials');
    });

    test('is counted in writing where it may happen often', () => {
        expect(card(12)).not.toContain('Gone back, time');
        expect(card(12)).toContain('Times gone back');
    });
});

test('a limit to some aircraft is said once, by the outermost that has it', () => {
    const card = cardOf(`where M1 { step s "S" { warning "Hot." tech: see LT is OFF else { tech: "Ask." } } }
        step t "T" { where M1 { tech: see LT is OFF else { tech: "Ask." } } }`);
    expect(card.steps[0]?.only).toBe('Only with Modification 1.');
    expect(linesOf(card).map(each => [each.number, each.only])).toEqual([
        ['1.1', ''],
        ['1.1a', ''],
        ['2.1', 'Only with Modification 1.'],
        ['2.1a', ''],
    ]);
    expect(linesOf(card)[0]?.alerts[0]?.only).toBe('');
});

describe('what moves by itself', () => {
    const stopAfter = (acts: string) =>
        linesOf(
            cardOf(
                `step s "S" { tech: set SW to ON ${acts} if tech sees SW is ON { tech: set SW to OFF stop "Stop." } }`,
            ),
        )
            .filter(line => line.kind === 'stop')
            .map(line => [line.open, line.moved]);

    test('is told at a stop where it is not as found: on its way, or arrived', () => {
        const clean = 'nothing that a person changed';
        expect(stopAfter('wait 4 s')).toEqual([[clean, 'flap moving to SHUT']]);
        expect(stopAfter('wait 4 s tech: pull CB-1 and tag')).toEqual([
            ['CB-1 pulled and tagged', 'flap stopped between positions'],
        ]);
        expect(stopAfter('wait 10 s tech: pull CB-1 and tag')).toEqual([['CB-1 pulled and tagged', 'flap at OPEN']]);
        expect(stopAfter('tech: pull CB-1 and tag tech: set SW to OFF tech: set SW to ON')[0]?.[1]).toMatch(
            /^flap stopped/,
        );
    });

    test('is not told where it rests as found', () => {
        const lines = linesOf(cardOf('step s "S" { if tech sees SW is OFF { stop "Stop." } }'));
        expect(lines.filter(line => line.kind === 'stop').map(line => [line.open, line.moved])).toEqual([
            ['nothing; everything is as found', ''],
        ]);
    });
});

describe('units asked for beside the written ones', () => {
    const parts = `step s "S" { tech: set SW to ON
        tech: read PG 2,850 to 3,150 psi within 6 s record tech: measure "gap" of BOX at most 0.80 mm record
        tech: torque B1 with TW tech: set SW to OFF }`;
    const card = cardOf(parts, '', { units: ['N·m', 'lbf·in', 'kPa', 'in'] });
    const blanks = (each: FinishedCard) => linesOf(each).flatMap(line => line.blanks);

    test('stand in sentences, in brackets', () => {
        expect(linesOf(card).map(say).slice(1, 4)).toEqual([
            '1.2 Check that PRESS reads 2,850 to 3,150 psi (19,650 to 21,718 kPa) within 6 s.',
            '1.3 Measure the gap of the box. Limits: at most 0.80 mm (at most 0.0315 in).',
            '1.4 Torque bolt B1 to 50 to 70 lbf·in (5.65 to 7.91 N·m) with the torque wrench.',
        ]);
    });

    test('stand beside blanks, whose unit is then the written one, and in the range of a tool', () => {
        expect(blanks(card).slice(1)).toEqual([
            { label: 'Value', limits: '2,850 to 3,150 psi; 19,650 to 21,718 kPa', unit: 'psi' },
            { label: 'Value', limits: 'at most 0.80 mm; at most 0.0315 in', unit: 'mm' },
            { label: 'Value', limits: '50 to 70 lbf·in; 5.65 to 7.91 N·m', unit: 'lbf·in' },
        ]);
        expect(card.tools[0]?.range).toBe('40 to 200 lbf·in (4.5 to 22.6 N·m)');
    });

    test('are left out where nobody asks', () => {
        expect(blanks(cardOf(parts)).at(-1)).toEqual({ label: 'Value', limits: '50 to 70 lbf·in', unit: '' });
    });
});

test('a torque with an extension says how the reading is found, and has blanks for the wrench and the reading', () => {
    const [line] = linesOf(cardOf('step s "S" { tech: torque B1 with TW and extension 4 in }'));
    expect(line && say(line)).toBe(
        '1.1 Torque bolt B1 to 50 to 70 lbf·in with the torque wrench and an extension of 4 in. ' +
            'Keep the extension in line with the wrench. Reading to set = limits × L ÷ (L + 4 in), where L is the length of ' +
            'the wrench from its drive to the middle of its grip (for example, 35.7 to 50.0 lbf·in where L is 10 in).',
    );
    expect(line?.blanks).toEqual([
        { label: 'L', limits: '', unit: 'in' },
        { label: 'Reading to set', limits: '', unit: 'lbf·in' },
    ]);
});

test('no line of the page ends between a number and its unit', () => {
    const page = renderFinishedCard(cardOf('step s "S" { tech: "Fill in 2 to 3 L." wait 90 s }'));
    expect(page).toContain('Fill in 2\u00a0to\u00a03\u00a0L.');
    expect(page).toContain('Wait 90\u00a0s.');
    expect(page).toContain('40\u00a0to\u00a0200\u00a0lbf·in');
});
