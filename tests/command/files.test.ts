import { mkdirSync, symlinkSync, truncateSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { understand } from '../../server/workspace/settings.js';
import { card, clean, cotter, equipment, folder, pulled } from './cotter.js';

const broken = card('T9', 'pull CB-1 and tag');

/** Files named in findings, by what was asked. */
function filesWith(
    cwd: string,
    ...paths: string[]
): { code: number | null; err: string; cards: string[]; findings: string[] } {
    const { code, out, err } = cotter(['check', '--format', 'json', ...paths], { cwd });
    const { cards, findings } = JSON.parse(out);
    const names = (list: { file: string }[]) => [...new Set(list.map(({ file }) => file))];
    return { code, err, cards: names(cards), findings: names(findings) };
}

describe('what is asked for', () => {
    const files = {
        'supply.cotter': equipment,
        'cotter.json': '{}',
        'cards/one.cotter': card('T1', 'see LT is ON'),
        'cards/deep/two.cotter': card('T2', 'see LT is ON'),
        'cards/[x].cotter': card('T3', 'see LT is ON'),
        'notes.txt': 'not a card',
        'node_modules/a/no.cotter': 'card',
        '.hidden/no.cotter': 'card',
    };

    test('nothing named is the working folder', () => {
        const cwd = folder(files);
        expect(filesWith(cwd).cards).toEqual(['cards/[x].cotter', 'cards/deep/two.cotter', 'cards/one.cotter']);
        expect(filesWith(join(cwd, 'cards')).cards).toEqual(['[x].cotter', 'deep/two.cotter', 'one.cotter']);
    });

    test('a file, a folder, a glob, and a name that looks like a glob', () => {
        const cwd = folder(files);
        expect(filesWith(cwd, 'cards/one.cotter').cards).toEqual(['cards/one.cotter']);
        expect(filesWith(cwd, 'cards/deep').cards).toEqual(['cards/deep/two.cotter']);
        expect(filesWith(cwd, '**/{one,two}.cotter').cards).toEqual(['cards/deep/two.cotter', 'cards/one.cotter']);
        expect(filesWith(cwd, 'cards/*').cards).toHaveLength(3);
        expect(filesWith(cwd, 'cards/[x].cotter').cards).toEqual(['cards/[x].cotter']);
        expect(filesWith(join(cwd, 'cards', 'deep'), '../one.cotter').cards).toEqual(['../one.cotter']);
    });

    test.each([
        ['*.none', '*.none: matches no .cotter file'],
        ['*.txt', '*.txt: matches no .cotter file'],
        ['none', 'none: there is no such file or folder'],
        ['notes.txt', 'notes.txt: is not a .cotter file'],
        ['empty', 'empty: holds no .cotter file'],
    ])('%s is wrong use, and the rest is still checked', (path, message) => {
        const cwd = folder(files);
        mkdirSync(join(cwd, 'empty'));
        const alone = cotter(['check', path], { cwd });
        expect(alone).toEqual({ code: 2, out: '', err: `${message}\n` });
        const { code, err, cards } = filesWith(cwd, path, 'cards/one.cotter');
        expect({ code, err, cards }).toEqual({ code: 2, err: `${message}\n`, cards: ['cards/one.cotter'] });
    });
});

describe('projects', () => {
    test('names come from the whole project, findings are for what was asked', () => {
        const cwd = folder({
            'cotter.json': '{}',
            'equipment/supply.cotter': equipment,
            'cards/good.cotter': card('T1', 'see LT is ON record'),
            'cards/bad.cotter': broken,
        });
        expect(filesWith(cwd, 'cards/good.cotter')).toMatchObject({
            code: 0,
            findings: [],
            cards: ['cards/good.cotter'],
        });
        expect(filesWith(cwd, 'cards/bad.cotter')).toMatchObject({ code: 1, findings: ['cards/bad.cotter'] });
    });

    test('names never cross projects', () => {
        const cwd = folder({
            'a/cotter.json': '{}',
            'a/supply.cotter': equipment,
            'a/card.cotter': card('T1', 'see LT is ON record'),
            'b/cotter.json': '{}',
            'b/card.cotter': card('T1', 'see LT is ON'),
        });
        const { code, findings } = filesWith(cwd, '.');
        expect(code).toBe(1);
        expect(findings).toEqual(['b/card.cotter']);
    });

    test('a project inside a project is one of its own', () => {
        const cwd = folder({
            'cotter.json': '{}',
            'supply.cotter': equipment,
            'inner/cotter.json': '{}',
            'inner/all.cotter': clean,
        });
        expect(filesWith(cwd)).toMatchObject({ code: 0, findings: [], cards: ['inner/all.cotter'] });
    });

    test('without cotter.json the folder given is the project, for a file the folder that it is in', () => {
        const cwd = folder({ 'supply.cotter': equipment, 'cards/card.cotter': card('T1', 'see LT is ON') });
        expect(filesWith(cwd, '.').code).toBe(0);
        expect(filesWith(cwd, 'cards/card.cotter').code).toBe(1);
    });
});

describe('files that cannot be used', () => {
    test.each<[string, string | Uint8Array, string]>([
        ['binary', new Uint8Array([0x63, 0, 1, 2]), 'is not a text file: it holds a zero byte'],
        [
            'Latin-1',
            new Uint8Array([0x61, 0x0a, 0xe4, 0x0a]),
            'is not in UTF-8 (first wrong byte in line 2); save it as UTF-8',
        ],
        ['UTF-16', new Uint8Array([0xff, 0xfe, 0x61, 0]), 'is in UTF-16; save it as UTF-8'],
    ])('%s: one line, and the rest is still checked', (_, content, message) => {
        const cwd = folder({ 'good.cotter': clean, 'wrong.cotter': content });
        const { code, err, cards } = filesWith(cwd, '.');
        expect({ code, err, cards }).toEqual({ code: 2, err: `wrong.cotter: ${message}\n`, cards: ['good.cotter'] });
        expect(cotter(['check', 'wrong.cotter'], { cwd }).code).toBe(2);
        expect(cotter(['check'], { cwd }).out).toMatch(/1 file could not be read\.\n$/);
    });

    test('too large', () => {
        const cwd = folder({ 'good.cotter': clean, 'wrong.cotter': '' });
        truncateSync(join(cwd, 'wrong.cotter'), 50 * 1024 * 1024 + 1);
        const { code, err, cards } = filesWith(cwd, '.');
        expect({ code, err, cards }).toEqual({
            code: 2,
            err: 'wrong.cotter: is too large: 51 MB, and 50 MB is the most\n',
            cards: ['good.cotter'],
        });
    });

    test('a link that leads nowhere', () => {
        const cwd = folder({ 'good.cotter': clean });
        symlinkSync('nowhere', join(cwd, 'wrong.cotter'));
        const line = 'wrong.cotter: cannot be read: there is no such file or folder\n';
        expect(filesWith(cwd, '.')).toMatchObject({ code: 2, err: line, cards: ['good.cotter'] });
        expect(cotter(['check', 'wrong.cotter'], { cwd })).toMatchObject({ code: 2, err: line });
    });

    test('a link to itself', () => {
        const cwd = folder({ 'good.cotter': clean });
        symlinkSync('wrong.cotter', join(cwd, 'wrong.cotter'));
        const line = 'wrong.cotter: cannot be read: its links lead in a circle\n';
        expect(filesWith(cwd, '.')).toMatchObject({ code: 2, err: line, cards: ['good.cotter'] });
    });

    test('folders linked in a circle are passed over', () => {
        const cwd = folder({ 'good.cotter': clean });
        symlinkSync('.', join(cwd, 'again'));
        expect(filesWith(cwd, '.')).toMatchObject({ code: 0, err: '' });
    });

    test('a byte order mark is dropped, and the places stay right', () => {
        const place = (content: string) => {
            const { out } = cotter(['check', '--format', 'json'], { cwd: folder({ 'a.cotter': content }) });
            return JSON.parse(out).findings.map(({ code, line, column }: Record<string, unknown>) => ({
                code,
                line,
                column,
            }));
        };
        expect(place(`\uFEFF${pulled}`)).toEqual(place(pulled));
        expect(place(pulled)).not.toEqual([]);
    });
});

describe('cotter.json', () => {
    test('not JSON: one line, and the rest is still checked', () => {
        const cwd = folder({ 'cotter.json': '{ "units": ', 'a.cotter': clean });
        const { code, err, cards } = filesWith(cwd);
        expect(err).toMatch(/^cotter\.json: is not JSON: .*\n$/);
        expect({ code, cards }).toEqual({ code: 2, cards: ['a.cotter'] });
    });

    test('says what is wrong and keeps the rest', () => {
        const wrong = (value: unknown) => understand(value, 'cotter.json').problems.map(({ message }) => message);
        expect(wrong({ unit: [] })).toEqual([
            '"unit" is not a setting; did you mean "units"?; the settings are severities, units, sentence, lineWidth',
        ]);
        expect(wrong([])).toEqual(['must hold an object, { ... }']);
        expect(wrong({ units: 'psi' })).toHaveLength(1);
        expect(wrong({ units: ['psi', 'PSI'] })).toEqual(['"PSI" is not a unit; did you mean "psi"?']);
        expect(wrong({ severities: { 'left-open': 'off' } })).toEqual([
            'left-open is an error, and an error stays one',
        ]);
        expect(wrong({ severities: { 'left-opn': 'off' } })).toEqual([
            '"left-opn" is not the code of a check; did you mean "left-open"?',
        ]);
        expect(wrong({ severities: { 'no-revision': 'loud' } })).toEqual([
            'the severity of no-revision must be one of error, warning, information, off',
        ]);
        expect(wrong({ sentence: { step: 0, steps: 1 } })).toHaveLength(2);
        const { settings, problems } = understand(
            { $schema: 'x', units: ['psi'], sentence: { note: 30, x: 1 } },
            'cotter.json',
        );
        expect(settings).toEqual({ units: ['psi'], sentence: { note: 30 } });
        expect(problems).toHaveLength(1);
    });

    test('a setting reaches the check', () => {
        const files = { 'a.cotter': clean.replace('revision "1" dated "2026-10-01"', '') };
        const codes = (cwd: string) => JSON.parse(cotter(['check', '--format', 'json'], { cwd }).out).findings.map(one);
        const one = ({ code, severity }: Record<string, string>) => `${code} ${severity}`;
        expect(codes(folder(files))).toEqual(['no-revision information']);
        const settings = JSON.stringify({ severities: { 'no-revision': 'warning' } });
        expect(codes(folder({ ...files, 'cotter.json': settings }))).toEqual(['no-revision warning']);
    });
});

test('standard input takes its names from the project it stands in', () => {
    const cwd = folder({ 'cotter.json': '{}', 'supply.cotter': equipment, 'cards/card.cotter': broken, 'x/.keep': '' });
    const input = card('T9', 'see LT is ON');
    expect(cotter(['check', '-', '--stdin-file', 'cards/card.cotter'], { cwd, input }).code).toBe(0);
    const inFolder = cotter(['check', '-', '--stdin-file', '../cards/card.cotter'], {
        cwd: join(cwd, 'x'),
        input: pulled,
    });
    expect(inFolder.out).toMatch(/^\.\.\/cards\/card\.cotter:\d+:\d+ {2}error {2}breaker-left-pulled$/m);
    expect(cotter(['check', '-'], { cwd: folder(), input: clean }).code).toBe(0);
    const { out, code } = cotter(['check', '-'], { cwd: folder(), input: pulled });
    expect(code).toBe(1);
    expect(out).toMatch(/^-:\d+:\d+ {2}error {2}breaker-left-pulled\n/);
    const wrong = cotter(['check', '-'], { cwd: folder(), input: new Uint8Array([0xff]) });
    expect(wrong).toMatchObject({
        code: 2,
        err: '-: is not in UTF-8 (first wrong byte in line 1); save it as UTF-8\n',
    });
});
