/** esbuild: the command as one file, and scripts of the tests. */
import { basename } from 'node:path';
import { type BuildOptions, build } from 'esbuild';

const common: BuildOptions = {
    bundle: true,
    platform: 'node',
    target: 'node20',
    format: 'cjs',
    charset: 'utf8',
    logLevel: 'warning',
    legalComments: 'none',
    // Packages written as modules ask where they are; the bundle is no module, so it says so itself.
    define: { 'import.meta.url': 'importMetaUrl' },
};

const importMetaUrl = "const importMetaUrl = require('node:url').pathToFileURL(__filename).href;";

const oldNode = `if (Number.parseInt(process.versions.node, 10) < 20) {
    console.error('cotter: Node 20 or later is needed; this is ' + process.versions.node);
    process.exit(2);
}`;

/** What Node 20 does not have yet, and the bundle calls. */
const missing = `for (const [of, empty, get, set] of [
    [Map, () => new Map(), (to, key) => to.get(key), (to, key, list) => to.set(key, list)],
    [Object, () => Object.create(null), (to, key) => to[key], (to, key, list) => { to[key] = list; }],
]) of.groupBy ??= (items, keyOf) => {
    const to = empty();
    let index = 0;
    for (const item of items) {
        const key = keyOf(item, index++);
        const list = get(to, key);
        if (list) list.push(item);
        else set(to, key, [item]);
    }
    return to;
};`;

export function bundleCommand(): Promise<number> {
    return bundle({
        entryPoints: ['server/command/main.ts'],
        outfile: 'dist/cotter.cjs',
        banner: { js: `#!/usr/bin/env node\n${oldNode}\n${missing}\n${importMetaUrl}` },
    });
}

/** Bundles a TypeScript program of the tests into one file, which is where the tasks look for it. */
export function bundleScript(entry: string): Promise<number> {
    return bundle({
        entryPoints: [entry],
        outfile: scriptBundle(entry),
        banner: { js: importMetaUrl },
        sourcemap: 'inline',
    });
}

export function scriptBundle(entry: string): string {
    return `dist/scripts/${basename(entry, '.ts')}.cjs`;
}

/** esbuild says itself what is wrong. */
async function bundle(options: BuildOptions): Promise<number> {
    try {
        await build({ ...common, ...options });
        return 0;
    } catch {
        return 1;
    }
}
