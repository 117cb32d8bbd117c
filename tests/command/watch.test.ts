import { spawn } from 'node:child_process';
import { renameSync, rmSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { card, clean, cotter, equipment, folder, pulled, read, write } from './cotter.js';

/** The command as it watches a folder: what it has said so far, and waiting for more. */
function watching(cwd: string, ...options: string[]) {
    const child = spawn(process.execPath, [resolve('dist/cotter.cjs'), 'check', '--watch', ...options], { cwd });
    onTestFinished(() => void child.kill('SIGKILL'));
    let out = '';
    let err = '';
    child.stdout.setEncoding('utf8').on('data', part => {
        out += part;
    });
    child.stderr.setEncoding('utf8').on('data', part => {
        err += part;
    });
    const ended = new Promise<number | null>(done => child.once('exit', done));
    return {
        said: () => out,
        told: () => err,
        /** Until the pattern comes in what was said after the last time. */
        async until(pattern: RegExp): Promise<string> {
            await expect.poll(() => out + err, { timeout: 200_000, interval: 50 }).toMatch(pattern);
            const all = out + err;
            out = '';
            err = '';
            return all;
        },
        stop(signal: NodeJS.Signals = 'SIGINT') {
            child.kill(signal);
            return ended;
        },
    };
}

test('checks again on a change, says which, and ends as the last check did', async () => {
    const cwd = folder({ 'a.cotter': clean });
    const run = watching(cwd);
    await run.until(/1 card: 1 clean[\s\S]*watching for changes/);
    write(join(cwd, 'a.cotter'), pulled);
    const said = await run.until(/breaker-left-pulled[\s\S]*since the last check/);
    expect(said).toMatch(/\nchanged: a\.cotter\n/);
    expect(said).toMatch(/since the last check: 1 new, 0 gone/);
    write(join(cwd, 'a.cotter'), `${equipment}card T1 "x" {`);
    expect(await run.until(/since the last check/)).toMatch(/syntax[\s\S]*1 not known/);
    write(join(cwd, 'a.cotter'), clean);
    await run.until(/1 card: 1 clean[\s\S]*since the last check/);
    write(join(cwd, 'a.cotter'), pulled);
    await run.until(/since the last check/);
    expect(await run.stop()).toBe(1);
}, 600_000);

test('a file that vanishes and comes back, a new one, a new folder and new settings', async () => {
    const cwd = folder({ 'cotter.json': '{}', 'supply.cotter': equipment, 'a.cotter': card('T1', 'see LT is ON') });
    const run = watching(cwd);
    await run.until(/watching/);
    renameSync(join(cwd, 'supply.cotter'), join(cwd, 'away'));
    const gone = await run.until(/since the last check/);
    expect(gone).toMatch(/changed: supply\.cotter \(gone\)/);
    expect(gone).toMatch(/1 not known/);
    renameSync(join(cwd, 'away'), join(cwd, 'supply.cotter'));
    expect(await run.until(/since the last check/)).toMatch(/changed: supply\.cotter \(new\)/);
    write(join(cwd, 'deep/er/b.cotter'), card('T2', 'see LT is OFF'));
    expect(await run.until(/since the last check/)).toMatch(/changed: deep\/er\/b\.cotter \(new\)/);
    write(join(cwd, 'deep/er/b.cotter'), card('T2', 'see LT is ON'));
    expect(await run.until(/since the last check/)).toMatch(/changed: deep\/er\/b\.cotter\n/);
    rmSync(join(cwd, 'deep'), { recursive: true });
    expect(await run.until(/since the last check/)).toMatch(/\(gone\)/);
    write(join(cwd, 'cotter.json'), '{ "sentence": { "step": 5 } }');
    expect(await run.until(/since the last check/)).toMatch(/changed: the settings of/);
    await run.stop('SIGTERM');
}, 600_000);

test('a named file that vanishes is reported and waited for', async () => {
    const cwd = folder({ 'a.cotter': clean });
    const run = watching(cwd, 'a.cotter', '--format', 'github');
    await run.until(/watching/);
    rmSync(join(cwd, 'a.cotter'));
    const gone = await run.until(/since the last check/);
    expect(gone).toMatch(/changed: a\.cotter\n/);
    expect(gone).toMatch(/there is no such file/);
    write(join(cwd, 'a.cotter'), pulled);
    expect(await run.until(/since the last check/)).toMatch(/::error file=a\.cotter/);
    expect(await run.stop()).toBe(1);
}, 600_000);

test('several quick changes are one, and none is none', async () => {
    const cwd = folder({ 'a.cotter': clean });
    const run = watching(cwd, '--format', 'json');
    await run.until(/watching/);
    for (const text of [pulled, clean, `${pulled}// 1\n`, `${pulled}// 2\n`]) write(join(cwd, 'a.cotter'), text);
    const said = await run.until(/since the last check/);
    expect(said.match(/"version": 1/g)).toHaveLength(1);
    write(join(cwd, 'a.cotter'), `${pulled}// 2\n`);
    write(join(cwd, 'note.txt'), 'x');
    await new Promise(done => setTimeout(done, 1500));
    expect(run.said() + run.told()).toBe('');
    expect(await run.stop()).toBe(1);
}, 600_000);

test('with --fix what it writes itself is no change', async () => {
    const cwd = folder({ 'a.cotter': clean });
    const run = watching(cwd, '--fix');
    await run.until(/watching/);
    write(join(cwd, 'a.cotter'), pulled);
    await run.until(/1 fix made in 1 file[\s\S]*since the last check/);
    expect(read(cwd, 'a.cotter')).toMatch(/close CB-1/);
    await new Promise(done => setTimeout(done, 1500));
    expect(run.told()).not.toMatch(/changed/);
    expect(await run.stop()).toBe(0);
}, 600_000);

test('wrong use', () => {
    const cwd = folder({ 'a.cotter': clean });
    expect(cotter(['check', '--watch', '-'], { cwd }).code).toBe(2);
    expect(cotter(['check', '--watch', 'none'], { cwd }).code).toBe(2);
});
