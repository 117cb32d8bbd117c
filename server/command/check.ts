import { type Command, Option } from 'commander';
import type { Severity } from '../../language/findings/finding.js';
import { type Judgement, judge } from '../workspace/judge.js';
import { type Problem, problemLine } from '../workspace/problem.js';
import {
    type Opened,
    openProjects,
    type Project,
    type StandardInput,
    standardInputPath,
    textsOf,
} from '../workspace/project.js';
import { diff } from './diff.js';
import { Exit, exitOf, Misuse } from './exit.js';
import { fix } from './fix.js';
import { github } from './github.js';
import { json } from './json.js';
import { junit } from './junit.js';
import { sarif } from './sarif.js';
import { isWanted, knownCode, severities, show, type Wanted } from './shown.js';
import { readStandardInput } from './standard-input.js';
import { count, progress, showChecking, styleFor, warn } from './terminal.js';
import { summary, text } from './text.js';
import { type Concluded, watch } from './watch.js';
import { write } from './write.js';

interface Judged {
    readonly projects: readonly Project[];
    readonly judgement: Judgement;
}

const forms = ['text', 'json', 'sarif', 'junit', 'github'] as const;

interface Options {
    readonly format: (typeof forms)[number];
    readonly severity: Severity;
    readonly only: readonly string[];
    readonly fix?: true;
    readonly dryRun?: true;
    readonly watch?: true;
    readonly stdinFile?: string;
}

export function addCheck(program: Command, end: (code: Exit) => void): void {
    program
        .command('check')
        .summary('say what is wrong with the cards and the equipment')
        .description('Says what is wrong with the cards and the equipment in the files named.')
        .argument('[paths...]', 'files, folders or globs; - is standard input', ['.'])
        .addOption(new Option('--format <form>', 'form of the output').choices(forms).default('text'))
        .addOption(
            new Option('--severity <least>', 'show this severity and what is worse')
                .choices(severities)
                .default('information'),
        )
        .addOption(
            new Option('--only <code>', 'show the findings with this code alone; may be given several times')
                .argParser((code: string, before: readonly string[]) => [...before, knownCode(code)])
                .default([], 'all'),
        )
        .option('--fix', "make each shown finding's first fix, and say what remains")
        .option('--dry-run', 'with --fix: print the changes and write nothing')
        .option('--watch', 'check again whenever a file changes, until interrupted')
        .option('--stdin-file <file>', 'with -: the file that standard input is the newer text of')
        .addHelpText('after', more)
        .action(async (paths: string[], options: Options) => end(await check(paths, options)));
}

const more = `
Forms: text for people; json for programs; sarif (2.1.0), junit and github (workflow
commands) for build servers.

Exit codes: 0 clean or accepted; 1 a warning, an error, or a card about which not
everything is known; 2 wrong use, or a file that could not be read. --severity and
--only choose what is shown and fixed; they change no exit code and no status.`;

async function check(paths: readonly string[], options: Options): Promise<Exit> {
    refuseMisuse(paths, options);
    const cwd = process.cwd();
    const fromFiles = paths.filter(path => path !== standardInputPath);
    if (options.watch) return watch(cwd, fromFiles, opened => conclude(opened, options));
    let input: StandardInput | undefined;
    if (fromFiles.length < paths.length) {
        input = { text: await readStandardInput(), ...(options.stdinFile && { standsFor: options.stdinFile }) };
    }
    return conclude(openProjects(cwd, fromFiles, input), options).exit;
}

/** Judges, mends and prints. */
function conclude({ projects, problems }: Opened, options: Options): Concluded {
    for (const problem of problems) warn(problemLine(problem));
    const judged = options.fix ? fixing(projects, options) : { projects, judgement: judge(projects, {}, showChecking) };
    progress.clear();
    if (!judged) return { exit: Exit.misuse, projects };

    const exit = problems.length ? Exit.misuse : exitOf(judged.judgement);
    print(judged, options, problems, exit);
    return { exit, judgement: judged.judgement, projects: options.dryRun ? projects : judged.projects };
}

function print({ projects, judgement }: Judged, options: Options, problems: readonly Problem[], exit: Exit): void {
    const texts = textsOf(projects);
    const textOf = (file: string) => texts.get(file);
    const shown = show(judgement, options);
    const unread = problems.filter(problem => problem.unread).length;
    const out = (whole: string) => process.stdout.write(whole);
    if (options.dryRun) process.stderr.write(`${summary(shown, styleFor(process.stderr), unread)}\n`);
    else if (options.format === 'json') out(json(shown));
    else if (options.format === 'sarif') out(sarif(shown, textOf, { exit, problems }));
    else if (options.format === 'junit') out(junit(shown, projects, problems, new Date()));
    else if (options.format === 'github') out(github(shown, textOf, problems, summary(shown, styleFor({}), unread)));
    // Where no file was found there is nothing to sum up.
    else if (projects.length) out(text(shown, textOf, styleFor(process.stdout), unread));
}

function refuseMisuse(paths: readonly string[], { format, fix, dryRun, stdinFile, watch }: Options): void {
    if (dryRun && !fix) throw new Misuse('--dry-run goes with --fix');
    if (dryRun && format !== 'text')
        throw new Misuse(`--dry-run prints a diff, so it does not go with --format ${format}`);
    const standardInput = paths.includes(standardInputPath);
    if (stdinFile !== undefined && !standardInput) throw new Misuse('--stdin-file goes with -');
    if (watch && standardInput) throw new Misuse('--watch looks at files, so it does not go with -');
    if (fix && standardInput && !dryRun) throw new Misuse('--fix cannot write to standard input; add --dry-run');
}

/** Fixes made and written, or printed; nothing where a file could not be written. */
function fixing(projects: readonly Project[], options: Options): Judged | undefined {
    const { dryRun } = options;
    const wanted: Wanted = options;
    const {
        changed,
        fixes,
        remaining,
        projects: after,
    } = fix(
        projects,
        now => judge(now, {}, showChecking),
        finding => isWanted(wanted, finding),
    );
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
