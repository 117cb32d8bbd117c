import { existsSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { URI } from 'langium';
import type { FileSource } from './file-source.js';
import { isFolder, settingsFile, walk } from './files.js';
import { shown } from './paths.js';
import { readText } from './read.js';
import { NoRevision, openRevision } from './revision.js';

/** Files of this machine. What is no `file:` URI is not there. */
export const nodeFiles: FileSource = {
    async list(folder) {
        const path = pathOf(folder);
        if (path === undefined || !isFolder(path)) return [];
        const { files, settings } = walk(path, 'everything');
        return [...settings, ...files].map(uriOf);
    },
    async read(uri) {
        const path = pathOf(uri);
        const read = path === undefined ? '' : readText(path);
        return typeof read === 'string' ? undefined : read.text;
    },
    async rootOf(uri) {
        const path = pathOf(uri);
        if (path === undefined) return undefined;
        for (let folder = dirname(path); ; folder = dirname(folder)) {
            if (existsSync(join(folder, settingsFile))) return uriOf(folder);
            if (folder === dirname(folder)) return undefined;
        }
    },
    async revision(folder, revision) {
        const path = pathOf(folder);
        if (path === undefined) return 'only files of this machine have revisions';
        try {
            const then = openRevision(path, revision);
            try {
                const files = walk(then.cwd, 'project').files.flatMap(file => {
                    const read = readText(file);
                    return typeof read === 'string' ? [] : [{ path: shown(then.cwd, file), text: read.text }];
                });
                const settings = readText(join(then.cwd, settingsFile));
                return { files, settings: typeof settings === 'string' ? undefined : settings.text };
            } finally {
                then.remove();
            }
        } catch (error) {
            if (error instanceof NoRevision) return error.message;
            throw error;
        }
    },
};

function pathOf(uri: string): string | undefined {
    return uri.startsWith('file:') ? fileURLToPath(uri) : undefined;
}

/** As the library of the editor writes it, so that one file has one URI. */
const uriOf = (path: string): string => URI.parse(pathToFileURL(path).href).toString();
