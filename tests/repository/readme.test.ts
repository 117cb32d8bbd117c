/** What the README shows is what the tool says. */
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { cotter } from '../command/cotter.js';

const readme = readFileSync('README.md', 'utf8');
const block = (after: string): string => {
    const from = readme.indexOf(after) + after.length;
    return readme.slice(from, readme.indexOf('\n```', from));
};
const withoutComments = (text: string): string =>
    text
        .split('\n')
        .filter(line => !/^\s*\/\//.test(line))
        .join('\n')
        .trim();

test('the card in the README is the example', () => {
    const example = readFileSync('examples/faulty/isolation/boost-pumps.cotter', 'utf8');
    expect(withoutComments(block('```cotter\n'))).toBe(withoutComments(example));
});

test('what the README says that Cotter answers, it answers', () => {
    const { out } = cotter(['check', 'examples/faulty/isolation']);
    expect(out.trim()).toBe(block('answers:\n\n```\n').trim());
});

test('the caution stands in the README word for word', () => {
    expect(readme.replace(/\s*\n> ?/g, ' ')).toContain(
        "This page is not approved data. The manufacturer's current instructions, local regulations and the judgement of licensed staff take precedence. Not released for use until approved under the organisation's own procedure.",
    );
});
