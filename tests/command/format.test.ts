import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { clean, cotter, folder, read } from './cotter.js';

const house = cotter(['format', '-'], { input: clean }).out;
const untidy = house.replaceAll('\n  ', '\n');
const broken = house.replace('step look', 'stp look').replaceAll('\n  ', '\n');

describe('cotter format', () => {
    test('rewrites what is not in the house style, says what, and leaves the rest alone', () => {
        const cwd = folder({
            'a.cotter': untidy,
            'b.cotter': house,
            'deep/c.cotter': `\uFEFF${untidy.replaceAll('\n', '\r\n')}`,
        });
        expect(cotter(['format'], { cwd })).toEqual({ code: 0, out: 'a.cotter\ndeep/c.cotter\n', err: '' });
        expect(read(cwd, 'a.cotter')).toBe(house);
        expect(read(cwd, 'b.cotter')).toBe(house);
        expect(read(cwd, 'deep/c.cotter')).toBe(`\uFEFF${house.replaceAll('\n', '\r\n')}`);
        expect(cotter(['format'], { cwd })).toEqual({ code: 0, out: '', err: '' });
    });

    test('--check writes nothing and ends with 1 where a file would change', () => {
        const cwd = folder({ 'a.cotter': untidy, 'b.cotter': house });
        expect(cotter(['format', '--check'], { cwd })).toEqual({ code: 1, out: 'a.cotter\n', err: '' });
        expect(read(cwd, 'a.cotter')).toBe(untidy);
        expect(cotter(['format', '--check', 'b.cotter'], { cwd })).toEqual({ code: 0, out: '', err: '' });
    });

    test('standard input goes to standard output', () => {
        expect(cotter(['format', '-'], { input: untidy })).toEqual({ code: 0, out: house, err: '' });
        expect(cotter(['format', '--check', '-'], { input: untidy })).toEqual({ code: 1, out: '-\n', err: '' });
        expect(cotter(['format', '-', 'a.cotter'], { input: untidy }).code).toBe(2);
    });

    test('a file with a syntax error, or that cannot be read, stays as it is; the others are written', () => {
        const cwd = folder({ 'a.cotter': broken, 'b.cotter': untidy, 'c.cotter': new Uint8Array([0xff, 0x41]) });
        const { code, out, err } = cotter(['format'], { cwd });
        expect({ code, out }).toEqual({ code: 2, out: 'b.cotter\n' });
        expect(err).toMatch(/^a\.cotter:\d+:1: not formatted: .*"stp".*"step"/);
        expect(err).toMatch(/^c\.cotter: is not in UTF-8/m);
        expect(read(cwd, 'a.cotter')).toBe(broken);
        expect(cotter(['format', '-'], { input: broken })).toMatchObject({ code: 2, out: '' });
        expect(cotter(['format', 'none.cotter'], { cwd })).toMatchObject({ code: 2, out: '' });
        expect(existsSync(join(cwd, 'none.cotter'))).toBe(false);
    });

    test('the line width of the project holds', () => {
        const start = 'start with ALPHA is ON, BETA is ON, GAMMA is ON, DELTA is ON';
        const text = `card C "c" {\n  ${start}\n}\n`;
        const cwd = folder({
            'cotter.json': '{ "lineWidth": 40 }',
            'a.cotter': text,
            'b/cotter.json': '{}',
            'b/a.cotter': text,
        });
        expect(cotter(['format'], { cwd }).out).toBe('a.cotter\n');
        expect(read(cwd, 'a.cotter').split('\n')).toHaveLength(5);
        expect(cotter(['format', '-'], { cwd, input: text }).out).toBe(read(cwd, 'a.cotter'));
    });
});
