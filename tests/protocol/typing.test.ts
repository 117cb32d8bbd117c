import { readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { AstUtils, CstUtils, GrammarAST, type LeafCstNode } from 'langium';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { CompletionItem } from 'vscode-languageserver';
import { checks } from '../../language/checks/index.js';
import { parseText } from '../../language/grammar/parse.js';
import { Client } from './client.js';

/** `COTTER_TYPING=all` takes every word and every prefix; else a sample, the same each time. */
const all = process.env['COTTER_TYPING'] === 'all';
const root = 'examples/northlight';
const texts: Readonly<Record<string, string>> = Object.fromEntries(
    readdirSync(root, { recursive: true, encoding: 'utf8' })
        .filter(path => /\.cotter$|cotter\.json$/.test(path) && statSync(join(root, path)).isFile())
        .map(path => [path, readFileSync(join(root, path), 'utf8')]),
);
const paths = Object.keys(texts).filter(path => path.endsWith('.cotter'));

/** A word of an example that somebody who types it would be glad to be offered. */
interface Due {
    readonly path: string;
    readonly offset: number;
    readonly word: string;
    readonly category: string;
}

/** The words that are due, as the parser took them in the whole text: not those that the writer invents, nor texts and numbers. */
function dueIn(path: string): readonly Due[] {
    const text = texts[path] ?? '';
    return CstUtils.flattenCst(parseText(text).root.$cstNode as never)
        .toArray()
        .flatMap(leaf => {
            const category = leaf.hidden ? undefined : categoryOf(leaf, text);
            return category === undefined ? [] : [{ path, offset: leaf.offset, word: leaf.text, category }];
        });
}

function categoryOf(leaf: LeafCstNode, text: string): string | undefined {
    const { grammarSource: source, astNode: node } = leaf;
    if (!source) return undefined;
    const rule = AstUtils.getContainerOfType(source, GrammarAST.isParserRule)?.name ?? '';
    const isBefore = (from: number): boolean => has(text.slice(from, leaf.offset), leaf.text);
    if (rule === 'StateName') {
        if (node.$type === 'PositionsClause') return undefined;
        // What a thing shows is invented where it is first said.
        const item = AstUtils.getContainerOfType(node, (each): each is typeof node => each.$type === 'Item');
        if (node.$type === 'Shows' && !isBefore(item?.$cstNode?.offset ?? 0)) return undefined;
        if (node.$type === 'Argument') return isKnown(leaf.text, text, leaf.offset) ? 'argument' : undefined;
        const of = (node as { item?: { $refText: string } }).item?.$refText;
        return of === undefined || isKnown(of, text, leaf.offset) ? 'state' : undefined;
    }
    if (rule === 'Unit') return 'unit';
    if (GrammarAST.isKeyword(source)) {
        if (!/^[a-z]/.test(source.value)) return undefined;
        if (rule === 'Verb' || rule === 'Action') return 'word of an act';
        return rule === 'Kind' || rule === 'ParameterKind' ? 'kind' : 'keyword';
    }
    const feature = AstUtils.getContainerOfType(source, GrammarAST.isAssignment)?.feature;
    if (feature === 'code') return 'code';
    const isReference = AstUtils.getContainerOfType(source, GrammarAST.isCrossReference) !== undefined;
    if (!isReference) return undefined;
    if (feature === 'actor') return 'role';
    return isKnown(leaf.text, text, leaf.offset) ? 'name' : undefined;
}

const has = (text: string, word: string): boolean => new RegExp(`(?<![\\w-])${word}(?![\\w-])`).test(text);

/** A thing that the file says only further down cannot be known yet. */
function isKnown(name: string, text: string, offset: number): boolean {
    const declares = (each: string): boolean => new RegExp(`(?<![\\w-])${name}\\s+"`).test(each);
    if (declares(text.slice(0, offset))) return true;
    return declares(text)
        ? false
        : has(text.slice(0, offset), name) || paths.some(path => texts[path] !== text && declares(texts[path] ?? ''));
}

/** Always the same numbers between 0 and 1. */
function seeded(seed: number): () => number {
    let state = seed;
    return () => {
        state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
        return state / 2 ** 32;
    };
}

function sample<T>(from: readonly T[], most: number): readonly T[] {
    if (all) return from;
    const random = seeded(29);
    return [...from]
        .map(each => ({ each, order: random() }))
        .sort((one, two) => one.order - two.order)
        .slice(0, most)
        .map(({ each }) => each);
}

const ofCards: ReadonlySet<string> = new Set(checks.filter(each => each.ofCard).map(each => each.code));
let client: Client;

beforeAll(async () => {
    client = await Client.inside(texts);
});
afterAll(() => client.end());

const opened = new Set<string>();

/** The file ends where somebody types. */
async function typed(path: string, offset: number): Promise<{ line: number; character: number }> {
    const text = (texts[path] ?? '').slice(0, offset);
    if (opened.has(path)) await client.change(path, text);
    else await client.open(path, text);
    opened.add(path);
    return { line: text.split('\n').length - 1, character: offset - text.lastIndexOf('\n') - 1 };
}

async function whole(path: string): Promise<void> {
    await typed(path, texts[path]?.length ?? 0);
}

describe('while an example is typed', { timeout: all ? 3_600_000 : 300_000 }, () => {
    it('offers the word that follows among the first ten, nine times in ten', async () => {
        const due = paths.flatMap(dueIn);
        expect(due.length).toBeGreaterThan(2000);
        const chosen = sample(due, 400);
        const share = new Map<string, { hits: number; of: number }>();
        const missed: string[] = [];
        for (const [n, { path, offset, word, category }] of [...chosen]
            .sort((one, two) => one.path.localeCompare(two.path) || one.offset - two.offset)
            .entries()) {
            const position = await typed(path, offset);
            const items =
                (await client.request<CompletionItem[] | null>('textDocument/completion', path, { position })) ?? [];
            const labels = items.map(each => each.label);
            const at = labels.findIndex(each => each === word || each === `${word}:`);
            const counted = share.get(category) ?? { hits: 0, of: 0 };
            share.set(category, counted);
            counted.of++;
            if (at >= 0 && at < 10) counted.hits++;
            else {
                const line = (texts[path] ?? '').slice(0, offset).split('\n').at(-1)?.trim();
                missed.push(
                    `${category} ${at} ${path}:${position.line + 1} ${line} >${word}< ${labels.slice(0, 10).join(' ')}`,
                );
            }
            if (chosen[n + 1]?.path !== path) await whole(path);
        }
        const hits = [...share.values()].reduce((sum, each) => sum + each.hits, 0);
        const said = [...share].map(([category, { hits, of }]) => `${category} ${hits} of ${of}`).join(', ');
        console.info(`the word that follows is among the first ten: ${hits} of ${chosen.length} (${said})`);
        if (process.env['COTTER_TYPING_MISSED']) console.info(missed.join('\n'));
        expect(hits / chosen.length, missed.slice(0, 20).join('\n')).toBeGreaterThanOrEqual(0.9);
    });

    it('says nothing about paths that it cannot know', async () => {
        const prefixes = paths.flatMap(path =>
            Array.from({ length: texts[path]?.length ?? 0 }, (_, offset) => ({ path, offset })),
        );
        let broken = 0;
        for (const { path, offset } of sample(prefixes, 150)) {
            await typed(path, offset);
            const found = await client.findings(path);
            if (found.some(each => each.code === 'syntax')) broken++;
            const wrong = found.filter(
                each => ofCards.has(String(each.code)) && !String(each.message).includes('before the last edit'),
            );
            expect(
                wrong.map(each => each.message),
                `${path} cut at ${offset}`,
            ).toEqual([]);
            await whole(path);
            expect(await client.findings(path), path).toEqual([]);
        }
        expect(broken).toBeGreaterThan(50);
    });
});
