import { dirname, join } from 'node:path';
import type { Command } from 'commander';
import type { Settings } from '../../language/check.js';
import { applyTextEdits, format } from '../../language/format/format.js';
import { lineOf, lineStarts } from '../../language/grammar/lines.js';
import { parseText } from '../../language/grammar/parse.js';
import { asked } from '../workspace/asked.js';
import { settingsFile } from '../workspace/files.js';
import { shown } from '../workspace/paths.js';
import { type Problem, problemLine } from '../workspace/problem.js';
import { nearestRoot, standardInputPath } from '../workspace/project.js';
import { readText, type Text } from '../workspace/read.js';
import { readSettings } from '../workspace/read-settings.js';
import { Exit, Misuse } from './exit.js';
import { readStandardInput } from './standard-input.js';
import { plain, warn } from './terminal.js';
import { write } from './write.js';

interface Options {
    readonly check?: true;
}

export function addFormat(program: Command, end: (code: Exit) => void): void {
    program
        .command('format')
        .summary('write the texts in the house style')
        .description('Writes the files named in the house style, and says which ones that changed.')
        .argument('[paths...]', 'files, folders or globs; - reads standard input and writes standard output', ['.'])
        .option('--check', 'write nothing; say which files would change')
        .addHelpText('after', exitCodes)
        .action(async (paths: string[], options: Options) => end(await formatAll(paths, options)));
}

const exitCodes = `
Exit codes: 0 done, or with --check nothing would change; 1 with --check: a file would
change; 2 wrong use, or a file that could not be read, written or understood. Such a
file stays as it is.`;

async function formatAll(paths: readonly string[], { check }: Options): Promise<Exit> {
    if (paths.includes(standardInputPath)) {
        if (paths.length > 1) throw new Misuse('- stands alone: it writes to standard output');
        return formatInput(await readStandardInput(), check);
    }
    const cwd = process.cwd();
    const { files, problems } = asked(cwd, paths);
    const settingsOf = settingsByFolder(cwd);
    let failed = problems.length > 0;
    let changes = false;
    const refuse = (line: string): void => {
        warn(line);
        failed = true;
    };
    for (const problem of problems) refuse(problemLine(problem));
    for (const { absolute } of files) {
        const path = shown(cwd, absolute);
        const read = readText(absolute);
        const { settings, wrong } = settingsOf(dirname(absolute));
        for (const problem of wrong) refuse(problemLine(problem));
        const after = typeof read === 'string' ? undefined : formatted(path, read.text, settings);
        if (typeof read === 'string') refuse(`${path}: ${read}`);
        else if (after === undefined) failed = true;
        else if (after !== read.text) {
            changes = true;
            if (check || write(absolute, path, read.mark + after)) process.stdout.write(`${plain(path)}\n`);
            else failed = true;
        }
    }
    if (failed) return Exit.misuse;
    return check && changes ? Exit.findings : Exit.clean;
}

function formatInput(read: Text | string, check?: true): Exit {
    const cwd = process.cwd();
    const { settings, wrong } = settingsByFolder(cwd)(cwd);
    for (const problem of wrong) warn(problemLine(problem));
    if (typeof read === 'string') warn(`${standardInputPath}: ${read}`);
    else {
        const after = formatted(standardInputPath, read.text, settings);
        if (after === undefined) return Exit.misuse;
        const changes = after !== read.text;
        if (!check) process.stdout.write(read.mark + after);
        else if (changes) process.stdout.write(`${standardInputPath}\n`);
        if (wrong.length === 0) return check && changes ? Exit.findings : Exit.clean;
    }
    return Exit.misuse;
}

/** The settings of the project that a folder is in, each looked up and complained about once. */
function settingsByFolder(cwd: string): (folder: string) => { settings: Settings; wrong: readonly Problem[] } {
    const rootOf = nearestRoot();
    const known = new Map<string, Settings>();
    return folder => {
        const root = rootOf(folder);
        if (root === undefined) return { settings: {}, wrong: [] };
        const before = known.get(root);
        if (before) return { settings: before, wrong: [] };
        const { settings, problems } = readSettings(root, shown(cwd, join(root, settingsFile)));
        known.set(root, settings);
        return { settings, wrong: problems };
    };
}

/** The text in the house style. Where it has a syntax error, says so: half a file in another style would serve nobody. */
function formatted(path: string, text: string, settings: Settings): string | undefined {
    const [problem] = parseText(text).problems;
    if (!problem) return applyTextEdits(text, format(text, settings));
    const starts = lineStarts(text);
    const line = lineOf(starts, problem.offset);
    const column = problem.offset - (starts[line] ?? 0) + 1;
    warn(`${path}:${line + 1}:${column}: not formatted: ${problem.message}`);
    return undefined;
}
