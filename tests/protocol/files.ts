import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';

const root = 'examples/northlight';

/** Files of the demo by path: those of some of its folders, with what all of them use. */
export function northlight(...folders: readonly string[]): Readonly<Record<string, string>> {
    const paths = ['aircraft', ...folders].flatMap(folder =>
        readdirSync(join(root, folder)).map(name => `${folder}/${name}`),
    );
    return Object.fromEntries(['cotter.json', ...paths].map(path => [path, readFileSync(join(root, path), 'utf8')]));
}

export const valveFiles = northlight('isolation-valve');
