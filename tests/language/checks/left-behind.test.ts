/** What is done although it is so already, and what cards hand to each other. */
import { describe, expect, test } from 'vitest';
import { check, type SourceFile } from '../../../language/check.js';
import { applyEdits } from '../../../language/findings/edits.js';
import { ofWholeTexts } from '../../small.js';

const equipment = `modification M1 "first"
equipment E "e" {
  place   FD   "Flight deck"
  control SW   "SWITCH" at FD positions OFF, ON
  control PUMP "PUMP"   at FD positions OFF, ON
  button  BTN  "BUTTON" at FD
  breaker CB   "BREAKER" at FD
  breaker CB2  "OTHER"  at FD
  unit    U    "drive"  at FD
  connector P  "plug"   at FD
  port    PORT "port"   at FD carries PRES wets SPOT
  source  PRES "pressure" live when PUMP is ON
  area    SPOT "spot"   at FD
  stimulus HEAT "heat"  at FD
  valve   V    "valve"  at FD positions SHUT, OPEN { goes OPEN in 3 s when SW is ON  goes SHUT in 3 s otherwise }
  light   LT   "lamp"   at FD from CB { shows ON when SW is ON  shows OFF otherwise }
}`;

function filesOf(lines: string, head = '', before = ''): SourceFile[] {
    const text = `${equipment}
${before}
card K "k" {
  uses E
  revision "1"
  role deck "Operator" at FD
  ${head}
  step all "All" {
${lines}
  }
}`;
    return [{ path: 'k.cotter', text }];
}

/** Severity, code and what it is about, of one code alone, for the card K. */
function found(code: string, lines: string, head = '', before = ''): string[] {
    const report = check(filesOf(lines, head, before), {}, { fixes: 'none', without: ofWholeTexts });
    const broken = report.findings.filter(each => each.code === 'syntax' || each.code.startsWith('unknown'));
    if (broken.length > 0) throw new Error(broken.map(each => each.message).join('\n'));
    return report.findings
        .filter(each => each.code === code && each.card === 'K')
        .map(each => `${each.severity} ${each.about.join(' ')}`);
}

