import { readdirSync, readFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { check } from '../../../language/check.js';

const root = fileURLToPath(new URL('../../..', import.meta.url));

/** Each folder of examples and of fixtures, with its texts: a project of its own. */
function projects(): (readonly [name: string, files: readonly { path: string; text: string }[]])[] {
    const texts = (folder: string): string[] =>
        readdirSync(join(root, folder), { withFileTypes: true, recursive: true })
            .filter(each => each.isFile() && each.name.endsWith('.cotter'))
            .map(each => relative(root, join(each.parentPath, each.name)));
    const read = (path: string) => ({ path, text: readFileSync(join(root, path), 'utf8') });
    const faulty = readdirSync(join(root, 'examples/faulty')).map(each => `examples/faulty/${each}`);
    const folders = ['examples/northlight', 'tests/language/sample', ...faulty];
    return [
        ...folders.map(each => [each, texts(each).map(read)] as const),
        ...texts('language/checks').map(each => [each, [read(each)]] as const),
    ];
}

/** Where something stands that does not belong into plain data: a syntax node, a function, an object of a class. */
function strangers(value: unknown, path: string, seen: Set<object>, found: string[]): void {
    if (typeof value === 'function' || typeof value === 'symbol') found.push(path);
    if (typeof value !== 'object' || value === null || seen.has(value)) return;
    seen.add(value);
    const made = Object.getPrototypeOf(value)?.constructor?.name ?? 'Object';
    if (!['Object', 'Array', 'Map', 'Set', 'Int16Array', 'Float64Array'].includes(made))
        found.push(`${path} is a ${made}`);
    if (ArrayBuffer.isView(value)) return;
    if (value instanceof Map || value instanceof Set) {
        for (const each of value) strangers(each, `${path}[]`, seen, found);
        return;
    }
    for (const [key, each] of Object.entries(value)) {
        if (key.startsWith('$')) found.push(`${path}.${key}`);
        strangers(each, `${path}.${key}`, seen, found);
    }
}

describe('what lies between text and reader is plain data', () => {
    const all = projects();

    it('in every example and every fixture', () => {
        expect(all.length).toBeGreaterThan(20);
    });

    it.each(all)('%s', (_, files) => {
        const report = check(files, {}, { fixes: 'none' });
        for (const { machine, plan, traces, paths, failures, findings } of report.judged) {
            const data = { machine, plan, traces, paths, failures: failures(), findings };
            const found: string[] = [];
            strangers(data, '', new Set(), found);
            expect(found).toEqual([]);
            expect(structuredClone(data)).toEqual(data);
        }
        const found: string[] = [];
        strangers([report.findings, report.cards], '', new Set(), found);
        expect(found).toEqual([]);
        expect(structuredClone([report.findings, report.cards])).toEqual([report.findings, report.cards]);
    });
});
