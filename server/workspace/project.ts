import { existsSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import type { Settings } from '../../language/check.js';
import { asked } from './asked.js';
import { settingsFile, walk } from './files.js';
import { shown } from './paths.js';
import type { Problem } from './problem.js';
import { readText, type Text } from './read.js';
import { readSettings } from './read-settings.js';

export interface ProjectFile extends Text {
    readonly absolute: string;
    /** From the working folder, with `/`; `-` for standard input that is the text of no file. */
    readonly path: string;
    /** Findings are given for it. The other files of the project are read for their names. */
    readonly asked: boolean;
}

/** The files among which names are looked up. Names never cross projects. */
export interface Project {
    readonly root: string;
    readonly settings: Settings;
    readonly files: readonly ProjectFile[];
}

export interface Opened {
    readonly projects: readonly Project[];
    readonly problems: readonly Problem[];
}

/** Standard input, and the file of which it is a newer text, if it is of one. */
export interface StandardInput {
    readonly text: Text | string;
    readonly standsFor?: string;
}

export const standardInputPath = '-';

/** The projects of everything asked for, each read whole. */
export function openProjects(cwd: string, paths: readonly string[], input?: StandardInput): Opened {
    const { files, problems: notFound } = asked(cwd, paths);
    const problems = [...notFound];
    const roots = new Map<string, Set<string>>();
    const rootOf = nearestRoot();
    const want = (root: string): Set<string> => {
        const wanted = roots.get(root) ?? new Set<string>();
        roots.set(root, wanted);
        return wanted;
    };
    for (const { absolute, folder } of files) want(rootOf(dirname(absolute)) ?? folder).add(absolute);

    const standsFor = input?.standsFor === undefined ? undefined : resolve(cwd, input.standsFor);
    const inputPath = standsFor ? shown(cwd, standsFor) : standardInputPath;
    const inputFolder = standsFor ? dirname(standsFor) : cwd;
    const inputRoot = input && (rootOf(inputFolder) ?? (standsFor ? inputFolder : undefined));
    if (inputRoot) want(inputRoot);

    const projects = [...roots].map(([root, wanted]) => open(root, wanted));
    // Text from nowhere, outside every project, is a project by itself.
    if (input && !inputRoot) projects.push({ root: cwd, settings: {}, files: withInput([]) });
    return { projects, problems };

    function open(root: string, wanted: ReadonlySet<string>): Project {
        const { settings, problems: wrong } = readSettings(root, shown(cwd, join(root, settingsFile)));
        problems.push(...wrong);
        const all = new Set([...walk(root, 'project').files, ...wanted]);
        const found: ProjectFile[] = [];
        for (const absolute of all) {
            if (root === inputRoot && absolute === standsFor) continue;
            const path = shown(cwd, absolute);
            const text = readText(absolute);
            if (typeof text === 'string') problems.push({ place: path, message: text, unread: true });
            else found.push({ ...text, absolute, path, asked: wanted.has(absolute) });
        }
        return { root, settings, files: root === inputRoot ? withInput(found) : found };
    }

    function withInput(others: readonly ProjectFile[]): ProjectFile[] {
        if (!input) return [...others];
        if (typeof input.text === 'string') {
            problems.push({ place: inputPath, message: input.text, unread: true });
            return [...others];
        }
        return [...others, { ...input.text, absolute: standardInputPath, path: inputPath, asked: true }];
    }
}

/** The nearest folder upward with a `cotter.json`, looked up once a folder. */
export function nearestRoot(): (folder: string) => string | undefined {
    const known = new Map<string, string | undefined>();
    return function find(folder: string): string | undefined {
        if (known.has(folder)) return known.get(folder);
        const up = dirname(folder);
        const root = existsSync(join(folder, settingsFile)) ? folder : up === folder ? undefined : find(up);
        known.set(folder, root);
        return root;
    };
}

/** The texts of all files, by path. */
export function textsOf(projects: readonly Project[]): ReadonlyMap<string, string> {
    return new Map(projects.flatMap(({ files }) => files.map(({ path, text }) => [path, text] as const)));
}
