import { describe, expect, test } from 'vitest';
import type { SourceFile } from '../../../language/check.js';
import type { CardComparison, Change, Comparison } from '../../../language/readers/comparison/index.js';
import { between, cardOf, examples, judge, replaced } from './texts.js';

const valve = 'T84-29-11-04';

/** The one changed card, or that of the name. */
function edited(old: string, words: string, name = valve): CardComparison {
    const card = cardOf(between(examples, replaced(examples, old, words)), name);
    if (!card) throw new Error(`${name} has not changed`);
    return card;
}

interface Case {
    readonly what: string;
    readonly old: string;
    readonly new: string;
    readonly kind: Change['kind'];
    readonly how: Change['how'];
    readonly says: string;
}

const say = (what: string, old: string, now: string, kind: Change['kind'], how: Change['how'], says: string): Case => ({
    what,
    old,
    new: now,
    kind,
    how,
    says,
});

const cases: readonly Case[] = [
    say('a wait', 'wait 90 s', 'wait 80 s', 'wait', 'changed', '“Wait 90 s.” is now “Wait 80 s.”'),
    say(
        'how long a look stays so',
        'is IN-LINE for 6 s',
        'is IN-LINE for 3 s',
        'wait',
        'changed',
        'stays IN-LINE for 3 s.”',
    ),
    say('a time limit', 'ACROSS within 6 s', 'ACROSS within 5 s', 'limit', 'changed', 'within 5 s.”'),
    say('an expected state', 'see STREAM is NONE', 'see STREAM is STEADY', 'indication', 'changed', 'is STEADY.”'),
    say('a look that goes', '    tech: see WEEP is DRY\n', '', 'indication', 'removed', 'Gone: “Check that'),
    say(
        'a hold that goes',
        '    hold for insp "The seat of [ACT] is clean and [RS] is new."\n',
        '',
        'hold',
        'removed',
        'Gone: Hold “The seat',
    ),
    say(
        'what a hold is for',
        'clean and [RS] is new',
        'clean',
        'hold',
        'changed',
        'is now Hold “The seat of the isolation valve actuator is clean.”',
    ),
    say(
        'a warning that goes',
        '    warning "The valve moves without warning. Keep hands clear until both motors are isolated."\n',
        '',
        'warning',
        'removed',
        'Gone: Warning',
    ),
    say(
        'a warning made a note',
        '    warning "The valve moves',
        '    note "The valve moves',
        'warning',
        'changed',
        'is now a note.',
    ),
    say('a breaker that is not closed', '    deck: close CB-217\n', '', 'breaker', 'removed', 'Gone: “Close CB-217'),
    say(
        'a tag',
        'pull CB-217, CB-218 and tag',
        'pull CB-217, CB-218',
        'isolation',
        'changed',
        'is now “Pull CB-217 (HYD 2 ISOL VALVE MOTOR A) and CB-218 (HYD 2 ISOL VALVE MOTOR B).”',
    ),
    say('a valve left shut', '    tech: open BLEED\n', '', 'isolation', 'removed', 'Gone: “Open the bleed port.”'),
    say(
        'a state before the start',
        'PUMP is OFF, ISOL is NORM',
        'ISOL is NORM',
        'isolation',
        'removed',
        'Condition before the start gone: HYD 2 ELEC PUMP is OFF.',
    ),
    say(
        'a torque',
        'torque 4.2 to 4.8 N·m',
        'torque 4.2 to 5.2 N·m',
        'torque',
        'changed',
        'now has the torque 4.2 to 5.2 N·m instead of 4.2 to 4.8 N·m.',
    ),
    say('a tool', 'range 2 to 12 N·m', 'range 2 to 20 N·m', 'torque', 'changed', 'now has the range 2 to 20 N·m'),
    say(
        'a rule',
        'PUMP is OFF for at least 90 s ',
        'PUMP is OFF for at least 60 s ',
        'rule',
        'changed',
        'Rule decay now asks',
    ),
    say(
        'a rule that goes',
        '  rule bled:   before remove ACT require BLEED is OPEN and PUMP is OFF           because "Pressure stays trapped at the valve."\n',
        '',
        'rule',
        'removed',
        'Gone: Rule bled',
    ),
    say(
        'what feeds a motor',
        'from CB-218, P2',
        'from CB-218',
        'behaviour',
        'changed',
        'is now fed from CB-218 instead of CB-218, P2.',
    ),
    say('what a thing does', 'goes SHUT in 4 s', 'goes SHUT in 5 s', 'behaviour', 'changed', 'now goes SHUT in 5 s'),
    say(
        'who does it',
        'tech: clear ValveBay',
        'insp: clear ValveBay',
        'role',
        'changed',
        'is now done by Independent inspector instead of Technician.',
    ),
    say(
        'where a person is',
        '"Independent inspector" at WheelWell',
        '"Independent inspector" at FlightDeck',
        'role',
        'changed',
        'now is at Flight deck',
    ),
    say(
        'who is independent of whom',
        'independent of tech, deck',
        'independent of tech',
        'role',
        'changed',
        'is independent of Technician',
    ),
    say(
        'who is told',
        '  tech: tell deck "Valve is shut. Clear to open."\n',
        '',
        'told',
        'removed',
        'Gone: “Tell the flight-deck operator',
    ),
    say(
        'the order',
        '    tech: close BLEED\n    tech: clean DRIP\n',
        '    tech: clean DRIP\n    tech: close BLEED\n',
        'order',
        'moved',
        'now comes',
    ),
    say(
        'a way out',
        '      stop "The valve is not isolated."\n',
        '',
        'order',
        'removed',
        'Gone: Stop “The valve is not isolated.”',
    ),
    say('an instruction', 'with a lint-free cloth', 'with solvent', 'work', 'changed', 'with solvent'),
    say('a spare', 'part "T84-29-117"', 'part "T84-29-118"', 'work', 'changed', 'now has the part number T84-29-118'),
    say('what is put in', 'with RING, OIL', 'with RING', 'work', 'changed', 'is now “Install'),
    say('the revision', 'revision "3"', 'revision "4"', 'record', 'changed', 'The revision is now “4”; it was “3”.'),
    say(
        'the applicability',
        'serial numbers 101 and on',
        'serial numbers 110 and on',
        'record',
        'changed',
        'The applicability is now',
    ),
    say(
        'what is written down',
        'see WEEP is DRY',
        'see WEEP is DRY record',
        'record',
        'changed',
        'is now written down',
    ),
    say(
        'what is said',
        '"It moved. Return the switch."',
        '"It moved! Return the switch."',
        'wording',
        'changed',
        'It moved!',
    ),
    say(
        'a heading',
        '"Leak check"',
        '"Look for leaks"',
        'wording',
        'changed',
        'Step “Leak check” is now headed “Look for leaks”.',
    ),
    say(
        'a label',
        '"motor B"',
        '"second motor"',
        'wording',
        'changed',
        'MB is now labelled “second motor” instead of “motor B”.',
    ),
    say(
        'the label of a breaker',
        '"HYD 2 ISOL VALVE MOTOR B"',
        '"HYD 2 ISOL MOTOR B"',
        'breaker',
        'changed',
        'CB-218 is now labelled',
    ),
    say(
        'how a time is written',
        'wait 2 min',
        'wait 120 s',
        'wording',
        'changed',
        '“Wait 2 min.” is now “Wait 120 s.”',
    ),
];

