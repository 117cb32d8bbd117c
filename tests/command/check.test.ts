import { spawnSync } from 'node:child_process';
import { join, resolve } from 'node:path';
import { Ajv } from 'ajv';
import { describe, expect, test } from 'vitest';
import schema from './check-output.schema.json' with { type: 'json' };
import { card, clean, cotter, equipment, folder, pulled, read } from './cotter.js';

const validate = new Ajv({ allErrors: true }).compile(schema);

describe('exit codes', () => {
    test('0 where all is clean', () => {
        const { code, out, err } = cotter(['check'], { cwd: folder({ 'a.cotter': clean }) });
        expect({ code, out, err }).toEqual({ code: 0, out: '1 card: 1 clean. No findings.\n', err: '' });
    });

    test('0 where all is accepted, and the finding is still shown', () => {
        const accepted = pulled.replace(
            '  step look',
            '  accept breaker-left-pulled for CB-1 because "The next card closes it."\n  step look',
        );
        const { code, out } = cotter(['check'], { cwd: folder({ 'a.cotter': accepted }) });
        expect(code).toBe(0);
        expect(out).toMatch(/accepted {2}breaker-left-pulled/);
        expect(out).toMatch(/The next card closes it\./);
        expect(out).toMatch(/1 accepted\. .*1 accepted\.\n$/);
    });

    test('0 for information alone', () => {
        const cwd = folder({ 'a.cotter': clean.replace(/revision .*/, '') });
        const { code, out } = cotter(['check'], { cwd });
        expect(out).toMatch(/information {2}no-revision/);
        expect(code).toBe(0);
    });

    test('1 where what a card draws on is wrong in a file that was not asked for', () => {
        const cwd = folder({
            'a.cotter': card('T1', 'see LT is ON record'),
            'e.cotter': equipment.replace(
                /\}\s*$/,
                '  door HATCH "hatch" at Deck\n  rule odd: before pull HATCH require HATCH is OPEN because "x"\n}\n',
            ),
        });
        const { code, out } = cotter(['check', 'a.cotter'], { cwd });
        expect(out).toMatch(
            /^1 card: 1 with findings\. No findings\. What \S+ draws on has findings in files that were not asked for/,
        );
        expect(code).toBe(1);
        expect(cotter(['check', 'e.cotter'], { cwd }).out).toMatch(/wrong-verb/);
    });

    test('1 for an error', () => {
        const { code, out } = cotter(['check'], { cwd: folder({ 'a.cotter': pulled }) });
        expect(code).toBe(1);
        expect(out).toMatch(/^a\.cotter:\d+:\d+ {2}error {2}breaker-left-pulled\n {2}CB-1 \(BUS FEED\) /);
    });

    test('1 for a card that is not known', () => {
        const { code, out } = cotter(['check'], {
            cwd: folder({ 'a.cotter': clean.replace('step look', 'stop look') }),
        });
        expect(code).toBe(1);
        expect(out).toMatch(/syntax/);
    });

    test.each([
        [['check', '--format', 'xml']],
        [['check', '--nonsense']],
        [['nonsense']],
        [[]],
        [['check', '--dry-run']],
        [['check', '--fix', '--dry-run', '--format', 'json']],
        [['check', '--fix', '-']],
        [['check', '--stdin-file', 'a.cotter']],
    ])('2 for wrong use: cotter %j', args => {
        const { code, out, err } = cotter(args, { cwd: folder({ 'a.cotter': clean }) });
        expect({ code, out }).toEqual({ code: 2, out: '' });
        expect(err).not.toBe('');
    });

    test('0 for help and version', () => {
        expect(cotter(['--help']).code).toBe(0);
        expect(cotter(['check', '--help']).out).toMatch(/Exit codes: 0 clean or accepted; 1 .*; 2 wrong use/s);
        expect(cotter(['--version'])).toMatchObject({ code: 0, out: expect.stringMatching(/^\d+\.\d+\.\d+\n$/) });
    });
});

test('JSON has the promised shape', () => {
    const accepted = card('T2', 'pull CB-1').replace(
        '  step',
        '  accept untagged-at-stop for CB-1 because "x"\n  step',
    );
    const cwd = folder({ 'a.cotter': pulled, 'b.cotter': accepted, 'c.cotter': 'card {' });
    const { out, code } = cotter(['check', '--format', 'json'], { cwd });
    const report = JSON.parse(out);
    expect(validate(report), JSON.stringify(validate.errors)).toBe(true);
    expect(code).toBe(1);
    expect(report.findings.length).toBeGreaterThan(1);
    expect(report.cards.find(({ name }: { name: string }) => name === 'T1')).toMatchObject({
        status: 'findings',
        file: 'a.cotter',
    });
    const places = report.findings.map(({ file, line, column }: Record<string, number>) => [file, line, column]);
    expect(places).toEqual(
        places.toSorted((a: number[], b: number[]) =>
            a[0] === b[0] ? a[1] - b[1] || a[2] - b[2] : a[0] < b[0] ? -1 : 1,
        ),
    );
});

