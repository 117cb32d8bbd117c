import { spawnSync } from 'node:child_process';
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { fence, fenceFile } from '../../server/build/fence.ts';

test('the parser in git is the one that the grammar gives', () => {
    const copy = mkdtempSync(join(tmpdir(), 'cotter grammar '));
    onTestFinished(() => rmSync(copy, { recursive: true, force: true }));
    cpSync('language/grammar', copy, { recursive: true });
    rmSync(join(copy, 'generated'), { recursive: true });
    const langium = resolve('node_modules/langium-cli/bin/langium.js');
    const done = spawnSync(process.execPath, [langium, 'generate', '--file', join(copy, 'langium-config.json')], {
        encoding: 'utf8',
    });
    expect(done.status, done.stdout + done.stderr).toBe(0);
    expect(contents(join(copy, 'generated'))).toEqual(contents('language/grammar/generated'));
});

test('the import fence in git is the one that the order of the house gives', () => {
    expect(readFileSync(fenceFile, 'utf8')).toBe(fence());
});

function contents(folder: string): Record<string, string> {
    return Object.fromEntries(readdirSync(folder).map(file => [file, readFileSync(join(folder, file), 'utf8')]));
}