describe('one edit is one change, of its class', () => {
    for (const each of cases) {
        test(each.what, () => {
            const { changes } = edited(each.old, each.new);
            expect(changes.map(({ kind, how, says }) => [kind, how, says])).toEqual([
                [each.kind, each.how, expect.stringContaining(each.says)],
            ]);
            const wanted = ['work', 'record', 'wording'].includes(each.kind) ? each.kind : 'safety';
            expect(changes[0]?.class).toBe(wanted);
        });
    }

    test('a place is given on both sides', () => {
        const { changes } = edited('    wait 90 s\n', '\n    wait 60 s\n');
        expect([changes[0]?.span.old?.line, changes[0]?.span.new?.line]).toEqual([49, 50]);
        expect(changes[0]?.where).toBe('step 4, Motor B alone');
    });

    test('what is gone has no new place, and what is new no old one', () => {
        expect(edited('    deck: close CB-217\n', '').changes[0]?.span.new).toBeNull();
        expect(edited('    wait 2 min\n', '    wait 2 min\n    wait 7 s\n').changes[0]?.span.old).toBeNull();
    });
});

describe('one text, many places', () => {
    test('a line of a subtask is reported once, with how often it is done', () => {
        const { changes } = edited('ACROSS within 6 s', 'ACROSS within 5 s');
        expect(changes.map(each => [each.times, each.also])).toEqual([[2, []]]);
        const other = edited('  deck: ensure other is PULLED and tag\n', '');
        expect(other.changes.map(each => [each.times, each.also])).toEqual([[2, ['CB-217']]]);
    });

    test('equipment is reported on every card that stands on it, once each', () => {
        const comparison = between(examples, replaced(examples, '"BATTERY"', '"MAIN BATTERY"'));
        expect(comparison.cards.map(each => each.card).sort()).toEqual(
            judge(examples)
                .cards.map(each => each.name)
                .sort(),
        );
        expect(comparison.same).toBe(0);
        for (const card of comparison.cards)
            expect(card.changes.map(each => each.says)).toEqual([
                'BATT is now labelled “MAIN BATTERY” instead of “BATTERY”.',
            ]);
    });

    test('what only some aircraft have is said to be so', () => {
        const { changes, consequences } = edited('see SHUT-LT is ON', 'see SHUT-LT is OFF');
        expect(changes.map(each => each.only)).toEqual(['only after M29-14']);
        expect(consequences).toEqual([]);
        expect(changes[0]?.consequences.map(each => each.only)).toEqual(['only after M29-14']);
    });

    test('a renamed thing is a rename, wherever it is spoken of', () => {
        const now = examples.map(file => ({ ...file, text: file.text.replaceAll(/\bBLEED\b/g, 'BLEED-2') }));
        const card = cardOf(between(examples, now), valve);
        expect(card?.changes.map(({ how, says }) => [how, says])).toEqual([
            ['renamed', 'BLEED (bleed port) is now called BLEED-2.'],
        ]);
    });

    test('a call with its breakers exchanged is one change', () => {
        const { changes } = edited('do DriveAlone(CB-218, CB-217', 'do DriveAlone(CB-217, CB-218');
        expect(changes.map(({ kind, says }) => [kind, says])).toEqual([
            ['breaker', expect.stringContaining('the other way round')],
        ]);
    });

    test('a call that is given one thing twice is one change', () => {
        const { changes } = edited('do DriveAlone(CB-218, CB-217', 'do DriveAlone(CB-217, CB-217');
        expect(changes.map(({ says }) => says)).toEqual([
            expect.stringContaining('CB-217 (HYD 2 ISOL VALVE MOTOR A) instead of CB-218 (HYD 2 ISOL VALVE MOTOR B)'),
        ]);
    });

    test('a step that goes is one change with all that it held', () => {
        const at = (words: string): number => text.indexOf(words);
        const { text } = examples.find(each => each.text.includes('card T84-29-11-04')) as SourceFile;
        const step = text.slice(at('  test leaks "Leak check"'), at('  step close_up'));
        const { changes, verdict } = edited(step, '');
        expect(changes.map(({ kind, how, lost }) => [kind, how, lost])).toEqual([['wait', 'removed', 'look']]);
        expect(changes[0]?.says).toBe('Gone: Step “Leak check” with its 5 lines.');
        expect(verdict).toBe('worse');
    });
});

