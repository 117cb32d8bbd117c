import { expect, test } from 'vitest';
import { fileNames, safe } from '../../server/command/file-names.js';

const variant = (card: string, ...states: string[]) => ({
    card,
    with: states.filter(state => state.startsWith('+')).map(state => state.slice(1)),
    without: states.filter(state => state.startsWith('-')).map(state => state.slice(1)),
});

test('a page is named after its card and its variant', () => {
    expect(fileNames([variant('T1'), variant('T2', '+M29-14'), variant('T2', '-M29-14')])).toEqual([
        'T1.html',
        'T2.with-M29-14.html',
        'T2.without-M29-14.html',
    ]);
});

test('names that would be one file are told apart, also where case does not count', () => {
    expect(fileNames([variant('T1'), variant('T1'), variant('t1'), variant('INDEX')])).toEqual([
        'T1.html',
        'T1-2.html',
        't1-3.html',
        'INDEX-2.html',
    ]);
});

test('no name is more than a name to a file system', () => {
    expect(safe('../../etc/passwd')).toBe('__.._etc_passwd');
    expect(safe('a/b\\c:d*e?')).toBe('a_b_c_d_e_');
    expect(safe('CON')).toBe('_CON');
    expect(safe('nul.x')).toBe('_nul.x');
    expect(safe('')).toBe('_');
    expect(safe('Ä-1')).toBe('Ä-1');
    expect(safe('x'.repeat(500))).toHaveLength(120);
});
