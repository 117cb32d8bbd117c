/** Child processes: always this same Node, always argument lists, so that no path is ever read by a shell. */
import { spawnSync } from 'node:child_process';
import { resolve } from 'node:path';

const entries = {
    biome: 'node_modules/@biomejs/biome/bin/biome',
    langium: 'node_modules/langium-cli/bin/langium.js',
    tsc: 'node_modules/typescript/bin/tsc',
    vitest: 'node_modules/vitest/vitest.mjs',
};

export function node(args: readonly string[], cwd = process.cwd()): number {
    const done = spawnSync(process.execPath, [...args], { cwd, stdio: 'inherit' });
    if (done.error) throw done.error;
    return done.status ?? 1;
}

export function tool(name: keyof typeof entries, args: readonly string[]): number {
    return node([resolve(entries[name]), ...args]);
}
