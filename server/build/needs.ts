/** Programs from outside npm that some tests need. A machine without one is told which tests did not run. */
import { accessSync, constants, existsSync } from 'node:fs';
import { delimiter, join } from 'node:path';

const needs = [
    { tool: 'chromium', tests: 'pages in a browser' },
    { tool: 'pdftotext', tests: 'text of printed pages' },
] as const;

export type Tool = (typeof needs)[number]['tool'];

/** The full path of a program, or nothing. */
export function find(tool: Tool): string | undefined {
    return (process.env.PATH ?? '')
        .split(delimiter)
        .map(folder => join(folder, tool))
        .find(runs);
}

export function missingTools(): { tool: Tool; tests: string }[] {
    return needs.filter(({ tool }) => !find(tool));
}

/** What the tests in a real editor need and this machine lacks, in words; empty where they can run. */
export function missingForWorkbench(): string {
    const kit = existsSync('tests/workbench/node_modules/code-server') ? '' : 'npm ci --prefix tests/workbench';
    return [find('chromium') ? '' : 'chromium', kit].filter(Boolean).join(' and ');
}

function runs(file: string): boolean {
    try {
        accessSync(file, constants.X_OK);
        return true;
    } catch {
        return false;
    }
}
