/** What is written by machine: the parser out of the grammar, the pages of the checks as a module, and what the reference says of the code. */
import { existsSync, globSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { basename, dirname } from 'node:path';
import { bundleScript, scriptBundle } from './bundle.ts';
import { writeFence } from './fence.ts';
import { node, tool } from './run.ts';

const pagesModule = 'language/checks/generated/pages.ts';

export async function generate(): Promise<number> {
    return generateParser() || generatePages() || writeFence() || (await writeReference());
}

/** The catalogue of the checks, the tables of the reference and the schema of `cotter.json`. */
async function writeReference(): Promise<number> {
    const script = 'server/build/write.ts';
    return (await bundleScript(script)) || node([scriptBundle(script)]);
}

function generateParser(): number {
    const config = 'language/grammar/langium-config.json';
    return existsSync(config) ? tool('langium', ['generate', '--file', config]) : 0;
}

/** language/ touches no file system, so the page of each check travels as text in a module. Not kept in git. */
export function generatePages(): number {
    const pages = globSync('language/checks/**/page.md')
        .map(file => file.replaceAll('\\', '/'))
        .sort()
        .map(file => ({ code: basename(dirname(file)), text: readFileSync(file, 'utf8') }));
    const lines = pages.map(({ code, text }) => `    ${JSON.stringify(code)}: ${JSON.stringify(text)},`);
    const module = [
        '/** Written by `npm run generate` out of language/checks/<family>/<code>/page.md. */',
        'export const pages: Readonly<Record<string, string>> = {',
        ...lines,
        '};',
        '',
    ].join('\n');
    if (existsSync(pagesModule) && readFileSync(pagesModule, 'utf8') === module) return 0;
    mkdirSync(dirname(pagesModule), { recursive: true });
    writeFileSync(pagesModule, module);
    return 0;
}
