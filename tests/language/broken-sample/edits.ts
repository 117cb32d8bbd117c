/** The sample card, broken in one place at a time, and what must answer. */
export interface Row {
    readonly change: string;
    readonly edit: (text: string) => string;
    /** Each must be among the answers: a code and what its message must say. */
    readonly answers: readonly (readonly [code: string, ...says: string[]])[];
    /** What the first fix of the first answer must say. */
    readonly fix?: string;
    /** The findings must be exactly these codes: nothing is lost by the change, or what it loses is not looked for yet. */
    readonly exactly?: readonly string[];
    /** The code must come once. */
    readonly once?: string;
}

/** Replaces the only place where `from` stands, or the one after `behind`. */
const put =
    (from: string, to: string, behind = '') =>
    (text: string) => {
        const start = text.indexOf(behind);
        const at = text.indexOf(from, start);
        if (start < 0 || at < 0) throw new Error(`the sample has no ${from}`);
        return text.slice(0, at) + to + text.slice(at + from.length);
    };
/** Takes away the line that holds `what`. */
const drop =
    (what: string, behind = '') =>
    (text: string) => {
        const at = text.indexOf(what, text.indexOf(behind));
        if (at < 0) throw new Error(`the sample has no ${what}`);
        const from = text.lastIndexOf('\n', at) + 1;
        return text.slice(0, from) + text.slice(text.indexOf('\n', at) + 1);
    };
/** Takes the line that holds `what` and sets it down behind the line that holds `target`. */
const move =
    (what: string, target: string, behind = '') =>
    (text: string) => {
        const at = text.indexOf(what, text.indexOf(behind));
        const from = text.lastIndexOf('\n', at) + 1;
        const end = text.indexOf('\n', at) + 1;
        const line = text.slice(from, end);
        const rest = text.slice(0, from) + text.slice(end);
        const after = rest.indexOf('\n', rest.indexOf(target, rest.indexOf(behind))) + 1;
        return rest.slice(0, after) + line + rest.slice(after);
    };

const tells: readonly [string, string][] = [
    ['"Clear to move the valve."', 'the first of the subtask'],
    ['"Valve is shut. Clear to open."', 'the second of the subtask'],
    ['"Clear to try the valve."', 'before the trial'],
    ['"It moved. Return the switch."', 'when it moved'],
    ['"The valve did not move. Return the switch."', 'when it did not move'],
];

