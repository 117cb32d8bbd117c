import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import { onTestFinished } from 'vitest';

/** The command as it is shipped: `npm run build` made it. */
const bundle = resolve('dist/cotter.cjs');

export interface Ran {
    readonly code: number | null;
    readonly out: string;
    readonly err: string;
}

export interface Options {
    readonly cwd?: string;
    readonly input?: string | Uint8Array;
    readonly env?: Record<string, string>;
}

export function cotter(args: readonly string[], { cwd, input = '', env }: Options = {}): Ran {
    const done = spawnSync(process.execPath, [bundle, ...args], {
        cwd,
        input,
        env: { ...process.env, ...env },
        encoding: 'utf8',
        timeout: 300_000,
        maxBuffer: 1 << 28,
    });
    if (done.error) throw done.error;
    return { code: done.status, out: done.stdout, err: done.stderr };
}

/** A folder with these files, for one test. Its name has a space in it. */
export function folder(files: Record<string, string | Uint8Array> = {}): string {
    const root = mkdtempSync(join(tmpdir(), 'cotter test '));
    onTestFinished(() => rmSync(root, { recursive: true, force: true }));
    for (const [path, content] of Object.entries(files)) write(join(root, path), content);
    return root;
}

export function write(path: string, content: string | Uint8Array): void {
    mkdirSync(dirname(path), { recursive: true });
    writeFileSync(path, content);
}

export function read(...path: string[]): string {
    return readFileSync(join(...path), 'utf8');
}

/** A repository in which each state is a commit, tagged v0, v1, ... */
export function repository(...states: readonly Record<string, string>[]): string {
    const root = folder();
    const git = (...args: readonly string[]): void => {
        const who = ['-c', 'user.name=Writer', '-c', 'user.email=writer@example.org', '-c', 'commit.gpgsign=false'];
        const ran = spawnSync('git', [...who, '-c', 'core.hooksPath=/dev/null', ...args], {
            cwd: root,
            encoding: 'utf8',
        });
        if (ran.status !== 0) throw new Error(ran.stderr);
    };
    git('init', '-q');
    for (const [n, files] of states.entries()) {
        for (const name of readdirSync(root)) if (name !== '.git') rmSync(join(root, name), { recursive: true });
        for (const [path, text] of Object.entries(files)) write(join(root, path), text);
        git('add', '-A');
        git('commit', '-q', '--allow-empty', '-m', `state ${n}`);
        git('tag', `v${n}`);
    }
    return root;
}

/** A small supply and a card that leaves its breaker as it found it. */
export const equipment = `equipment Supply "Supply" {
  place   Deck "Deck"
  source  BUS   "bus"          live when CB-1 is CLOSED
  breaker CB-1  "BUS FEED"     at Deck grid "A1" rated 5 A
  light   LT    "BUS LIVE"     at Deck { shows ON when BUS  shows OFF otherwise }
}
`;

export function card(name: string, ...acts: string[]): string {
    const lines = acts.map(act => `    tech: ${act}\n`).join('');
    return `card ${name} "Look at the bus" {
  uses Supply
  applies to "all"
  revision "1" dated "2026-10-01"
  role tech "Technician" at Deck
  step look "Look at it" takes 5 min {
${lines}  }
}
`;
}

export const clean = equipment + card('T1', 'pull CB-1 and tag', 'see LT is OFF', 'close CB-1', 'see LT is ON');
/** The same card without the closing of the breaker. */
export const pulled = equipment + card('T1', 'pull CB-1 and tag', 'see LT is OFF');
