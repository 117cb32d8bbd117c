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
