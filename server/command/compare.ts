import { type Command, Option } from 'commander';
import { type Comparison, compare as compareReports } from '../../language/readers/comparison/index.js';
import { asked } from '../workspace/asked.js';
import { type Judgement, judge } from '../workspace/judge.js';
import type { Problem } from '../workspace/problem.js';
import { problemLine } from '../workspace/problem.js';
import { type Opened, openProjects } from '../workspace/project.js';
import { NoRevision, openRevision } from '../workspace/revision.js';
import { compareJson } from './compare-json.js';
import { compareMarkdown } from './compare-markdown.js';
import { compareText } from './compare-text.js';
import { Exit, Misuse } from './exit.js';
import { progress, showChecking, styleFor, warn } from './terminal.js';

interface Options {
    readonly format: 'text' | 'markdown' | 'json';
    readonly git?: string;
    readonly failOn?: 'worse' | 'different';
}

export function addCompare(program: Command, end: (code: Exit) => void): void {
    program
        .command('compare')
        .summary('say what a change does to the cards')
        .description(
            'Says what has changed between two states of a project, and what follows: findings, guaranteed times, what stays open. ' +
                'OLD and NEW are files or folders; with --git they are revisions, and paths narrow it down.',
        )
        .argument('[paths...]', 'OLD and NEW; with --git the files or folders to look at')
        .option('--git <range>', 'BASE or BASE..HEAD; where HEAD is left out, the files as they are')
        .addOption(
            new Option('--format <form>', 'form of the output').choices(['text', 'markdown', 'json']).default('text'),
        )
        .addOption(
            new Option('--fail-on <verdict>', 'end with 1 when something is worse, or when anything differs').choices([
                'worse',
                'different',
            ]),
        )
        .addHelpText('after', exitCodes)
        .action((paths: string[], options: Options) => end(compare(paths, options)));
}

const exitCodes = `
Exit codes: 0 compared, whatever came of it; 1 what --fail-on names has happened;
2 wrong use, or a side that could not be read or does not parse.`;

function compare(paths: readonly string[], options: Options): Exit {
    const sides = options.git === undefined ? ofPaths(paths) : ofRevisions(paths, options.git);
    progress.clear();
    const problems = [...sides.old.problems, ...sides.new.problems];
    for (const each of new Set(problems.map(problemLine))) warn(each);
    if (problems.length > 0) return Exit.misuse;

    const comparison = compareReports(sides.old.judgement, sides.new.judgement);
    print(comparison, options);
    if (comparison.verdict === 'unknown') return Exit.misuse;
    return bites(comparison, options) ? Exit.findings : Exit.clean;
}

const bites = ({ verdict }: Comparison, { failOn }: Options): boolean =>
    failOn === 'worse' ? verdict === 'worse' : failOn === 'different' && verdict !== 'same';

function print(comparison: Comparison, { format }: Options): void {
    const out =
        format === 'json'
            ? compareJson(comparison)
            : format === 'markdown'
              ? compareMarkdown(comparison)
              : compareText(comparison, styleFor(process.stdout));
    process.stdout.write(out);
}

interface Side {
    readonly judgement: Judgement;
    readonly problems: readonly Problem[];
}

interface Sides {
    readonly old: Side;
    readonly new: Side;
}

function ofPaths(paths: readonly string[]): Sides {
    const [old, now] = paths;
    if (paths.length !== 2 || old === undefined || now === undefined)
        throw new Misuse('compare takes two paths, OLD and NEW, or --git BASE');
    const cwd = process.cwd();
    const one = openProjects(cwd, [old]);
    const two = openProjects(cwd, [now]);
    // Where both are files of one project each side is that project without the other file.
    const files = (path: string) => new Set(asked(cwd, [path]).files.map(each => each.absolute));
    return { old: judged(without(one, files(now), files(old))), new: judged(without(two, files(old), files(now))) };
}

function without(opened: Opened, other: ReadonlySet<string>, own: ReadonlySet<string>): Opened {
    return {
        ...opened,
        projects: opened.projects.map(project => ({
            ...project,
            files: project.files.filter(({ absolute }) => own.has(absolute) || !other.has(absolute)),
        })),
    };
}

function ofRevisions(paths: readonly string[], range: string): Sides {
    const [base = '', head, more] = range.split('..');
    if (more !== undefined || base === '' || head?.startsWith('.') || head === '')
        throw new Misuse('--git takes BASE or BASE..HEAD');
    const old = judgedAt(base, paths);
    const now = head === undefined ? judged(openProjects(process.cwd(), wanted(paths))) : judgedAt(head, paths);
    // A path that one side alone has is no mistake: what is in it is new, or gone.
    const alone = (side: Side, other: Side): Side => ({
        ...side,
        problems: side.problems.filter(
            each => each.unread || other.problems.some(one => problemLine(one) === problemLine(each)),
        ),
    });
    return { old: alone(old, now), new: alone(now, old) };
}

const wanted = (paths: readonly string[]): readonly string[] => (paths.length > 0 ? paths : ['.']);

/** What check() says about the files as they were at a revision. */
export function judgedAt(revision: string, paths: readonly string[]): Side {
    return inRevision(revision, cwd => judged(openProjects(cwd, wanted(paths))));
}

/** Does something in the working folder as it was at a revision. */
function inRevision<T>(revision: string, work: (cwd: string) => T): T {
    let opened: ReturnType<typeof openRevision>;
    try {
        opened = openRevision(process.cwd(), revision);
    } catch (error) {
        if (error instanceof NoRevision) throw new Misuse(error.message);
        throw error;
    }
    try {
        return work(opened.cwd);
    } finally {
        opened.remove();
    }
}

function judged({ projects, problems }: Opened): Side {
    return { judgement: judge(projects, { fixes: 'none' }, showChecking), problems };
}
