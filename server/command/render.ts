import { mkdirSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import type { Command } from 'commander';
import { renderFinishedCard, renderIndex } from '../../language/html/index.js';
import { compare, sinceOf } from '../../language/readers/comparison/index.js';
import {
    type Contents,
    contentsOf,
    contentsWithoutPage,
    finishedCard,
} from '../../language/readers/finished-card/index.js';
import { judge } from '../workspace/judge.js';
import { because, shown } from '../workspace/paths.js';
import { problemLine } from '../workspace/problem.js';
import { openProjects, type Project } from '../workspace/project.js';
import { judgedAt } from './compare.js';
import { Exit } from './exit.js';
import { fileNames } from './file-names.js';
import { count, plain, progress, showChecking, warn } from './terminal.js';

interface Options {
    readonly out: string;
    readonly since?: string;
}

export function addRender(program: Command, end: (code: Exit) => void): void {
    program
        .command('render')
        .summary('write finished cards as pages to print')
        .description('Writes the cards in the files named as pages to print, one a card and variant, and an index.')
        .argument('[paths...]', 'files, folders or globs', ['.'])
        .option('--out <folder>', 'where the pages go', 'out')
        .option('--since <revision>', 'say what has changed since a revision in git, with bars in the margin')
        .addHelpText('after', exitCodes)
        .action((paths: string[], options: Options) => end(render(paths, options)));
}

const exitCodes = `
Exit codes: 0 all cards written, whatever their status; 1 a card of which no page
could be made; 2 wrong use, or a file that could not be read or written.`;

function render(paths: readonly string[], { out, since }: Options): Exit {
    const cwd = process.cwd();
    const { projects, problems } = openProjects(cwd, paths);
    for (const problem of problems) warn(problemLine(problem));
    if (!projects.length) return Exit.misuse;

    const { pages, contents } = pagesOf(projects, since === undefined ? undefined : { revision: since, paths });
    progress.clear();
    const folder = resolve(cwd, out);
    const index = 'index.html';
    try {
        mkdirSync(folder, { recursive: true });
        for (const { name, html } of pages) writeFileSync(join(folder, name), html);
        writeFileSync(join(folder, index), renderIndex(contents));
    } catch (error) {
        warn(`${shown(cwd, folder)}: cannot be written: ${because(error, 'written')}`);
        return Exit.misuse;
    }
    say(contents, shown(cwd, folder), index);
    if (problems.length) return Exit.misuse;
    return contents.every(({ href }) => href) ? Exit.clean : Exit.findings;
}

interface Page {
    readonly name: string;
    readonly html: string;
}

interface Before {
    readonly revision: string;
    readonly paths: readonly string[];
}

function pagesOf(projects: readonly Project[], before?: Before): { pages: Page[]; contents: Contents[] } {
    const now = judge(projects, { fixes: 'none' }, showChecking);
    const { cards, judged } = now;
    const comparison = before && compare(judgedAt(before.revision, before.paths).judgement, now);
    const finished = judged.map(one => finishedCard(one, one.status, one.digest(), one.settings.units));
    const variants = judged.map(({ plan }) => {
        const { modifications } = plan.variant;
        const names = (embodied: boolean) =>
            modifications.filter(each => each.embodied === embodied).map(each => each.name);
        return { card: plan.card, with: names(true), without: names(false) };
    });
    const names = fileNames(variants);
    const without = cards.filter(
        ({ name, file }) => !judged.some(({ plan }) => plan.card === name && plan.file === file),
    );
    return {
        pages: finished.map((card, at) => {
            const plan = judged[at]?.plan;
            const since =
                before && comparison && plan ? sinceOf(comparison, plan.card, plan.file, before.revision) : undefined;
            return { name: names[at] ?? '', html: renderFinishedCard(card, since) };
        }),
        contents: [...finished.map((card, at) => contentsOf(card, names[at])), ...without.map(contentsWithoutPage)],
    };
}

/** Each page with its status, what has no page, and where it all is. */
function say(contents: readonly Contents[], folder: string, index: string): void {
    const width = Math.max(0, ...contents.map(({ href }) => href.length));
    for (const { href, number, word, why } of contents) {
        const line = href
            ? `${folder}/${href.padEnd(width)}  ${word}`
            : `${number}: no page could be made: ${why || word}`;
        process.stdout.write(`${plain(line)}\n`);
    }
    const pages = contents.filter(({ href }) => href).length;
    process.stdout.write(`${plain(`${count(pages, 'page')}, listed in ${folder}/${index}`)}\n`);
}
