/** A misspelt word is mended though more is judged then; a word that is spelt well and wrong here is not offered. */
import { expect, test } from 'vitest';
import { check, type Finding } from '../../../language/check.js';
import { applyEdits } from '../../../language/findings/edits.js';
import { card, equipment } from '../../command/cotter.js';

const of = (text: string): readonly Finding[] => check([{ path: 'a.cotter', text }]).findings;
const codes = (text: string): string[] => of(text).map(each => each.code);
const fixesOf = (text: string, code: string) => of(text).flatMap(each => (each.code === code ? each.fixes : []));

const spare =
    '  breaker CB-2  "SPARE" at Deck grid "A2" rated 5 A\n  light LT-2 "SPARE LIVE" at Deck { shows ON when CB-2 is CLOSED  shows OFF otherwise }\n';
const supply = equipment.replace('  light ', `${spare}  light `);
const acts = ['pull CB-1 and tag', 'see LT is OFF', 'close CB-1', 'pull CB-2 and tag', 'see LT-2 is OFF'];
const well = supply + card('T1', ...acts);

test('the card without a slip has one finding, which the slips below hide', () => {
    expect(codes(well)).toEqual(['breaker-left-pulled']);
});

test.each([
    ['syntax', '  step look', '  stepp look', 'breaker-left-pulled'],
    ['unknown-name', 'uses Supply', 'uses Suply', 'breaker-left-pulled'],
    ['wrong-verb', 'pull CB-1', 'disconnect CB-1', undefined],
    ['unknown-state', 'see LT is OFF', 'see LT is OF', undefined],
])('%s: "%s" written "%s" is mended', (code, right, slip, hidden) => {
    const text = well.replace(right, slip);
    expect(codes(text)).toContain(code);
    if (hidden) expect(codes(text)).not.toContain(hidden);
    const [fix] = fixesOf(text, code);
    expect(fix, JSON.stringify(of(text))).toBeDefined();
    expect(codes(applyEdits(text, fix?.edits ?? []))).toEqual(['breaker-left-pulled']);
});

test('a name that is near but brings a finding about itself is not offered', () => {
    // CB-12 is neither of the two; closing CB-1 once more, or pulling CB-2 and leaving it, would be a guess.
    const text = supply + card('T1', 'pull CB-1 and tag', 'see LT is OFF', 'close CB-1', 'pull CB-12 and tag');
    expect(codes(text)).toContain('unknown-name');
    expect(fixesOf(text, 'unknown-name')).toEqual([]);
});

test('a name misspelt twice in the same way is mended in both places, where mending one would leave the breaker pulled', () => {
    const text = supply + card('T1', 'pull CB-22 and tag', 'see LT-2 is OFF', 'close CB-22');
    const [fix] = fixesOf(text, 'unknown-name');
    expect(fix?.title).toBe('Write CB-2 in all 2 places');
    expect(codes(applyEdits(text, fix?.edits ?? []))).toEqual([]);
});