describe('what is so already', () => {
    const so = (lines: string, head = '', before = ''): string[] => found('already-so', lines, head, before);
    const pull = 'subtask Off "Off" (breaker what) uses E { deck_: close what }';

    test.each([
        ['as the card began, by its normal state', 'deck: set SW to OFF', 'SW'],
        ['after the same act', 'deck: set SW to ON deck: set SW to ON deck: set SW to OFF', 'SW'],
        ['a breaker', 'deck: close CB', 'CB'],
        ['the first of a list alone', 'deck: pull CB2 and tag deck: close CB, CB2', 'CB'],
        ['a plug', 'deck: connect P', 'P'],
        ['a port', 'deck: close PORT', 'PORT'],
        ['a unit', 'deck: install U', 'U'],
        ['a stimulus', 'deck: remove HEAT', 'HEAT'],
        ['a tag', 'deck: pull CB and tag deck: tag CB deck: close CB', 'CB'],
        ['no tag', 'deck: untag SW', 'SW'],
        ['a tag that went with the closing', 'deck: pull CB and tag deck: close CB deck: untag CB', 'CB'],
        [
            'a control that is then held there',
            'deck: set SW to ON deck: keep SW at ON at most 9 s { deck: see LT is ON } deck: set SW to OFF',
            'SW',
        ],
        [
            'on both branches',
            'if deck sees LT is OFF { deck: set SW to ON } otherwise { deck: set SW to ON } deck: set SW to ON deck: set SW to OFF',
            'SW',
        ],
        ['once for two pulls and tags', 'deck: pull CB and tag deck: pull CB and tag deck: close CB', 'CB'],
    ])('is told of: %s', (_, lines, about) => {
        expect(so(lines)).toEqual([`information ${about}`]);
    });

    test('is told of by what start with says', () => {
        expect(so('deck: set SW to ON', 'start with SW is ON')).toEqual(['information SW']);
        expect(so('deck: set SW to ON', 'start with SW is ON or OFF finish with SW is ON')).toEqual([]);
    });

    test.each([
        ['an ensure', 'deck: ensure SW is OFF deck: ensure CB is CLOSED deck: ensure CB is CLOSED'],
        ['an ensure with a tag', 'deck: ensure CB is PULLED and tag deck: ensure CB is PULLED and tag deck: close CB'],
        [
            'what is so on one branch alone',
            'if deck sees LT is OFF { deck: set SW to ON } deck: set SW to ON deck: set SW to OFF',
        ],
        ['a new part', 'deck: install new U'],
        ['cleaning', 'deck: clean SPOT'],
        ['a button pressed twice', 'deck: press BTN deck: press BTN'],
        ['a look', 'deck: see SW is OFF'],
        [
            'what may have become wet',
            'deck: set PUMP to ON deck: open PORT deck: close PORT deck: set PUMP to OFF deck: clean SPOT',
        ],
        [
            'a breaker that may have tripped',
            'deck: set SW to ON deck: see LT is ON else { deck: close CB } deck: set SW to OFF',
        ],
        ['a block for what somebody has found otherwise', 'if deck sees SW is ON { deck: set SW to OFF }'],
        [
            'a repeat',
            'deck: set SW to ON deck: see LT is ON else { repeat step all at most 2 times } deck: set SW to OFF',
        ],
    ])('leaves alone %s', (_, lines) => {
        expect(so(lines)).toEqual([]);
    });

    test('counts a line of a subtask only where it is so in every call', () => {
        const before = pull.replace('deck_', 'who').replace('(breaker what)', '(breaker what, role who)');
        expect(so('deck: pull CB and tag do Off(CB, deck) do Off(CB2, deck)', '', before)).toEqual([]);
        expect(so('do Off(CB, deck) do Off(CB2, deck)', '', before)).toEqual(['information CB CB2']);
        expect(so('deck: pull CB and tag for each x in CB, CB2 { deck: close x }')).toEqual([]);
    });

    test.each([
        ['deck: set SW to OFF', 'deck: ensure SW is OFF'],
        ['deck: close CB', 'deck: ensure CB is CLOSED'],
        ['deck: connect P', 'deck: ensure P is CONNECTED'],
        ['deck: install U', 'deck: ensure U is INSTALLED'],
    ])('%s becomes %s', (line, wanted) => {
        const files = filesOf(`    ${line}`);
        const [finding] = check(files, {}, { without: ofWholeTexts }).findings.filter(
            each => each.code === 'already-so',
        );
        const text = applyEdits(files[0]?.text ?? '', finding?.fixes[0]?.edits ?? []);
        expect(text).toContain(`    ${wanted}\n`);
    });

    test.each([
        ['a pull', 'deck: pull CB and tag\ndeck: pull CB and tag\ndeck: close CB'],
        ['several things', 'deck: close CB, CB2'],
        ['a tag', 'deck: untag SW'],
    ])('has no fix for %s', (_, lines) => {
        const all = check(filesOf(lines), {}, { without: ofWholeTexts }).findings.filter(
            each => each.code === 'already-so',
        );
        expect(all.length).toBeGreaterThan(0);
        for (const each of all) expect(each.fixes).toEqual([]);
    });
});

