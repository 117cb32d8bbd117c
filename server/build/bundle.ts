/** esbuild: the command as one file, the extension, and scripts of the tests. */
import { cpSync, globSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { basename, relative } from 'node:path';
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

const extensionFolder = 'dist/extension';

/** What the VSIX holds, in a folder of its own that an editor can also run as it stands. */
export async function bundleExtension(): Promise<number> {
    rmSync(extensionFolder, { recursive: true, force: true });
    const small: BuildOptions = { minify: true, banner: { js: importMetaUrl } };
    const page: BuildOptions = {
        ...small,
        platform: 'browser',
        target: 'es2022',
        format: 'iife',
        banner: {},
        define: {},
    };
    const code =
        (await bundle({
            ...small,
            entryPoints: ['extension/node.ts'],
            outfile: `${extensionFolder}/extension.cjs`,
            external: ['vscode'],
            mainFields: ['module', 'main'],
        })) ||
        (await bundle({ ...small, entryPoints: ['server/node.ts'], outfile: `${extensionFolder}/server.cjs` })) ||
        (await bundle({
            ...small,
            entryPoints: ['server/command/main.ts'],
            outfile: `${extensionFolder}/cotter.cjs`,
        })) ||
        (await bundle({
            ...page,
            entryPoints: ['extension/live-card/page/page.ts'],
            outfile: `${extensionFolder}/live-card.js`,
        }));
    if (code !== 0) return code;
    const isText = (file: string): boolean => !/\.ts$|tsconfig\.json$/.test(file);
    for (const file of globSync('extension/**/*.*').filter(isText))
        cpSync(file, `${extensionFolder}/${relative('extension', file)}`);
    cpSync('examples/faulty/isolation', `${extensionFolder}/sample`, { recursive: true });
    // The sources are modules; what an editor loads is not.
    const { type: _, ...manifest } = JSON.parse(readFileSync('extension/package.json', 'utf8'));
    writeFileSync(`${extensionFolder}/package.json`, JSON.stringify(manifest));
    for (const file of ['LICENSE', 'CHANGELOG.md']) cpSync(file, `${extensionFolder}/${file}`);
    cpSync('server/workspace/cotter.schema.json', `${extensionFolder}/cotter.schema.json`);
    return 0;
}

/** The tests that run inside an editor, as the one file that it loads. */
export function bundleInside(): Promise<number> {
    return bundle({
        entryPoints: ['tests/workbench/inside/index.ts'],
        outfile: 'dist/workbench/inside.cjs',
        external: ['vscode'],
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
