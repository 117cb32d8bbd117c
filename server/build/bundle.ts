/** esbuild: the command as one file, and scripts of the tests. */
import { basename } from 'node:path';
import { type BuildOptions, build } from 'esbuild';

const common: BuildOptions = {
    bundle: true,
    platform: 'node',
    target: 'node22',
    format: 'cjs',
    charset: 'utf8',
    logLevel: 'warning',
    legalComments: 'none',
    // Packages written as modules ask where they are; the bundle is no module, so it says so itself.
    define: { 'import.meta.url': 'importMetaUrl' },
};

const importMetaUrl = "const importMetaUrl = require('node:url').pathToFileURL(__filename).href;";

const oldNode = `if (Number.parseInt(process.versions.node, 10) < 22) {
    console.error('cotter: Node 22 or later is needed; this is ' + process.versions.node);
    process.exit(2);
}`;

export function bundleCommand(): Promise<number> {
    return bundle({
        entryPoints: ['server/command/main.ts'],
        outfile: 'dist/cotter.cjs',
        banner: { js: `#!/usr/bin/env node\n${oldNode}\n${importMetaUrl}` },
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