describe('what follows', () => {
    const effects = (card: CardComparison): string[] =>
        [...card.changes.flatMap(each => each.consequences), ...card.consequences].map(
            each => `${each.kind} ${each.effect} ${each.says}`,
        );

    test('a new finding stands under the change that brought it', () => {
        const { changes } = edited('wait 90 s', 'wait 60 s');
        expect(
            changes[0]?.consequences.map(({ kind, code, severity, effect }) => [kind, code, severity, effect]),
        ).toContainEqual(['finding', 'wait-too-short', 'error', 'worse']);
    });

    test('a finding that goes is better', () => {
        const card = cardOf(between(replaced(examples, 'wait 90 s', 'wait 60 s'), examples), valve);
        expect(card?.verdict).toBe('better');
        expect(card?.changes[0]?.consequences.map(({ code, effect }) => [code, effect])).toContainEqual([
            'wait-too-short',
            'better',
        ]);
    });

    test('a guaranteed time says which, between what, and the rule', () => {
        expect(effects(edited('wait 90 s', 'wait 60 s'))).toContain(
            'time worse Before “Close the bleed port.” HYD 2 ELEC PUMP has been OFF for 60 s instead of 90 s; rule decay asks for 90 s (Pressure must decay first).',
        );
    });

    test('a wait that no rule asks for is told between what is done', () => {
        const with10 = replaced(examples, '    tech: clear ValveBay\n', '    tech: clear ValveBay\n    wait 10 s\n');
        const with4 = replaced(examples, '    tech: clear ValveBay\n', '    tech: clear ValveBay\n    wait 4 s\n');
        const card = cardOf(between(with10, with4), valve) as CardComparison;
        expect(effects(card)).toEqual([
            'time worse Between “Clear the valve bay of tools and material.” and “Set HYD 2 ELEC PUMP to ON.” at least 4 s pass instead of 10 s.',
        ]);
        expect(card.verdict).toBe('worse');
    });

    test('a look that need not stay so gives less time, whatever stands in its block', () => {
        const card = edited('see WITNESS is IN-LINE for 6 s', 'see WITNESS is IN-LINE');
        expect(effects(card)).toContainEqual(expect.stringMatching(/^time worse Between .* at least 0 s pass/));
    });

    test('a finding stands under what was done, not under a new name', () => {
        const now = replaced(examples, '    deck: close CB-217\n', '').map(file => ({
            ...file,
            text: file.text.replaceAll(/\bCB-217\b/g, 'CB-317'),
        }));
        const card = cardOf(between(examples, now), valve) as CardComparison;
        expect(card.changes.map(({ how, consequences }) => [how, consequences.map(each => each.code)])).toEqual([
            ['removed', expect.arrayContaining(['breaker-left-pulled'])],
            ['renamed', []],
        ]);
    });

    test('a longer wait is better', () => {
        expect(edited('wait 2 min', 'wait 3 min').verdict).toBe('better');
    });

    test('what stays open longer', () => {
        const moved = replaced(
            replaced(examples, '    deck: close CB-217\n    hold', '    hold'),
            '    tech: install 147BL\n  }',
            '    tech: install 147BL\n    deck: close CB-217\n  }',
        );
        const card = cardOf(between(examples, moved), valve) as CardComparison;
        expect(effects(card)).toEqual([
            expect.stringMatching(
                /^open different CB-217 \(HYD 2 ISOL VALVE MOTOR A\) is pulled for longer: also from Hold /,
            ),
        ]);
    });

    test('a failure that no look reveals any longer', () => {
        expect(effects(edited('  deck: ensure other is PULLED and tag\n', ''))).toContain(
            'failure worse With MB (motor B) DEAD no look fails any longer.',
        );
    });

    test('minutes and persons', () => {
        expect(effects(edited('takes 50 min', 'takes 65 min'))).toEqual([
            'minutes different The card takes 15 minutes more: 100, not 85.',
        ]);
        const card = edited(
            '  tool     TW   "Torque wrench, 1/4',
            '  role help "Helper" at WheelWell\n  tool     TW   "Torque wrench, 1/4',
        );
        expect(effects(card)).toContain('persons different The card takes 1 person more: 4, not 3.');
    });

    test('the status before and after', () => {
        const { status } = edited('wait 90 s', 'wait 60 s');
        expect([status.old?.status, status.new?.status]).toEqual(['clean', 'findings']);
    });

    test('a finding that is accepted is no longer open', () => {
        const short = replaced(examples, 'wait 90 s', 'wait 60 s');
        const taken = replaced(
            short,
            '    wait 60 s\n    tech: close BLEED\n',
            '    accept wait-too-short because "Tried on the bench."\n    wait 60 s\n    tech: close BLEED\n',
        );
        const card = cardOf(between(short, taken), valve) as CardComparison;
        expect(card.changes.map(({ kind, how }) => [kind, how])).toEqual([['rule', 'added']]);
        expect(effects(card)).toContainEqual(
            expect.stringContaining('finding different Now accepted, because “Tried on the bench.”'),
        );
        expect(card.status.new?.status).toBe('accepted');
    });
});

