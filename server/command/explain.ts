import type { Command } from 'commander';
import { pages } from '../../language/checks/generated/pages.js';
import { checks } from '../../language/checks/index.js';
import { Exit } from './exit.js';
import { onTerminal } from './page.js';
import { knownCode } from './shown.js';
import { type Style, styleFor } from './terminal.js';

export function addExplain(program: Command, end: (code: Exit) => void): void {
    program
        .command('explain')
        .summary('explain what a check looks for and how to mend what it finds')
        .description('Explains what a check looks for and how to mend what it finds. Without a code: lists the codes.')
        .argument('[code]', 'the code of a finding, such as breaker-left-pulled')
        .action((code?: string) => end(explain(code)));
}

function explain(code?: string): Exit {
    const style = styleFor(process.stdout);
    if (code === undefined) process.stdout.write(contents(style));
    else {
        const page = pageOf(code);
        const { isTTY, columns = 80 } = process.stdout;
        process.stdout.write(isTTY ? onTerminal(page, style, Math.min(columns, 100)) : page);
    }
    return Exit.clean;
}

function pageOf(code: string): string {
    return `${pages[knownCode(code)].trimEnd()}\n`;
}

/** Every check with its severity and what it says, family by family. */
function contents(style: Style): string {
    const width = Math.max(...checks.map(({ code }) => code.length));
    const families = Map.groupBy(checks, ({ family }) => family);
    return [...families]
        .map(([family, members]) => {
            const lines = members.map(
                ({ code, severity, title }) => `  ${code.padEnd(width)}  ${severity.padEnd(11)}  ${title}\n`,
            );
            return `${style('bold', family.replaceAll('-', ' '))}\n${lines.join('')}`;
        })
        .join('\n');
}
