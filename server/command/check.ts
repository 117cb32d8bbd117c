import { writeFileSync } from 'node:fs';
import { type Command, Option } from 'commander';
import { type Judgement, judge } from '../workspace/judge.js';
import { because } from '../workspace/paths.js';
import { problemLine } from '../workspace/problem.js';
import { openProjects, type Project, type StandardInput, standardInputPath, textsOf } from '../workspace/project.js';
import { diff } from './diff.js';
import { Exit, exitOf, Misuse } from './exit.js';
import { fix } from './fix.js';
import { json } from './json.js';
import { readStandardInput } from './standard-input.js';
import { count, progress, showChecking, styleFor, warn } from './terminal.js';
import { summary, text } from './text.js';

interface Judged {
    readonly projects: readonly Project[];
    readonly judgement: Judgement;
}

interface Options {
    readonly format: 'text' | 'json';
    readonly fix?: true;
    readonly dryRun?: true;
    readonly stdinFile?: string;
}

export function addCheck(program: Command, end: (code: Exit) => void): void {
    program
        .command('check')
        .summary('say what is wrong with the cards and the equipment')
        .description('Says what is wrong with the cards and the equipment in the files named.')
        .argument('[paths...]', 'files, folders or globs; - is standard input', ['.'])
        .addOption(new Option('--format <form>', 'form of the output').choices(['text', 'json']).default('text'))
        .option('--fix', "make each finding's first fix, and say what remains")
        .option('--dry-run', 'with --fix: print the changes and write nothing')
        .option('--stdin-file <file>', 'with -: the file that standard input is the newer text of')
        .addHelpText('after', exitCodes)
        .action(async (paths: string[], options: Options) => end(await check(paths, options)));
}

const exitCodes = `
Exit codes: 0 clean or accepted; 1 a warning, an error, or a card about which not
everything is known; 2 wrong use, or a file that could not be read.`;

async function check(paths: readonly string[], options: Options): Promise<Exit> {
    refuseMisuse(paths, options);
    const cwd = process.cwd();
    const fromFiles = paths.filter(path => path !== standardInputPath);
    let input: StandardInput | undefined;
    if (fromFiles.length < paths.length) {
        input = { text: await readStandardInput(), ...(options.stdinFile && { standsFor: options.stdinFile }) };
    }

    const { projects, problems } = openProjects(cwd, fromFiles, input);
    for (const problem of problems) warn(problemLine(problem));
    const judged = options.fix ? fixing(projects, options) : { projects, judgement: judge(projects, {}, showChecking) };
    progress.clear();
    if (!judged) return Exit.misuse;

    print(judged, options, problems.filter(({ unread }) => unread).length);
    return problems.length ? Exit.misuse : exitOf(judged.judgement);
}

function print({ projects, judgement }: Judged, { format, dryRun }: Options, unread: number): void {
    const texts = textsOf(projects);
    if (dryRun) process.stderr.write(`${summary(judgement, styleFor(process.stderr), unread)}\n`);
    else if (format === 'json') process.stdout.write(json(judgement));
    // Where no file was found there is nothing to sum up.
    else if (projects.length)
        process.stdout.write(text(judgement, file => texts.get(file), styleFor(process.stdout), unread));
}

function refuseMisuse(paths: readonly string[], { format, fix, dryRun, stdinFile }: Options): void {
    if (dryRun && !fix) throw new Misuse('--dry-run goes with --fix');
    if (dryRun && format === 'json') throw new Misuse('--dry-run prints a diff, so it does not go with --format json');
    const standardInput = paths.includes(standardInputPath);
    if (stdinFile !== undefined && !standardInput) throw new Misuse('--stdin-file goes with -');
    if (fix && standardInput && !dryRun) throw new Misuse('--fix cannot write to standard input; add --dry-run');
}

/** Fixes made and written, or printed; nothing where a file could not be written. */
function fixing(projects: readonly Project[], { dryRun }: Options): Judged | undefined {
    const { changed, fixes, remaining, projects: after } = fix(projects, now => judge(now, {}, showChecking));
    progress.clear();
    let written = true;
    for (const { old, new: file } of changed) {
        if (dryRun) process.stdout.write(diff(file.path, old.mark + old.text, file.mark + file.text));
        else written = write(file.absolute, file.path, file.mark + file.text) && written;
    }
    if (fixes && written) {
        const where = count(changed.length, 'file');
        warn(
            dryRun
                ? `${count(fixes, 'fix', 'fixes')} would change ${where}`
                : `${count(fixes, 'fix', 'fixes')} made in ${where}`,
        );
    }
    return written ? { projects: after, judgement: remaining } : undefined;
}

function write(absolute: string, path: string, content: string): boolean {
    try {
        writeFileSync(absolute, content);
        return true;
    } catch (error) {
        warn(`${path}: cannot be written: ${because(error, 'written')}`);
        return false;
    }
}