export const rows: readonly Row[] = [
    {
        change: 'delete close CB-217',
        edit: drop('close CB-217'),
        answers: [['breaker-left-pulled', 'CB-217 (HYD 2 ISOL VALVE MOTOR A)']],
    },
    {
        change: 'delete "and tag" in isolate',
        edit: put('CB-217, CB-218 and tag', 'CB-217, CB-218'),
        answers: [['untagged-at-stop', 'CB-217']],
    },
    { change: 'delete wait 90 s', edit: drop('wait 90 s'), answers: [['wait-too-short', '90 s', '0 s']] },
    { change: 'make it 60 s', edit: put('wait 90 s', 'wait 60 s'), answers: [['wait-too-short', '90 s', '60 s']] },
    {
        change: 'delete clean DRIP',
        edit: drop('clean DRIP'),
        answers: [
            ['left-wet', 'DRIP'],
            ['expectation-contradicted', 'DRIP'],
        ],
    },
    {
        change: 'close BLEED before PUMP is OFF',
        edit: move('tech: close BLEED', 'do DriveAlone(CB-218, CB-217'),
        answers: [['rule-broken', 'BLEED']],
    },
    {
        change: 'delete ensure other is PULLED',
        edit: drop('ensure other is PULLED'),
        answers: [['test-not-isolated', 'MB (motor B)', 'MA (motor A)']],
        fix: 'CB-217',
    },
    {
        change: 'swap the two breakers in the first call',
        edit: put('DriveAlone(CB-217, CB-218', 'DriveAlone(CB-218, CB-217'),
        answers: [['test-not-isolated', 'MA (motor A)']],
        fix: 'CB-217',
    },
    {
        change: 'swap the two breakers in the second call',
        edit: put('DriveAlone(CB-218, CB-217', 'DriveAlone(CB-217, CB-218'),
        answers: [['test-not-isolated', 'MB (motor B)']],
        fix: 'CB-218',
    },
    {
        change: 'CB-217 as own in both calls',
        edit: put('DriveAlone(CB-218, CB-217', 'DriveAlone(CB-217, CB-218'),
        answers: [
            ['breaker-left-pulled', 'CB-218'],
            ['test-not-isolated', 'MB (motor B)'],
        ],
    },
    ...tells.map(
        ([words, which]): Row => ({ change: `delete a tell, ${which}`, edit: drop(words), answers: [['not-told']] }),
    ),
    {
        change: 'move the second tell of the subtask past the set',
        edit: move('"Valve is shut. Clear to open."', 'set ISOL to NORM', 'subtask'),
        answers: [['not-told']],
    },
    {
        change: 'delete connect P2',
        edit: put('tech: connect P1, P2', 'tech: connect P1'),
        answers: [['left-disconnected', 'connector P2']],
    },
    {
        change: 'remove ACT before disconnecting',
        edit: move('disconnect P1, P2', 'remove ACT', 'step replace'),
        answers: [['needs-first', 'P1']],
        once: 'needs-first',
    },
    {
        change: 'delete PUMP ON in the leak test',
        edit: drop('set PUMP to ON', 'test leaks'),
        answers: [['test-not-isolated', 'BLEED (bleed port)']],
        fix: 'PUMP',
    },
    {
        change: 'delete the leak test',
        edit: text => {
            const from = text.indexOf('  test leaks');
            return text.slice(0, from) + text.slice(text.indexOf('  step close_up'));
        },
        answers: [
            ['not-leak-checked', 'RS (packing ring)'],
            ['not-leak-checked', 'BLEED (bleed port)'],
        ],
        exactly: ['not-leak-checked'],
    },
    { change: 'delete install 147BL', edit: drop('install 147BL'), answers: [['left-removed', '147BL']] },
    {
        change: 'the hold after install new ACT',
        edit: move('hold for insp "The seat', 'install new ACT'),
        answers: [['hold-too-late', 'RS (packing ring)']],
    },
    {
        change: 'the last hold after install 147BL',
        edit: move('hold for insp "[ACT] and', 'install 147BL'),
        answers: [
            ['hold-too-late', 'ACT'],
            ['hold-too-late', 'BLEED'],
        ],
    },
    {
        change: 'delete set ISOL to NORM in the else',
        edit: drop('set ISOL to NORM', '"It moved.'),
        answers: [['control-not-returned', 'ISOL']],
    },
    {
        change: 'delete stop there',
        edit: drop('stop "The valve is not isolated."'),
        // The look that proves dead falls through.
        answers: [['passes-failed', 'CB-217', 'WITNESS']],
        fix: 'Stop',
    },
    {
        change: 'see WEEP is ACROSS',
        edit: put('see WEEP is DRY', 'see WEEP is ACROSS'),
        answers: [['unknown-state', 'ACROSS']],
    },
    {
        change: 'within 60 s for within 6 s',
        edit: text => text.replaceAll('within 6 s', 'within 60 s'),
        answers: [['limit-too-wide', 'WITNESS (position mark)', 'VLV (isolation valve) SLOW']],
        fix: '6 s',
        exactly: ['limit-too-wide'],
    },
    {
        change: 'a tell moved past close own',
        edit: move('"Clear to move the valve."', 'close own', 'subtask'),
        answers: [],
        exactly: [],
    },
    {
        change: 'WEEP is DRY for 6 s in place of the witness mark',
        edit: put('see WITNESS is IN-LINE for 6 s', 'see WEEP is DRY for 6 s'),
        // Nothing is lost but the block behind the look: without pressure no failure wets the seal area.
        // and the look no longer shows that the breakers have opened.
        answers: [
            ['not-judged', 'WEEP'],
            ['not-proved-dead', 'CB-217', 'CB-218'],
        ],
        exactly: ['not-proved-dead', 'not-judged'],
    },
    { change: 'nothing at all', edit: text => text, answers: [], exactly: [] },
];
