/** The examples on the pages of the checks are texts that can be read, and say nothing wrong but what the page is about. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { check } from '../../../language/check.js';
import { checks } from '../../../language/checks/index.js';
import { parseText } from '../../../language/grammar/parse.js';
import { parseProject } from '../../../language/names/project.js';
import { hasFix, pageOf } from '../../../server/build/reference.js';
import { contexts } from '../grammar/contexts.js';
import { type Example, examplesOf } from './examples.js';

/** Parts with a blank line between them may stand in different places: a rule in the equipment, then what a card does. */
const partsOf = ({ text }: Example): string[] => text.split(/\n\s*\n/);

/** Every whole text that the part fits into: as a declaration, in an equipment, as a line of a step and so on. */
const textsWith = (part: string): string[] =>
    Object.values(contexts).map(({ before, after }) => `${before}\n${part}\n${after}`);

/** What is wrong with the part where the least is wrong with it. Names of the text around it are not known here. */
function wrongWith(part: string): string[] {
    const all = textsWith(part).map(text => {
        const project = parseProject([{ path: 'part.cotter', text }]);
        const found = checks.flatMap(each => each.ofText?.(project) ?? []).map(each => each.code);
        return found.filter(code => code !== 'unknown-name' && code !== 'never-used');
    });
    const readable = all.filter((_, n) => parseText(textsWith(part)[n] ?? '').problems.length === 0);
    return (readable.length > 0 ? readable : all).sort((a, b) => a.length - b.length)[0] ?? [];
}

/** Under which heading of its page an example stands. */
function headingOf({ page, line }: Example): string {
    const lines = readFileSync(page, 'utf8').split('\n').slice(0, line);
    return lines.findLast(each => each.startsWith('## '))?.slice(3) ?? '';
}

const reading = checks.map(each => [each.code, each] as const);

describe.each(reading)('%s', (code, each) => {
    const page = pageOf(each);
    const examples = examplesOf(page);

    test('has an example, and one that is mended where that takes lines', () => {
        const headings = examples.map(headingOf);
        expect(headings).toContain('Example');
        expect(readFileSync(page, 'utf8')).toMatch(/^## Mended$/m);
    });

    test.each(examples.map(example => [example.line, example] as const))('line %d can be read', (_, example) => {
        // Before it is mended, an example may have the mistake that its page is about.
        const may = headingOf(example) === 'Example' ? [code] : [];
        const wrong = partsOf(example)
            .flatMap(wrongWith)
            .filter(found => !may.includes(found));
        expect(wrong).toEqual([]);
    });

    test('offers a fix where its page says so, and nowhere else', () => {
        const path = `${page.slice(0, page.lastIndexOf('/'))}/bad.cotter`;
        const { findings } = check([{ path, text: readFileSync(path, 'utf8') }]);
        const fixed = findings.some(finding => finding.code === code && finding.fixes.length > 0);
        expect(fixed).toBe(hasFix(readFileSync(page, 'utf8')));
    });
});
