import { expect, test } from 'vitest';
import { excerpt, linesOf } from '../../server/command/excerpt.js';
import { plain, styleFor } from '../../server/command/terminal.js';
import { text } from '../../server/command/text.js';
import { cardOf, finding, judgement, span } from './made.js';

const none = styleFor({ isTTY: false });
const source = 'card A {\n    tech: open BLEED\n    tech: "Wait."\n}\n';
const at = span('cards/a.cotter', source, 19, 24);

function printed(...findings: ReturnType<typeof finding>[]): string {
    return text(judgement(findings, [cardOf('cards/a.cotter', 'findings')]), () => source, none);
}

test('place, severity, code, message, the line with its mark, related places, what to do, and the counts', () => {
    const related = [{ span: span('cards/b.cotter', 'x\ny', 2, 3), message: 'Called here.' }];
    const fixes = [{ title: 'Close BLEED before the card ends', edits: [] }];
    expect(printed(finding(at, { related, fixes, only: 'only before M29-14' }))).toBe(
        [
            'cards/a.cotter:2:11  error  left-open',
            '  BLEED (bleed port) is still open when the card ends. (Only before M29-14.)',
            '  2 | tech: open BLEED',
            '    |       ^^^^^',
            '  cards/b.cotter:2:1  Called here.',
            '  fix: Close BLEED before the card ends',
            '',
            '1 card: 1 with findings. 1 error, 0 warnings, 0 information. 1 can be mended by --fix.',
            '',
        ].join('\n'),
    );
});

test('an accepted finding says by whom it is accepted, and is counted apart', () => {
    const accepted = { because: 'Closed by the next card.', span: at };
    expect(printed(finding(at, { accepted }))).toBe(
        [
            'cards/a.cotter:2:11  accepted  left-open',
            '  BLEED (bleed port) is still open when the card ends.',
            '  Accepted in line 2: Closed by the next card.',
            '',
            '1 card: 1 with findings. 0 errors, 0 warnings, 0 information, 1 accepted.',
            '',
        ].join('\n'),
    );
});

test('the last line names the cards about which not everything is known', () => {
    const cards = [
        cardOf('a.cotter', 'clean'),
        cardOf('b.cotter', 'unknown', 'The arm at line 3 is not judged.'),
        cardOf('c.cotter', 'accepted'),
    ];
    expect(text(judgement([], cards), () => undefined, none, 2)).toBe(
        '3 cards: 1 clean, 1 accepted, 1 not known. No findings. Not known: b (The arm at line 3 is not judged). ' +
            '2 files could not be read.\n',
    );
});

test('colour is for terminals, and not where NO_COLOR is set', () => {
    expect(styleFor({ isTTY: true }, {})('bold', 'x')).toBe('\u001B[1mx\u001B[22m');
    expect(styleFor({ isTTY: true }, { NO_COLOR: '1' })('bold', 'x')).toBe('x');
    expect(styleFor({ isTTY: true }, { TERM: 'dumb' })('bold', 'x')).toBe('x');
    expect(styleFor({ isTTY: false }, { FORCE_COLOR: '1' })('bold', 'x')).toBe('x');
});

test('text from a file cannot steer the terminal', () => {
    expect(plain('a\u001B[2Jb\u0007\r\n\u202Ec\tä日\uD800')).toBe('a·[2Jb···\u00B7c\tä日·');
    const evil = 'x \u001B]0;title\u0007 y';
    const out = text(
        judgement([finding(span('e.cotter', evil, 0, 1), { message: evil, related: [{ span: at, message: evil }] })]),
        () => evil,
        none,
    );
    expect(out).not.toMatch(/[\u0000-\u0008\u000B-\u001F]/);
});

test('the mark stands under what is meant', () => {
    const mark = (line: string, from: number, to: number) => {
        const shown = excerpt(linesOf(line), span('a', line, from, to));
        return [shown?.line, shown?.mark];
    };
    expect(mark('\t\tone two', 6, 9)).toEqual(['one two', '    ^^^']);
    expect(mark('one\ttwo', 4, 7)).toEqual(['one\ttwo', '   \t^^^']);
    expect(mark('日本 two', 3, 6)).toEqual(['日本 two', '     ^^^']);
    expect(mark('e\u0301 two', 3, 6)).toEqual(['e\u0301 two', '  ^^^']);
    expect(mark('one', 3, 3)).toEqual(['one', '   ^']);
    expect(mark('one {\n  two\n}', 4, 13)).toEqual(['one {', '    ^']);
    expect(mark('  one', 0, 5)).toEqual(['  one', '^^^^^']);
});

test('of a long line the part around the place is shown', () => {
    const long = `${'a'.repeat(500)}BAD${'b'.repeat(500)}`;
    const shown = excerpt([long], span('a', long, 500, 503));
    expect(shown?.line).toHaveLength(102);
    expect(shown?.line.indexOf('BAD')).toBe(shown?.mark.indexOf('^^^'));
    const emoji = '😀'.repeat(300);
    expect(excerpt([emoji], span('a', emoji, 300, 302))?.line).not.toMatch(/·/);
});

test('a place beyond the text has no line', () => {
    expect(excerpt(['one'], { ...at, line: 7 })).toBeUndefined();
});
