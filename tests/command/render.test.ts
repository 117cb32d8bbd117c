import { existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { card, clean, cotter, equipment, folder, pulled, read } from './cotter.js';

const modification = 'modification M29-14 "Modification 29-14: lamp added"\n';
const twice =
    modification +
    equipment +
    card('T2', 'see LT is ON').replace('    tech:', '    where M29-14 { tech: "Look." }\n    tech:');

test('writes a page a card and variant, and an index of them', () => {
    const cwd = folder({ 'one/a.cotter': clean, 'two/b.cotter': twice });
    const { code, out, err } = cotter(['render'], { cwd });
    expect({ code, err }).toEqual({ code: 0, err: '' });
    const pages = [
        'T1.html',
        'T2.with-M29-14.html',
        'T2.without-M29-14.html',
        'equipment.Supply.html',
        'equipment.Supply-2.html',
    ];
    expect(readdirSync(join(cwd, 'out')).sort()).toEqual([...pages, 'index.html'].sort());
    for (const page of [...pages, 'index.html']) expect(out).toContain(`out/${page}`);
    const index = read(cwd, 'out', 'index.html');
    for (const page of pages) expect(index).toContain(`href="${page}"`);
    expect(read(cwd, 'out', 'T1.html')).toMatch(/^<!doctype html>/i);
});

test('--out says where, and files asked for decide which', () => {
    const cwd = folder({ 'a.cotter': clean, 'other/b.cotter': clean.replace('card T1', 'card T9') });
    expect(cotter(['render', 'other', '--out', 'deep/in here'], { cwd }).code).toBe(0);
    expect(readdirSync(join(cwd, 'deep/in here')).sort()).toEqual(['T9.html', 'equipment.Supply.html', 'index.html']);
    expect(existsSync(join(cwd, 'out'))).toBe(false);
});

test('cards of one name in two projects get pages of their own', () => {
    const cwd = folder({ 'a/cotter.json': '{}', 'a/a.cotter': clean, 'b/cotter.json': '{}', 'b/b.cotter': pulled });
    expect(cotter(['render'], { cwd }).code).toBe(0);
    expect(readdirSync(join(cwd, 'out')).sort()).toEqual([
        'T1-2.html',
        'T1.html',
        'equipment.Supply-2.html',
        'equipment.Supply.html',
        'index.html',
    ]);
});

test('an equipment gets a page for each modification state, listed beside the cards', () => {
    const lamp =
        modification + equipment.replace(/}\s*$/, '  where M29-14 { control SW "SWITCH" at Deck positions A, B }\n}\n');
    const cwd = folder({ 'a.cotter': lamp });
    const { code, out } = cotter(['render'], { cwd });
    const pages = ['equipment.Supply.with-M29-14.html', 'equipment.Supply.without-M29-14.html'];
    expect({ code, pages: readdirSync(join(cwd, 'out')).sort() }).toEqual({ code: 0, pages: [...pages, 'index.html'] });
    const index = read(cwd, 'out', 'index.html');
    for (const page of pages) {
        expect(out).toContain(`out/${page}`);
        expect(index).toContain(`href="${page}"`);
    }
    expect(read(cwd, 'out', pages[0] as string)).toContain('SWITCH');
    expect(read(cwd, 'out', pages[1] as string)).not.toContain('SWITCH');
});

test('an equipment with too many modifications has no page, and the index says why', () => {
    const names = Array.from({ length: 5 }, (_, n) => `M${n}-1`);
    const text = [
        ...names.map(name => `modification ${name} "${name}"`),
        'equipment Many "Many" {',
        '  place Deck "Deck"',
        ...names.map((name, n) => `  where ${name} { control SW-${n} "SWITCH ${n}" at Deck positions A, B }`),
        '}',
    ];
    const cwd = folder({ 'a.cotter': text.join('\n') });
    const { code, out } = cotter(['render'], { cwd });
    expect({ code, pages: readdirSync(join(cwd, 'out')) }).toEqual({ code: 1, pages: ['index.html'] });
    expect(out).toContain('equipment Many: no page could be made');
    expect(read(cwd, 'out', 'index.html')).toContain('so many modifications');
});

test('a card with findings is printed with its status', () => {
    const cwd = folder({ 'a.cotter': pulled });
    const { out } = cotter(['render'], { cwd });
    expect(out).toMatch(/^out\/T1\.html +findings/m);
    expect(read(cwd, 'out', 'index.html')).toMatch(/findings/);
});

test('a card about which not everything is known is printed, and says so', () => {
    const cwd = folder({ 'a.cotter': clean.replace('see LT is OFF', 'see LTT is OFF') });
    expect(cotter(['render'], { cwd })).toMatchObject({
        code: 0,
        out: expect.stringMatching(/^out\/T1\.html +not known$/m),
    });
    expect(read(cwd, 'out', 'index.html')).toMatch(/not known/);
});

test('what cannot be read or written ends with 2', () => {
    const cwd = folder({ 'a.cotter': clean, 'b.cotter': new Uint8Array([0xff]) });
    expect(cotter(['render'], { cwd })).toMatchObject({
        code: 2,
        err: expect.stringMatching(/^b\.cotter: is not in UTF-8/),
    });
    expect(existsSync(join(cwd, 'out', 'T1.html'))).toBe(true);
    const nowhere = cotter(['render', '--out', 'file/out'], { cwd: folder({ 'a.cotter': clean, file: '' }) });
    expect(nowhere).toMatchObject({
        code: 2,
        err: 'file/out: cannot be written: a part of its path is not a folder\n',
    });
    expect(cotter(['render', 'none'], { cwd })).toMatchObject({ code: 2, out: '' });
});
