import { type FSWatcher, watch as watchFolder } from 'node:fs';
import { dirname, resolve } from 'node:path';
import type { Finding } from '../../language/findings/finding.js';
import { likenesses } from '../../language/findings/likeness.js';
import { asked } from '../workspace/asked.js';
import { isFolder, walk } from '../workspace/files.js';
import type { Judgement } from '../workspace/judge.js';
import { type Opened, openProjects, type Project } from '../workspace/project.js';
import { Exit } from './exit.js';
import { warn } from './terminal.js';

/** Milliseconds without a further change, after which is checked: an editor writes a file in several steps. */
const quiet = 100;

/** What a check ends with, and what it found. */
export interface Concluded {
    readonly exit: Exit;
    readonly judgement?: Judgement;
    /** As they stand now: with what --fix wrote, which is no change of the writer's. */
    readonly projects: readonly Project[];
}

/**
 * Checks, and checks again whenever a text or the settings of a project have changed, until the command is interrupted; then it ends as the last check
 * did. What changed is said on standard error, so that standard output holds one whole report after the other. A path that is not there from the
 * start is wrong use; one that vanishes later is reported and waited for.
 */
export function watch(
    cwd: string,
    paths: readonly string[],
    conclude: (opened: Opened) => Concluded,
): Promise<Exit> | Exit {
    const watchers = new Map<string, FSWatcher>();
    let timer: NodeJS.Timeout | undefined;
    // Before reading, so that no change between the two is lost.
    arm();
    let opened = openProjects(cwd, paths);
    let last = conclude(opened);
    if (!opened.projects.length) return close(Exit.misuse);
    opened = { ...opened, projects: last.projects };
    warn('watching for changes; Ctrl+C ends');

    return new Promise(done => {
        for (const signal of ['SIGINT', 'SIGTERM'] as const) process.once(signal, () => done(close(last.exit)));
    });

    function close(exit: Exit): Exit {
        clearTimeout(timer);
        for (const watcher of watchers.values()) watcher.close();
        watchers.clear();
        return exit;
    }

    /** One watcher a folder: folders that a walk passes over are none of ours, and may hold very much. */
    function arm(): void {
        const wanted = foldersToWatch(cwd, paths);
        for (const [folder, watcher] of watchers) {
            if (wanted.has(folder)) continue;
            watcher.close();
            watchers.delete(folder);
        }
        for (const folder of wanted) {
            if (watchers.has(folder)) continue;
            try {
                const watcher = watchFolder(folder, soon);
                watchers.set(folder, watcher);
                // A folder that vanishes ends its watcher.
                watcher.on('error', () => forget(folder));
            } catch {
                // It vanished since it was listed; the folder above tells when it comes back.
            }
        }
    }

    function forget(folder: string): void {
        watchers.get(folder)?.close();
        watchers.delete(folder);
        soon();
    }

    function soon(): void {
        clearTimeout(timer);
        timer = setTimeout(again, quiet);
    }

    function again(): void {
        arm();
        const now = openProjects(cwd, paths);
        const changed = differences(opened, now);
        if (!changed.length) return;
        warn('');
        warn(`changed: ${changed.join(', ')}`);
        const before = last.judgement;
        last = conclude(now);
        opened = { ...now, projects: last.projects };
        if (before && last.judgement) warn(since(before.findings, last.judgement.findings));
    }
}

/** The folders of what was asked for and of the projects that it lies in, and the folders above files that may come back. */
function foldersToWatch(cwd: string, paths: readonly string[]): ReadonlySet<string> {
    const folders = new Set<string>();
    const { files } = asked(cwd, paths);
    for (const path of paths) {
        let folder = resolve(cwd, path);
        while (!isFolder(folder) && dirname(folder) !== folder) folder = dirname(folder);
        folders.add(folder);
        if (resolve(cwd, path) === folder) for (const each of walk(folder, 'everything').folders) folders.add(each);
    }
    for (const { absolute } of files) folders.add(dirname(absolute));
    for (const { root } of openProjects(cwd, paths).projects)
        for (const each of walk(root, 'project').folders) folders.add(each);
    return folders;
}

/** What is another now than it was: files, settings, and what cannot be read. */
function differences(before: Opened, now: Opened): string[] {
    const [old, current] = [before, now].map(contents);
    const names = new Set([...old.keys(), ...current.keys()]);
    // The settings of a project that comes or goes come and go with its files.
    const isSettings = (name: string) => name.startsWith(settingsOf) && !(old.has(name) && current.has(name));
    return [...names]
        .filter(name => old.get(name) !== current.get(name) && !isSettings(name))
        .map(name => (current.has(name) ? (old.has(name) ? name : `${name} (new)`) : `${name} (gone)`))
        .sort();
}

const settingsOf = 'the settings of ';

function contents({ projects, problems }: Opened): Map<string, string> {
    const found = new Map<string, string>();
    for (const { files, settings, root } of projects) {
        for (const { path, text, asked } of files) found.set(path, `${asked} ${text}`);
        found.set(`${settingsOf}${root}`, JSON.stringify(settings));
    }
    for (const { place, message } of problems) if (!found.has(place)) found.set(place, message);
    return found;
}

/** "2 new findings, 1 gone": alike ones are counted. */
function since(before: readonly Finding[], now: readonly Finding[]): string {
    const more = (some: readonly Finding[], than: readonly Finding[]) => {
        const had = likenesses(than);
        return [...likenesses(some)].reduce(
            (sum, [likeness, count]) => sum + Math.max(0, count - (had.get(likeness) ?? 0)),
            0,
        );
    };
    const [come, gone] = [more(now, before), more(before, now)];
    return come || gone ? `since the last check: ${come} new, ${gone} gone` : 'since the last check: the same findings';
}
