import { existsSync, lstatSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { globSync } from 'tinyglobby';
import { extension, isFolder, walk } from './files.js';
import { because, shown } from './paths.js';
import type { Problem } from './problem.js';

/** A file that the user asked for. */
export interface AskedFile {
    readonly absolute: string;
    /** The folder that is its project when no `cotter.json` stands above it. */
    readonly folder: string;
}

export interface Asked {
    readonly files: readonly AskedFile[];
    readonly problems: readonly Problem[];
}

/** What files, folders and globs stand for. A name that exists is never read as a glob. */
export function asked(cwd: string, paths: readonly string[]): Asked {
    const files = new Map<string, AskedFile>();
    const problems: Problem[] = [];
    for (const path of paths) {
        const absolute = resolve(cwd, path);
        if (isThere(absolute)) take(absolute, path);
        else if (isGlob(path)) takeGlob(path);
        else problems.push({ place: path, message: 'there is no such file or folder' });
    }
    return { files: [...files.values()], problems };

    function take(absolute: string, path: string): void {
        if (isFolder(absolute)) {
            const { files: below, failed } = walk(absolute, 'everything');
            for (const file of below) add(file, absolute);
            for (const { folder, why } of failed) {
                problems.push({ place: shown(cwd, folder), message: `cannot be read: ${why}` });
            }
            if (!below.length && !failed.length) problems.push({ place: path, message: `holds no ${extension} file` });
        } else if (absolute.endsWith(extension)) add(absolute, dirname(absolute));
        else problems.push({ place: path, message: `is not a ${extension} file` });
    }

    function takeGlob(pattern: string): void {
        let matches: string[];
        try {
            const options = { cwd, absolute: true, onlyFiles: false, followSymbolicLinks: false };
            matches = globSync(pattern.replaceAll('\\', '/'), { ...options, expandDirectories: false }).sort();
        } catch (error) {
            problems.push({ place: pattern, message: `is not a pattern: ${because(error)}` });
            return;
        }
        const before = files.size;
        let seen = false;
        for (const match of matches) {
            const absolute = resolve(match);
            if (isFolder(absolute)) {
                // Only `*.cotter` files count where a pattern matches a folder: its other content was not named.
                for (const file of walk(absolute, 'everything').files) {
                    seen = true;
                    add(file, absolute);
                }
            } else if (absolute.endsWith(extension)) {
                seen = true;
                add(absolute, dirname(absolute));
            }
        }
        if (!seen && files.size === before) problems.push({ place: pattern, message: `matches no ${extension} file` });
    }

    function add(absolute: string, folder: string): void {
        if (!files.has(absolute)) files.set(absolute, { absolute, folder });
    }
}

function isThere(path: string): boolean {
    // A link that leads nowhere is there, and reading it says what is wrong with it.
    return existsSync(path) || lstatSync(path, { throwIfNoEntry: false }) !== undefined;
}

function isGlob(path: string): boolean {
    return /[*?[\]{}!()]/.test(path);
}