describe('what one card hands to another', () => {
    const mismatch = (head: string, lines: string, before: string): string[] =>
        found('handover-mismatch', lines, head, before);
    const card = (name: string, head: string, lines = ''): string => `card ${name} "${name}" {
  uses E revision "1" role deck "Operator" at FD ${head}
  step one "One" { ${lines} }
}`;
    const idle = 'deck: "Look at [U]."';

    test.each([
        [
            'its finish, against this start',
            'start with PUMP is OFF',
            'finish with PUMP is ON',
            'deck: set PUMP to ON',
            ['PUMP A-1'],
        ],
        [
            'its finish, against what is normal here',
            '',
            'finish with CB is PULLED',
            'deck: pull CB and tag',
            ['CB A-1'],
        ],
        ['its start where it has no finish', 'start with PUMP is OFF', 'start with PUMP is ON', idle, ['PUMP A-1']],
        ['its start, against what is normal here', '', 'start with PUMP is ON', idle, ['PUMP A-1']],
        [
            'the normal state where it had to find out',
            'start with PUMP is ON',
            'start with PUMP is ON or OFF',
            'deck: ensure PUMP is OFF',
            ['PUMP A-1'],
        ],
        [
            'the normal state of what it operates',
            'start with CB is PULLED',
            '',
            'deck: pull CB and tag deck: close CB',
            ['CB A-1'],
        ],
        [
            'the normal state of what it operates in a subtask',
            'start with CB is PULLED',
            '',
            'do Off(CB, deck)',
            ['CB A-1'],
        ],
        [
            'what moves by itself',
            'start with V is SHUT',
            'finish with SW is ON, V is OPEN',
            'deck: set SW to ON wait 4 s',
            ['SW A-1', 'V A-1'],
        ],
        [
            'two things',
            'start with PUMP is OFF',
            'finish with PUMP is ON, SW is ON',
            'deck: set PUMP to ON deck: set SW to ON',
            ['PUMP A-1', 'SW A-1'],
        ],
    ])('after a card is told of: %s', (_, head, otherHead, otherLines, about) => {
        const before = `subtask Off "Off" (breaker what, role who) uses E { who: pull what and tag who: close what }
${card('A-1', otherHead, otherLines)}`;
        expect(mismatch(`after A-1 ${head}`, idle, before)).toEqual(about.map(each => `error ${each}`));
    });

    test.each([
        ['its finish is this start', 'start with PUMP is ON', 'finish with PUMP is ON', 'deck: set PUMP to ON'],
        [
            'its finish is among the states of this start',
            'start with PUMP is ON or OFF',
            'finish with PUMP is ON',
            'deck: set PUMP to ON',
        ],
        [
            'its finish comes before its start',
            'start with PUMP is OFF',
            'start with PUMP is ON finish with PUMP is OFF',
            'deck: set PUMP to OFF',
        ],
        ['it neither names nor operates the thing', 'start with PUMP is ON', '', idle],
        ['it only looks at the thing', 'start with CB is PULLED', '', 'deck: see CB is CLOSED'],
        ['both begin alike', 'start with PUMP is ON', 'start with PUMP is ON', idle],
    ])('after a card is in order where %s', (_, head, otherHead, otherLines) => {
        expect(mismatch(`after A-1 ${head}`, idle, card('A-1', otherHead, otherLines))).toEqual([]);
    });

    test('after several cards one of which brings it there is in order', () => {
        const before = `${card('A-1', 'finish with PUMP is ON', 'deck: set PUMP to ON')}
${card('A-2', 'start with PUMP is ON finish with PUMP is OFF', 'deck: set PUMP to OFF')}`;
        expect(mismatch('after A-1 after A-2', idle, before)).toEqual([]);
    });

    test.each([
        ['where it is otherwise', 'start with PUMP is ON', '', ['PUMP A-1']],
        [
            'where it may be otherwise',
            'start with PUMP is OFF',
            'if deck sees LT is OFF { deck: set PUMP to ON }',
            ['PUMP A-1'],
        ],
        [
            'where it has not been so for long enough',
            'start with PUMP is OFF for at least 60 s',
            'deck: set PUMP to ON deck: set PUMP to OFF wait 30 s',
            ['PUMP A-1'],
        ],
        ['where what moves is elsewhere', 'start with V is OPEN', '', ['V A-1']],
        [
            'where what moves has not been so for long enough',
            'start with V is OPEN for at least 60 s, SW is ON',
            'deck: set SW to ON wait 9 s',
            ['V A-1'],
        ],
    ])('a card that is done is told of %s', (_, otherHead, lines, about) => {
        expect(mismatch('', `${lines} do A-1`, card('A-1', otherHead, idle))).toEqual(
            about.map(each => `error ${each}`),
        );
    });

    test.each([
        ['where it is so', 'start with PUMP is ON', 'deck: set PUMP to ON', 'deck: set PUMP to OFF'],
        ['where it may be either', 'start with PUMP is ON or OFF', '', ''],
        [
            'where it has been so for long enough',
            'start with PUMP is OFF for at least 60 s',
            'deck: set PUMP to ON deck: set PUMP to OFF wait 60 s',
            '',
        ],
        [
            'where what moves has arrived',
            'start with V is OPEN, SW is ON',
            'deck: set SW to ON wait 3 s',
            'deck: set SW to OFF wait 3 s',
        ],
    ])('a card that is done is in order %s', (_, otherHead, first, last) => {
        expect(mismatch('', `${first} do A-1 ${last}`, card('A-1', otherHead, idle))).toEqual([]);
    });

    test('one cause is told of once where a card is done', () => {
        const files = filesOf(
            'deck: set PUMP to ON do A-1 deck: set PUMP to OFF',
            '',
            card('A-1', 'start with PUMP is OFF', idle),
        );
        const codes = check(files, {}, { fixes: 'none', without: ofWholeTexts }).findings.map(each => each.code);
        expect(codes).toEqual(['handover-mismatch']);
        // What people operate and the other card promises is told of by the check that is there for it.
        const other = filesOf('do A-1', '', card('A-1', 'finish with PUMP is ON', idle));
        const left = check(other, {}, { fixes: 'none', without: ofWholeTexts }).findings.filter(
            each => each.card === 'K',
        );
        expect(left.map(each => each.code)).toEqual(['finish-not-reached']);
    });

    test('what moves by itself and is not as the finish of a card that is done says is told of', () => {
        const before = card('A-1', 'finish with V is OPEN, SW is ON', 'deck: set SW to ON wait 1 s');
        expect(mismatch('', 'do A-1 deck: set SW to OFF wait 4 s', before)).toEqual(['error V A-1']);
        expect(mismatch('', 'do A-1 deck: set SW to OFF wait 4 s', before.replace('wait 1 s', 'wait 3 s'))).toEqual([]);
    });

    describe('a card that is done and comes after another', () => {
        const before = `${card('A-0', '', idle)}
${card('A-1', 'after A-0', idle)}
${card('A-2', 'after A-1', idle)}
${card('A-3', '', 'do A-1')}
${card('A-4', 'after A-0', 'do A-1')}`;
        test.each([
            ['is told of', '', 'do A-1', ['A-1 A-0']],
            ['is told of where the other comes too late', '', 'do A-1 do A-0', ['A-1 A-0']],
            [
                'is told of where the other is done on one way alone',
                '',
                'if deck sees LT is OFF { do A-0 } do A-1',
                ['A-1 A-0'],
            ],
            ['is told of for what is not the first alone', '', 'do A-0 do A-2', ['A-2 A-1']],
            ['is told of two calls deep', '', 'do A-3', ['A-1 A-0']],
            ['is in order after the other', 'after A-0', 'do A-1', []],
            ['is in order after one that comes after the other', 'after A-2', 'do A-1', []],
            ['is in order once the other is done', '', 'do A-0 do A-1', []],
            [
                'is in order once the other is done on both ways',
                '',
                'if deck sees LT is OFF { do A-0 } otherwise { do A-0 } do A-1',
                [],
            ],
            ['is in order in a card that asks for the other itself', 'after A-0', 'do A-4', []],
            ['is told of once where the card around it asks for the other as well', '', 'do A-4', ['A-4 A-0']],
        ])('%s', (_, head, lines, about) => {
            expect(mismatch(head, lines, before)).toEqual(about.map(each => `error ${each}`));
        });
    });

    test.each([
        ['what moves', 'start with V is OPEN', '', ['error V A-1']],
        [
            'a time',
            'start with PUMP is OFF for at least 60 s',
            'deck: set PUMP to ON deck: set PUMP to OFF wait 9 s',
            ['error PUMP A-1'],
        ],
        [
            'nothing where all is so',
            'start with PUMP is OFF for at least 60 s, V is SHUT',
            'deck: set PUMP to ON deck: set PUMP to OFF wait 60 s',
            [],
        ],
        ['nothing that the card before this check tells of', 'start with PUMP is OFF', 'deck: set PUMP to ON', []],
    ])('at a leave: %s', (_, otherHead, lines, told) => {
        const leaving = `${lines} if deck sees LT is OFF { leave for A-1 }`;
        expect(mismatch('', leaving, card('A-1', otherHead, idle))).toEqual(told);
    });

    test('the fixes', () => {
        const after = filesOf(
            `    ${idle}`,
            'after A-1',
            card('A-1', 'finish with CB is PULLED', 'deck: pull CB and tag'),
        );
        const [one] = check(after, {}, { without: ofWholeTexts }).findings.filter(
            each => each.code === 'handover-mismatch',
        );
        expect(applyEdits(after[0]?.text ?? '', one?.fixes[0]?.edits ?? [])).toContain('start with CB is PULLED');
        const done = filesOf('    do A-1', '', `${card('A-0', '', idle)}\n${card('A-1', 'after A-0', idle)}`);
        const [two] = check(done, {}, { without: ofWholeTexts }).findings.filter(
            each => each.code === 'handover-mismatch',
        );
        expect(applyEdits(done[0]?.text ?? '', two?.fixes[0]?.edits ?? [])).toContain('card K "k" {\n  after A-0\n');
    });
});
