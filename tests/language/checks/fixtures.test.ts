/** Every check has its page and its fixtures, finds what they say and nothing else, and is missed when it is switched off. */
import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { check, type SourceFile } from '../../../language/check.js';
import { checks } from '../../../language/checks/index.js';
import { applyEdits } from '../../../language/findings/edits.js';
import type { Finding } from '../../../language/findings/finding.js';
import { marksOf, unlike } from '../../marks.js';

const folderOf = (family: string, code: string): string => `language/checks/${family}/${code}`;
const read = (path: string): SourceFile => ({ path, text: readFileSync(path, 'utf8') });

test('codes are permanent words, each once', () => {
    const codes = checks.map(each => each.code);
    expect(new Set(codes).size).toBe(codes.length);
    for (const code of codes) expect(code).toMatch(/^[a-z]+(-[a-z]+)*$/);
});

describe.each(checks.map(each => [each.code, each] as const))('%s', (code, { family, title }) => {
    const folder = folderOf(family, code);

    test('has a page with a title, an example and a word on fixes', () => {
        const page = readFileSync(`${folder}/page.md`, 'utf8');
        expect(page.startsWith(`# ${code}`)).toBe(true);
        expect(page).toMatch(/```cotter/);
        expect(page.toLowerCase()).toContain('fix');
        expect(title.length).toBeGreaterThan(10);
    });

    test('bad.cotter draws what is marked, and nothing else', () => {
        const files = [read(`${folder}/bad.cotter`)];
        expect(
            files.flatMap(marksOf).some(mark => mark.code === code),
            `no mark for ${code}`,
        ).toBe(true);
        expect(unlike(files, check(files).findings)).toEqual([]);
    });

    test('good.cotter draws nothing', () => {
        const report = check([read(`${folder}/good.cotter`)]);
        expect(report.findings.map(said)).toEqual([]);
        for (const card of report.cards) expect(`${card.name} ${card.status} ${card.why}`).toBe(`${card.name} clean `);
    });

    test('is missed when it is switched off', () => {
        const files = [read(`${folder}/bad.cotter`)];
        const without = check(files, {}, { without: new Set([code]), fixes: 'none' });
        expect(unlike(files, without.findings)).not.toEqual([]);
    });

    test('its fixes remove their finding and add none', () => {
        const file = read(`${folder}/bad.cotter`);
        for (const finding of check([file]).findings) {
            for (const fix of finding.fixes) {
                const text = applyEdits(file.text, fix.edits);
                const after = check([{ path: file.path, text }], {}, { fixes: 'none' }).findings;
                const before = check([file], {}, { fixes: 'none' }).findings;
                expect(missingFrom(after, before), fix.title).toEqual([]);
                expect(missingFrom(before, after), fix.title).toContain(named(finding));
                for (const word of ['see ', 'read ', 'measure ', 'wait ', 'hold ', 'tell ', 'pull ', 'warning ']) {
                    expect(count(text, word), `${fix.title} deletes "${word}"`).toBeGreaterThanOrEqual(
                        count(file.text, word),
                    );
                }
            }
        }
    });
});

test('every folder of a check is in the table of contents', () => {
    for (const { family, code } of checks)
        expect(existsSync(folderOf(family, code)), folderOf(family, code)).toBe(true);
});

const said = (finding: Finding): string => `${finding.span.line} ${finding.code}: ${finding.message}`;
const named = (finding: Finding): string => `${finding.code} ${[...finding.about].sort().join(' ')}`;

/** What the first list has and the second lacks, each as often as it is lacking. */
function missingFrom(first: readonly Finding[], second: readonly Finding[]): string[] {
    const left = second.map(named);
    return first.map(named).filter(each => {
        const at = left.indexOf(each);
        if (at >= 0) left.splice(at, 1);
        return at < 0;
    });
}

const count = (text: string, word: string): number => text.split(word).length - 1;
