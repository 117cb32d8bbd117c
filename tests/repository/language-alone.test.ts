import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';

test('code of language/ that reaches for Node or for a page does not compile', () => {
    const folder = mkdtempSync(join(tmpdir(), 'cotter language '));
    onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
    const lines = [
        'process.exit();',
        'document.title;',
        'setTimeout(() => {}, 1);',
        "Buffer.from('');",
        'console.log();',
    ];
    writeFileSync(join(folder, 'planted.mts'), `export const planted = 1;\n${lines.join('\n')}\n`);
    writeFileSync(
        join(folder, 'tsconfig.json'),
        JSON.stringify({
            extends: resolve('language/tsconfig.json'),
            compilerOptions: { rootDir: '/' },
            include: [resolve('language'), folder],
        }),
    );
    const tsc = resolve('node_modules/typescript/bin/tsc');
    const done = spawnSync(process.execPath, [tsc, '--pretty', 'false', '--project', folder], { encoding: 'utf8' });
    const wrong = done.stdout.match(/planted\.mts\((\d+),/g);
    expect(wrong, done.stdout).toEqual(lines.map((_, index) => `planted.mts(${index + 2},`));
});
