import { mkdirSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import type { Command } from 'commander';
import { renderEquipmentSheet, renderFinishedCard, renderIndex } from '../../language/html/index.js';
import { compare, sinceOf } from '../../language/readers/comparison/index.js';
import {
    equipmentSheet,
    type SheetContents,
    sheetContentsOf,
    sheetContentsWithoutPage,
} from '../../language/readers/equipment-sheet/index.js';
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
import { Exit, Misuse } from './exit.js';
import { fileNames, type Variant } from './file-names.js';
import { count, plain, progress, showChecking, warn } from './terminal.js';

interface Options {
    readonly out: string;
    readonly since?: string;
}

export function addRender(program: Command, end: (code: Exit) => void): void {
    program
        .command('render')
        .summary('write finished cards and equipment sheets as pages to print')
        .description(
            'Writes the cards and the equipments in the files named as pages to print, one each and variant, and an index.',
        )
        .argument('[paths...]', 'files, folders or globs', ['.'])
        .option('--out <folder>', 'where the pages go', 'out')
        .option('--since <revision>', 'say what has changed since a revision in git, with bars in the margin')
        .addHelpText('after', exitCodes)
        .action((paths: string[], options: Options) => end(render(paths, options)));
}

const exitCodes = `
Exit codes: 0 all pages written, whatever their status; 1 a card or an equipment of
which no page could be made; 2 wrong use, or a file that could not be read or written.`;

function render(paths: readonly string[], { out, since }: Options): Exit {
    const cwd = process.cwd();
    const { projects, problems } = openProjects(cwd, paths);
    for (const problem of problems) warn(problemLine(problem));
    if (!projects.length) return Exit.misuse;

    const { pages, contents, sheets } = pagesOf(projects, since === undefined ? undefined : { revision: since, paths });
    progress.clear();
    const folder = resolve(cwd, out);
    const index = 'index.html';
    try {
        mkdirSync(folder, { recursive: true });
        for (const { name, html } of pages) writeFileSync(join(folder, name), html);
        writeFileSync(join(folder, index), renderIndex(contents, sheets));
    } catch (error) {
        warn(`${shown(cwd, folder)}: cannot be written: ${because(error, 'written')}`);
        return Exit.misuse;
    }
    const lines = [
        ...contents.map(each => ({ ...each, name: each.number })),
        ...sheets.map(each => ({ ...each, name: `equipment ${each.name}` })),
    ];
    say(lines, shown(cwd, folder), index);
    if (problems.length) return Exit.misuse;
    return lines.every(({ href }) => href) ? Exit.clean : Exit.findings;
}

interface Page {
    readonly name: string;
    readonly html: string;
}

interface Before {
    readonly revision: string;
    readonly paths: readonly string[];
}

function pagesOf(
    projects: readonly Project[],
    before?: Before,
): { pages: Page[]; contents: Contents[]; sheets: SheetContents[] } {
    const now = judge(projects, { fixes: 'none' }, showChecking);
    const { cards, judged, equipments } = now;
    const old = before && judgedAt(before.revision, before.paths);
    // A path that was not there then is no mistake; a file that cannot be read might hold what has changed.
    const unread = old?.problems.find(each => each.unread);
    if (unread) throw new Misuse(problemLine(unread));
    const comparison = old && compare(old.judgement, now);
    const finished = judged.map(one => finishedCard(one, one.status, one.digest(), one.settings.units));
    const all = equipments();
    const sheets = all.flatMap(each => each.variants.map(one => equipmentSheet(one, each.units)));
    const names = fileNames([
        ...judged.map(({ plan }) => variantOf(plan.card, plan.variant.modifications)),
        ...all.flatMap(each => each.variants.map(one => variantOf(`equipment.${one.name}`, one.modifications))),
    ]);
    const sheetNames = names.slice(judged.length);
    const without = cards.filter(
        ({ name, file }) => !judged.some(({ plan }) => plan.card === name && plan.file === file),
    );
    return {
        pages: [
            ...finished.map((card, at) => {
                const plan = judged[at]?.plan;
                const since =
                    before && comparison && plan
                        ? sinceOf(comparison, plan.card, plan.file, before.revision)
                        : undefined;
                return { name: names[at] ?? '', html: renderFinishedCard(card, since) };
            }),
            ...sheets.map((sheet, at) => ({ name: sheetNames[at] ?? '', html: renderEquipmentSheet(sheet) })),
        ],
        sheets: [
            ...sheets.map((sheet, at) => sheetContentsOf(sheet, sheetNames[at] as string)),
            ...all.filter(each => each.variants.length === 0).map(sheetContentsWithoutPage),
        ],
        contents: [...finished.map((card, at) => contentsOf(card, names[at])), ...without.map(contentsWithoutPage)],
    };
}

function variantOf(
    card: string,
    modifications: readonly { readonly name: string; readonly embodied: boolean }[],
): Variant {
    const names = (embodied: boolean) =>
        modifications.filter(each => each.embodied === embodied).map(each => each.name);
    return { card, with: names(true), without: names(false) };
}

/** Each page with its status, what has no page, and where it all is. */
function say(
    contents: readonly { readonly href: string; readonly name: string; readonly word: string; readonly why: string }[],
    folder: string,
    index: string,
): void {
    const width = Math.max(0, ...contents.map(({ href }) => href.length));
    for (const { href, name, word, why } of contents) {
        const line = href
            ? `${folder}/${href.padEnd(width)}  ${word}`
            : `${name}: no page could be made: ${why || word}`;
        process.stdout.write(`${plain(line)}\n`);
    }
    const pages = contents.filter(({ href }) => href).length;
    process.stdout.write(`${plain(`${count(pages, 'page')}, listed in ${folder}/${index}`)}\n`);
}
