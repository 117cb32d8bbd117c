/** The package as npm makes it: it installs without a network in an empty folder, and works there. */
import { spawnSync } from 'node:child_process';
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import manifest from '../../package.json' with { type: 'json' };

let root = '';
let packed = { filename: '', size: 0, unpackedSize: 0, files: [] as { path: string }[] };
const elsewhere = () => join(root, 'else where');

function npm(args: readonly string[], cwd: string) {
    // With a cache of its own, so that nothing comes from what this machine has fetched before.
    const env = { ...process.env, npm_config_cache: join(root, 'cache') };
    const done = spawnSync('npm', args, { cwd, env, encoding: 'utf8', shell: process.platform === 'win32' });
    expect(done.status, done.stderr).toBe(0);
    return done.stdout;
}

beforeAll(() => {
    root = mkdtempSync(join(tmpdir(), 'cotter-pack-'));
    cpSync('examples', join(root, 'else where', 'examples'), { recursive: true });
    // The tests run on what the build made; making it again would pull it from under the others.
    const out = npm(['pack', '--json', '--ignore-scripts', '--pack-destination', root], resolve('.'));
    const parsed = JSON.parse(out);
    [packed] = Array.isArray(parsed) ? parsed : (Object.values(parsed) as (typeof packed)[]);
    writeFileSync(join(elsewhere(), 'package.json'), '{ "private": true }');
    npm(
        ['install', '--offline', '--ignore-scripts', '--no-audit', '--no-fund', join(root, packed.filename)],
        elsewhere(),
    );
}, 600_000);
afterAll(() => rmSync(root, { recursive: true, force: true }));

function cotter(...args: string[]) {
    const bin = join(elsewhere(), 'node_modules', '.bin', 'cotter');
    return spawnSync(process.execPath, [bin, ...args], { cwd: elsewhere(), encoding: 'utf8', timeout: 600_000 });
}

test('it holds the command, the licence and what to read, and nothing else', () => {
    expect(packed.files.map(({ path }) => path).sort()).toEqual([
        'CHANGELOG.md',
        'LICENSE',
        'README.md',
        'dist/cotter.cjs',
        'package.json',
    ]);
    expect(packed.size).toBeLessThan(1_500_000);
    expect(packed.unpackedSize).toBeLessThan(6_000_000);
});

test('it is built before it is packed, and needs no other package', () => {
    expect(manifest.scripts.prepack).toBe('node server/build/launch.mjs build');
    expect(Object.keys(manifest).filter(key => /dependencies/i.test(key))).toEqual(['devDependencies']);
    expect(readdirSync(join(elsewhere(), 'node_modules')).filter(name => !name.startsWith('.'))).toEqual(['cotter']);
    const bundle = readFileSync('dist/cotter.cjs', 'utf8');
    const asked = [...bundle.matchAll(/\brequire\("([^"]+)"\)/g)].map(([, name]) => name);
    expect(asked.length).toBeGreaterThan(0);
    const builtIn = new Set(process.getBuiltinModule('node:module').builtinModules);
    expect(asked.filter(name => !builtIn.has(name.replace(/^node:/, '')))).toEqual([]);
});

describe('elsewhere', () => {
    test('check', () => {
        const { status, stdout, stderr } = cotter('check', 'examples/faulty/isolation');
        expect(stderr).toBe('');
        expect(stdout).toMatch(/^examples\/faulty\/isolation\/boost-pumps\.cotter:\d+:\d+ {2}error {2}not-isolated$/m);
        expect(status).toBe(1);
        expect(cotter('--version').stdout).toBe(`${manifest.version}\n`);
    });

    test('render', () => {
        const { status, stdout } = cotter('render', 'examples/northlight', '--out', 'pages');
        expect(stdout).toMatch(/listed in pages\/index\.html\n$/);
        expect(status).toBe(0);
        expect(statSync(join(elsewhere(), 'pages', 'index.html')).size).toBeGreaterThan(500);
    });

    test('explain', () => {
        expect(cotter('explain', 'breaker-left-pulled').stdout).toMatch(/^# breaker-left-pulled\n/);
    });
});
