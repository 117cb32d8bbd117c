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

export async function bundleCommand(): Promise<number> {
    await build({
        ...common,
        entryPoints: ['server/command/main.ts'],
        outfile: 'dist/cotter.cjs',
        banner: { js: `#!/usr/bin/env node\n${importMetaUrl}` },
        sourcemap: false,
    });
    return 0;
}

/** Bundles a TypeScript program of the tests and gives the file to run. */
export async function bundleScript(file: string): Promise<string> {
    const outfile = `dist/scripts/${basename(file, '.ts')}.cjs`;
    await build({ ...common, entryPoints: [file], outfile, banner: { js: importMetaUrl }, sourcemap: 'inline' });
    return outfile;
}
