import { readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { extension, settingsFile } from './file-names.js';
import { because } from './paths.js';

export { extension, settingsFile } from './file-names.js';

const passedOver = new Set(['node_modules', 'dist', 'out']);

export interface Walk {
    readonly files: string[];
    /** Every `cotter.json` on the way. */
    readonly settings: string[];
    /** The folders that were looked into. */
    readonly folders: string[];
    /** Folders that could not be read, with the reason. */
    readonly failed: { readonly folder: string; readonly why: string }[];
}

/**
 * Every `.cotter` file in a folder and below, in a fixed order. Hidden folders, build output and folders behind a link
 * are passed over. With `within`, so is a folder that is a project of its own.
 */
export function walk(folder: string, within: 'project' | 'everything'): Walk {
    const found: Walk = { files: [], folders: [], settings: [], failed: [] };
    visit(folder, true);
    return found;

    function visit(at: string, top: boolean): void {
        let entries: ReturnType<typeof list>;
        try {
            entries = list(at);
        } catch (error) {
            found.failed.push({ folder: at, why: because(error) });
            return;
        }
        if (!top && within === 'project' && entries.some(entry => entry.name === settingsFile)) return;
        found.folders.push(at);
        for (const entry of entries) {
            const path = join(at, entry.name);
            if (entry.isDirectory()) {
                if (!entry.name.startsWith('.') && !passedOver.has(entry.name)) visit(path, false);
            } else if (entry.name === settingsFile) {
                found.settings.push(path);
            } else if (entry.name.endsWith(extension) && !(entry.isSymbolicLink() && isFolder(path))) {
                found.files.push(path);
            }
        }
    }
}

export function isFolder(path: string): boolean {
    try {
        return statSync(path).isDirectory();
    } catch {
        return false;
    }
}

function list(folder: string) {
    const byName = (a: string, b: string) => (a < b ? -1 : a > b ? 1 : 0);
    return readdirSync(folder, { withFileTypes: true }).sort((a, b) => byName(a.name, b.name));
}
