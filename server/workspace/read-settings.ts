import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { settingsFile } from './files.js';
import { readText } from './read.js';
import { type Read, settingsIn } from './settings.js';

/** The settings of a project, from its folder. `place`: the file as the user sees it. */
export function readSettings(root: string, place: string): Read {
    const file = join(root, settingsFile);
    if (!existsSync(file)) return { settings: {}, problems: [] };
    const read = readText(file);
    return typeof read === 'string'
        ? { settings: {}, problems: [{ place, message: read }] }
        : settingsIn(read.text, place);
}