describe('verdicts', () => {
    const verdict = (old: string, now: string): string => edited(old, now).verdict;

    test('worse: a lost hold, warning or look, whatever the checks say', () => {
        expect(verdict('    hold for insp "The seat of [ACT] is clean and [RS] is new."\n', '')).toBe('worse');
        expect(
            verdict(
                '    warning "The valve moves without warning. Keep hands clear until both motors are isolated."\n',
                '',
            ),
        ).toBe('worse');
        expect(verdict('  tech: see STREAM is STEADY\n', '')).toBe('worse');
    });

    test('worse: a look at another thing, a hold or a warning for another is one lost and one won', () => {
        const lostAndWon = (old: string, now: string) =>
            edited(old, now).changes.map(({ lost, gained }) => [lost, gained]);
        const both = (guard: string) =>
            expect.arrayContaining([
                [guard, null],
                [null, guard],
            ]);
        expect(lostAndWon('see STREAM is NONE', 'see WEEP is DRY')).toEqual(both('look'));
        expect(lostAndWon('"The seat of [ACT] is clean and [RS] is new."', '"Tools counted."')).toEqual(both('hold'));
        expect(
            lostAndWon(
                '"The valve moves without warning. Keep hands clear until both motors are isolated."',
                '"Fuel may drip."',
            ),
        ).toEqual(both('warning'));
        expect(verdict('see STREAM is NONE', 'see WEEP is DRY')).toBe('worse');
    });

    test('better: the reverse', () => {
        const reverse = (old: string): string | undefined =>
            cardOf(between(replaced(examples, old, ''), examples), valve)?.verdict;
        expect(reverse('    hold for insp "The seat of [ACT] is clean and [RS] is new."\n')).toBe('better');
        expect(reverse('  tech: see STREAM is STEADY\n')).toBe('better');
        expect(reverse('    deck: close CB-217\n')).toBe('better');
    });

    test('one thing worse outweighs what is better', () => {
        const now = replaced(replaced(examples, 'wait 2 min', 'wait 3 min'), 'wait 90 s', 'wait 60 s');
        expect(between(examples, now).verdict).toBe('worse');
    });

    test('different: neither', () => {
        expect(verdict('torque 4.2 to 4.8 N·m', 'torque 4.2 to 4.9 N·m')).toBe('different');
        expect(verdict('"motor B"', '"second motor"')).toBe('different');
    });

    test('other safety that changes beside what is better is named', () => {
        const now = replaced(
            replaced(examples, 'wait 2 min', 'wait 3 min'),
            'torque 4.2 to 4.8 N·m',
            'torque 4.2 to 4.9 N·m',
        );
        expect(between(examples, now).says).toContain('besides, ACT (isolation valve actuator) now has the torque');
    });
});

