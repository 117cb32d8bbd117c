/** The files of a revision, put into a folder of their own for as long as they are read. */
import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, realpathSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join, relative } from 'node:path';
import { extension, settingsFile } from './files.js';

/** What keeps a revision from being read, as one sentence. */
export class NoRevision extends Error {}

export interface Revision {
    /** The folder that stands for the working folder as it was then. */
    readonly cwd: string;
    readonly remove: () => void;
}

const largestOutput = 1 << 30;

/** @throws NoRevision where git is missing, this is no repository, or it has no such revision. */
export function openRevision(cwd: string, name: string): Revision {
    const top = git(cwd, ['rev-parse', '--show-toplevel'])
        .toString('utf8')
        .replace(/\r?\n$/, '');
    const commit = commitOf(cwd, name);
    const folder = realpathSync(mkdtempSync(join(tmpdir(), 'cotter-revision-')));
    try {
        for (const { path, object } of filesIn(top, commit)) {
            const file = join(folder, path);
            mkdirSync(dirname(file), { recursive: true });
            writeFileSync(file, object);
        }
        const here = join(folder, relative(realpathSync(top), realpathSync(cwd)));
        mkdirSync(here, { recursive: true });
        return { cwd: here, remove: () => rmSync(folder, { recursive: true, force: true }) };
    } catch (error) {
        rmSync(folder, { recursive: true, force: true });
        throw error;
    }
}

function commitOf(cwd: string, name: string): string {
    const asked = run(cwd, ['rev-parse', '--verify', '--quiet', '--end-of-options', `${name}^{commit}`]);
    if (asked.status !== 0 || name === '')
        throw new NoRevision(`there is no revision ${name || '""'} in this repository`);
    return asked.stdout.toString('utf8').trim();
}

/** Texts and settings alone, and no links: a link would lead out of the revision. */
function filesIn(top: string, commit: string): { path: string; object: Buffer }[] {
    const listed = git(top, ['ls-tree', '-r', '-z', '--full-tree', commit]).toString('utf8');
    const wanted = listed.split('\0').flatMap(entry => {
        const [, mode, object, path] = /^(\d+) blob ([0-9a-f]+)\t([\s\S]*)$/.exec(entry) ?? [];
        if (!path || !object || mode === '120000') return [];
        return path.endsWith(extension) || path === settingsFile || path.endsWith(`/${settingsFile}`)
            ? [{ path, object }]
            : [];
    });
    if (wanted.length === 0) return [];
    const contents = git(top, ['cat-file', '--batch'], `${wanted.map(each => each.object).join('\n')}\n`);
    let at = 0;
    return wanted.map(({ path }) => {
        const end = contents.indexOf(0x0a, at);
        const size = Number(contents.subarray(at, end).toString('utf8').split(' ')[2]);
        const object = contents.subarray(end + 1, end + 1 + size);
        at = end + 1 + size + 1;
        return { path, object };
    });
}

function git(cwd: string, args: readonly string[], input = ''): Buffer {
    const done = run(cwd, args, input);
    if (done.status === 0) return done.stdout;
    const said = done.stderr.toString('utf8').trim().split('\n')[0] ?? '';
    throw new NoRevision(`git says: ${said.replace(/^fatal: /, '') || `exit code ${done.status}`}`);
}

function run(cwd: string, args: readonly string[], input = '') {
    const done = spawnSync('git', [...args], { cwd, input, maxBuffer: largestOutput, windowsHide: true });
    const code = (done.error as NodeJS.ErrnoException | undefined)?.code;
    if (code === 'ENOENT') throw new NoRevision('git was not found; --git and --since need it');
    if (done.error) throw new NoRevision(`git could not be run: ${done.error.message}`);
    return done;
}