test('JSON of clean cards has the promised shape too', () => {
    const { out } = cotter(['check', '--format', 'json'], { cwd: folder({ 'a.cotter': clean }) });
    expect(JSON.parse(out)).toEqual({
        version: 1,
        findings: [],
        cards: [{ name: 'T1', file: 'a.cotter', status: 'clean', why: '' }],
    });
});

describe('--fix', () => {
    test('writes the first fix of each finding, and what then remains decides', () => {
        const cwd = folder({ 'a.cotter': pulled });
        const { code, out, err } = cotter(['check', '--fix'], { cwd });
        expect(code).toBe(0);
        expect(err).toBe('1 fix made in 1 file\n');
        expect(out).toBe('1 card: 1 clean. No findings.\n');
        expect(read(cwd, 'a.cotter')).toMatch(/close CB-1/);
        expect(cotter(['check'], { cwd }).code).toBe(0);
    });

    test('keeps the byte order mark and the ends of the lines', () => {
        const cwd = folder({ 'a.cotter': `\uFEFF${pulled.replaceAll('\n', '\r\n')}` });
        expect(cotter(['check', '--fix'], { cwd }).code).toBe(0);
        const text = read(cwd, 'a.cotter');
        expect(text.startsWith('\uFEFFequipment')).toBe(true);
        expect(text.replaceAll('\r\n', '')).not.toMatch(/[\r\n]/);
    });

    test('--dry-run prints a diff that `patch` takes, and writes nothing', () => {
        const cwd = folder({ 'a.cotter': pulled });
        const { code, out, err } = cotter(['check', '--fix', '--dry-run'], { cwd });
        expect(code).toBe(0);
        expect(err).toMatch(/^1 fix would change 1 file\n/);
        expect(out).toMatch(/^--- a\/a\.cotter\n\+\+\+ b\/a\.cotter\n@@ /);
        expect(out).toMatch(/^\+ +tech: close CB-1$/m);
        expect(read(cwd, 'a.cotter')).toBe(pulled);
        const applied = spawnSync('git', ['apply', '-'], { cwd, input: out, encoding: 'utf8' });
        expect(applied.stderr).toBe('');
        const patched = read(cwd, 'a.cotter');
        expect(cotter(['check', '--fix'], { cwd: folder({ 'a.cotter': pulled }) }).code).toBe(0);
        expect(cotter(['check'], { cwd: folder({ 'a.cotter': patched }) }).code).toBe(0);
    });

    test('a clean file is not touched', () => {
        const cwd = folder({ 'a.cotter': clean });
        expect(cotter(['check', '--fix'], { cwd })).toEqual({
            code: 0,
            out: '1 card: 1 clean. No findings.\n',
            err: '',
        });
        expect(cotter(['check', '--fix', '--dry-run'], { cwd }).out).toBe('');
    });
});

describe('a terminal', () => {
    const inTerminal = (env: Record<string, string>) => {
        const cwd = folder({ 'a.cotter': pulled });
        const command = `'${process.execPath}' '${resolve('dist/cotter.cjs')}' check`;
        // `script` of util-linux runs a command in a terminal of its own.
        const clear = { ...process.env, TERM: 'xterm', NO_COLOR: '', ...env };
        return spawnSync('script', ['-qec', command, '/dev/null'], {
            cwd,
            env: clear,
            encoding: 'utf8',
            timeout: 300_000,
        }).stdout;
    };

    test('has colour and progress', () => {
        const out = inTerminal({});
        expect(out).toContain('\u001B[1m\u001B[31merror');
        expect(out).toMatch(/\r\u001B\[2Kchecking 1 file in .*\r\u001B\[2K/s);
    });

    test('has no colour with NO_COLOR', () => {
        expect(inTerminal({ NO_COLOR: '1' })).not.toMatch(/\u001B\[\d*m/);
    });

    test('nothing of either without one', () => {
        const { out, err } = cotter(['check'], { cwd: folder({ 'a.cotter': pulled }), env: { FORCE_COLOR: '1' } });
        expect(out + err).not.toContain('\u001B');
        expect(err).toBe('');
    });
});

test('a reader that stops reading is no error', () => {
    const many = equipment + Array.from({ length: 300 }, (_, n) => card(`T${n + 1}`, 'see LT is AUTO')).join('');
    const cwd = folder({ 'a.cotter': many });
    const command = `'${process.execPath}' '${resolve('dist/cotter.cjs')}' check | head -n 1`;
    const { stdout, stderr } = spawnSync('sh', ['-c', command], { cwd, encoding: 'utf8', timeout: 300_000 });
    expect(stderr).toBe('');
    expect(stdout.split('\n')).toHaveLength(2);
});

test('files in folders with spaces, quotes and dollar signs', () => {
    const cwd = folder({ "it's $HOME/a b.cotter": pulled });
    const { out } = cotter(['check', "it's $HOME"], { cwd });
    expect(out).toMatch(/^it's \$HOME\/a b\.cotter:\d+/);
    expect(cotter(['check', join(cwd, "it's $HOME", 'a b.cotter')], { cwd: '/' }).out).toMatch(/a b\.cotter:\d+/);
});