describe('cards that come and go', () => {
    const without = (file: string): SourceFile[] => examples.filter(({ path }) => !path.includes(file));
    const of = (comparison: Comparison) => comparison.cards.map(({ card, is, verdict }) => [card, is, verdict]);

    test('a card that is gone', () => {
        expect(of(between(examples, without('smoke-detectors/')))).toEqual([['T84-26-15-02', 'removed', 'different']]);
    });

    test('a new card, and a new card with an error', () => {
        expect(of(between(without('smoke-detectors/'), examples))).toEqual([['T84-26-15-02', 'added', 'different']]);
        const pulled = replaced(examples, '    deck: close CB-346\n', '');
        expect(of(between(without('smoke-detectors/'), pulled))).toEqual([['T84-26-15-02', 'added', 'worse']]);
    });

    test('a card with another number is the same card', () => {
        const now = examples.map(file => ({ ...file, text: file.text.replaceAll('T84-26-15-02', 'T84-26-15-99') }));
        const [card] = between(examples, now).cards;
        expect(card?.changes.map(({ kind, says }) => [kind, says])).toEqual([
            ['record', 'The number of the card is now “T84-26-15-99”; it was “T84-26-15-02”.'],
        ]);
    });
});

describe('a side that is not whole', () => {
    test('does not parse', () => {
        const broken = replaced(examples, '    wait 90 s\n', '    wait 90 s {\n');
        for (const [old, now, side] of [
            [examples, broken, 'new'],
            [broken, examples, 'old'],
            [broken, broken, 'old'],
        ] as const) {
            const { verdict, says, cards } = between(old, now);
            expect(verdict).toBe('unknown');
            expect(says).toMatch(new RegExp(`^Not known: the ${side} side does not parse \\(`));
            expect(cards).toEqual([]);
        }
    });

    test('has a name that nobody knows', () => {
        const card = edited('close CB-217', 'close CB-999');
        expect(card.verdict).toBe('unknown');
        expect(card.says).toContain('is not known whole on the new side');
    });
});
