/** The language reference says what is so: its examples are clean, they show every construct, and its lists are those of the code. */
import { readFileSync } from 'node:fs';
import { AstUtils, isAstNode, isReference } from 'langium';
import { describe, expect, test } from 'vitest';
import { check, type SourceFile } from '../../../language/check.js';
import { reflection } from '../../../language/grammar/generated/ast.js';
import { parseText } from '../../../language/grammar/parse.js';
import { reservedWords } from '../../../language/grammar/tokens.js';
import { kinds } from '../../../language/vocabulary/kinds/index.js';
import { pageOf, written } from '../../../server/build/reference.js';
import { unlike } from '../../marks.js';
import { ofWholeTexts } from '../../small.js';
import { type Example, examplesOf } from './examples.js';

const page = 'language/README.md';
const examples = examplesOf(page);
const base = examples.filter(each => each.place === 'base').map(each => each.text);
const [hyd = '', frame = '', ...others] = base;
/** What every other example may draw on. */
const around = [hyd, ...others];

/** The example as a project: what it stands in, and itself. */
function placed({ place, text }: Example): SourceFile[] {
    const file = (path: string, content: string): SourceFile => ({ path, text: content });
    const context = around.map((each, n) => file(`base-${n}.cotter`, each));
    switch (place) {
        case 'base':
            return around.includes(text) ? context : [...context, file('example.cotter', text)];
        case '':
            return [...context, file('example.cotter', text)];
        case 'equipment':
            return [...context, file('example.cotter', `equipment Example "Example" uses Hyd {\n${text}\n}`)];
        case 'step':
            return [...context, file('example.cotter', frame.replace('// here', text))];
        default:
            throw new Error(`${place} is no place for an example`);
    }
}

describe('the examples of the language reference', () => {
    test('are many', () => expect(examples.length).toBeGreaterThan(25));

    test.each(examples.map(each => [`line ${each.line}`, each] as const))('%s', (_, example) => {
        const files = placed(example);
        const report = check(files, {}, { fixes: 'none', without: ofWholeTexts });
        expect(unlike(files, report.findings)).toEqual([]);
        const marked = example.text.includes('// expect:');
        for (const card of report.cards)
            expect(`${card.name} ${card.status} ${card.why}`).toMatch(marked ? / (clean|accepted) / : / clean /);
    });

    test('show every construct and every clause of it', () => {
        const seen = new Set<string>();
        for (const example of examples)
            for (const file of placed(example)) {
                const { root, problems } = parseText(file.text);
                expect(problems).toEqual([]);
                for (const node of AstUtils.streamAst(root)) {
                    seen.add(node.$type);
                    for (const [property, value] of Object.entries(node)) {
                        if (property.startsWith('$')) continue;
                        const has = Array.isArray(value)
                            ? value.length > 0
                            : isReference(value) || isAstNode(value) || Boolean(value);
                        if (has) seen.add(`${node.$type}.${property}`);
                    }
                }
            }
        const missing: string[] = [];
        for (const [name, type] of Object.entries(reflection.types)) {
            const { properties } = type as unknown as { properties: Record<string, unknown> };
            if (never.has(name) || Object.keys(properties).length === 0 || isUnion(name)) continue;
            if (!seen.has(name)) missing.push(name);
            for (const property of Object.keys(properties))
                if (!never.has(property) && !inherited.has(`${name}.${property}`) && !seen.has(`${name}.${property}`))
                    missing.push(`${name}.${property}`);
        }
        expect(missing).toEqual([]);
    });
});

/** What the parser reads only to say that it is a mistake, or that this version does not have it. */
const never = new Set(['Meanwhile', 'UnknownAction', 'glued']);
/** Of the type it is one of, and not its own: nothing says how long a measuring takes. */
const inherited = new Set(['Measure.timing']);

/** A type of which there are only others: an action, a look, a clause. */
const isUnion = (name: string): boolean => reflection.getAllSubTypes(name).some(each => each !== name);

describe('the lists of the reference', () => {
    const text = readFileSync(page, 'utf8');
    const section = (name: string): string => text.split(`<!-- ${name} -->`)[1]?.split(`<!-- /${name} -->`)[0] ?? '';

    test('name every reserved word', () => {
        expect([...section('words').matchAll(/`([a-z]+)`/g)].map(([, word]) => word)).toEqual(
            [...reservedWords].sort(),
        );
    });

    test('name every kind with its verbs and states', () => {
        const rows = section('kinds')
            .trim()
            .split('\n')
            .slice(2)
            .map(row => row.split('|').map(cell => cell.trim()));
        expect(rows.map(row => row[1])).toEqual(kinds.map(kind => `\`${kind.word}\``));
        for (const [n, kind] of kinds.entries()) {
            const [, , , verbs = '', states = ''] = rows[n] ?? [];
            for (const { word } of kind.verbs) expect(verbs).toContain(`\`${word}\``);
            const all = kind.states === 'declared' ? (kind.states0 ?? []) : kind.states;
            for (const state of [...all, ...(kind.byFailure ?? [])]) expect(states).toContain(state);
        }
    });
});

describe('what npm run generate writes', () => {
    test.each(written.map(each => [each.path, each] as const))('%s is as the code says', (path, { text }) => {
        const before = readFileSync(path, 'utf8');
        expect(before).toBe(text(before, each => readFileSync(pageOf(each), 'utf8')));
    });
});
