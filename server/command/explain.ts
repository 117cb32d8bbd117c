import type { Command } from 'commander';
import { pages } from '../../language/checks/generated/pages.js';
import { checks } from '../../language/checks/index.js';
import { nearest } from '../../language/grammar/nearest.js';
import { Exit, Misuse } from './exit.js';
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
    process.stdout.write(code === undefined ? contents(style) : styled(pageOf(code), style));
    return Exit.clean;
}

function pageOf(code: string): string {
    if (Object.hasOwn(pages, code)) return `${pages[code].trimEnd()}\n`;
    const meant = nearest(code, Object.keys(pages));
    const hint = meant ? `did you mean ${meant}?` : '`cotter explain` lists the codes';
    throw new Misuse(`no check has the code "${code}"; ${hint}`);
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

/** A page is Markdown that reads well as it stands; on a terminal its headings and its code stand out. */
function styled(page: string, style: Style): string {
    let inCode = false;
    return page
        .split('\n')
        .map(line => {
            if (line.startsWith('```')) {
                inCode = !inCode;
                return style('dim', line);
            }
            if (inCode) return style('cyan', line);
            return line.startsWith('#') ? style('bold', line) : line;
        })
        .join('\n');
}
