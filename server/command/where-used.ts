import { type Command, Option } from 'commander';
import { nearest } from '../../language/grammar/nearest.js';
import { type ParsedProject, parseProject } from '../../language/names/project.js';
import {
    allThings,
    type NamedThing,
    qualified,
    thingsNamed,
    type Use,
    whereUsed,
} from '../../language/names/where-used.js';
import { problemLine } from '../workspace/problem.js';
import { openProjects, textsOf } from '../workspace/project.js';
import { linesOf } from './excerpt.js';
import { Exit, Misuse } from './exit.js';
import { count, plain, type Style, styleFor, warn } from './terminal.js';

interface Options {
    readonly format: 'text' | 'json';
}

export function addWhereUsed(program: Command, end: (code: Exit) => void): void {
    program
        .command('where-used')
        .summary('list the places where a thing is used')
        .description(
            'Lists the cards, subtasks, rules and lines where an item, place, role, card, subtask, modification or anything else with a name is used: by its name, in texts, and through the calls and loops that hand it on.',
        )
        .argument('<name>', 'such as CB-217, or Hyd2.CB-217 where CB-217 could be several')
        .argument('[paths...]', 'files, folders or globs', ['.'])
        .addOption(new Option('--format <form>', 'form of the output').choices(['text', 'json']).default('text'))
        .addHelpText('after', exitCodes)
        .action((name: string, paths: string[], options: Options) => end(run(name, paths, options)));
}

const exitCodes = `
Exit codes: 0 found; 1 found, but a file with a syntax error may hold more uses; 2 no
such name, several things with it, wrong use, or a file that could not be read.`;

interface Found {
    readonly project: ParsedProject;
    readonly thing: NamedThing;
}

function run(name: string, paths: readonly string[], { format }: Options): Exit {
    const { projects, problems } = openProjects(process.cwd(), paths);
    for (const problem of problems) warn(problemLine(problem));
    if (!projects.length) return Exit.misuse;

    const parsed = projects.map(({ files }) => parseProject(files));
    const found = parsed.flatMap(project => thingsNamed(project, name).map(thing => ({ project, thing })));
    if (found.length !== 1) throw new Misuse(found.length ? several(name, found) : none(name, parsed));

    const [{ project, thing }] = found;
    const uses = whereUsed(project, thing);
    const unread = project.files.filter(file => file.broken).map(file => file.path);
    const texts = textsOf(projects);
    process.stdout.write(
        format === 'json'
            ? json(thing, uses, unread)
            : text(thing, uses, unread, file => texts.get(file) ?? '', styleFor(process.stdout)),
    );
    if (problems.length) return Exit.misuse;
    return unread.length ? Exit.findings : Exit.clean;
}

function several(name: string, found: readonly Found[]): string {
    const lines = found.map(({ thing }) => {
        const [at] = thing.declared;
        return `  ${qualified(thing)}  ${thing.what} "${thing.label}", ${at?.file}:${at?.line}:${at?.column}`;
    });
    const shown = lines.slice(0, 20);
    if (shown.length < lines.length) shown.push(`  and ${lines.length - shown.length} more`);
    return `"${name}" is the name of several things; say which, with the folder of its project where that does not do:\n${shown.join('\n')}`;
}

function none(name: string, projects: readonly ParsedProject[]): string {
    const names = projects.flatMap(project => [...allThings(project)].flatMap(each => [each.name, qualified(each)]));
    const isSame = (each: string) => each.toLowerCase() === name.toLowerCase();
    const meant = names.find(isSame) ?? nearest(name, names);
    return `nothing has the name "${name}"${meant ? `; did you mean ${meant}?` : ''}`;
}

/** The cards, subtasks and rules among the uses, each once. */
function among(uses: readonly Use[]) {
    const once = (names: readonly string[]) => [...new Set(names)];
    return {
        cards: once(uses.flatMap(({ cards }) => cards)),
        subtasks: once(uses.filter(use => use.in.what === 'subtask').map(use => use.in.name)),
        rules: once(
            uses.flatMap(({ within, in: owner }) => (within?.what === 'rule' ? [`${owner.name}.${within.name}`] : [])),
        ),
    };
}

function text(
    thing: NamedThing,
    uses: readonly Use[],
    unread: readonly string[],
    textOf: (file: string) => string,
    style: Style,
): string {
    const out: string[] = [];
    const label = thing.label ? ` (${thing.label})` : '';
    const owner = thing.owner ? ` of ${thing.owner}` : '';
    out.push(style('bold', plain(`${thing.name}${label}, ${thing.what}${owner}`)));
    for (const { file, line, column } of thing.declared)
        out.push(`  ${plain(`${file}:${line}:${column}`)}  declared here`);
    const lines = new Map<string, readonly string[]>();
    const lineAt = (file: string, line: number): string => {
        const known = lines.get(file) ?? linesOf(textOf(file));
        lines.set(file, known);
        const whole = (known[line - 1] ?? '').trim();
        return whole.length > 100 ? `${[...whole].slice(0, 99).join('')}…` : whole;
    };
    for (const [, those] of Map.groupBy(uses, use => `${use.in.what} ${use.in.name}`)) {
        const [first] = those;
        out.push(
            '',
            style('bold', plain(`${first.in.what} ${first.in.name}${first.in.label ? ` "${first.in.label}"` : ''}`)),
        );
        for (const { span, within, via } of those) {
            const where = within ? `${within.what} ${within.name}: ` : '';
            out.push(
                `  ${style('dim', plain(`${span.file}:${span.line}:${span.column}`))}  ${plain(where + lineAt(span.file, span.line))}`,
            );
            const last = via.at(-1);
            if (last) {
                const from = via.map(({ span: at }) => `${at.file}:${at.line}:${at.column}`).join(', ');
                out.push(`    ${plain(`as ${last.as}, handed on at ${from}`)}`);
            }
        }
    }
    out.push('', style('bold', plain(summary(uses))));
    if (unread.length) {
        const named = unread.slice(0, 5).join(', ');
        out.push(
            plain(
                `Not known: ${named}${unread.length > 5 ? ` and ${unread.length - 5} more` : ''} cannot be read whole and may hold more.`,
            ),
        );
    }
    return `${out.join('\n')}\n`;
}

function summary(uses: readonly Use[]): string {
    if (!uses.length) return 'Used nowhere.';
    const { cards, subtasks, rules } = among(uses);
    const places = count(new Set(uses.map(({ span }) => `${span.file} ${span.offset}`)).size, 'place');
    return `Used in ${places}: ${count(cards.length, 'card')}, ${count(subtasks.length, 'subtask')}, ${count(rules.length, 'rule')}.`;
}

function json(thing: NamedThing, uses: readonly Use[], unread: readonly string[]): string {
    const stretch = ({ file, line, column, endLine, endColumn }: Use['span']) => ({
        file,
        line,
        column,
        endLine,
        endColumn,
    });
    const report = {
        version: 1,
        name: thing.name,
        label: thing.label,
        what: thing.what,
        owner: thing.owner || null,
        declared: thing.declared.map(stretch),
        uses: uses.map(use => ({
            ...stretch(use.span),
            in: { what: use.in.what, name: use.in.name },
            within: use.within ?? null,
            how: use.how,
            via: use.via.map(({ span, as }) => ({ file: span.file, line: span.line, column: span.column, as })),
            cards: use.cards,
        })),
        ...among(uses),
        notRead: unread,
    };
    return `${JSON.stringify(report, null, 2)}\n`;
}
