/** The tasks behind the npm scripts. Run by launch.mjs, from the root of the project, on a Node that is new enough. */
import { existsSync, readFileSync, rmSync, statSync } from 'node:fs';
import { resolve } from 'node:path';
import { bundleCommand, bundleExtension, bundleInside, bundleScript, scriptBundle } from './bundle.ts';
import { generate, generatePages } from './generate.ts';
import { missingForWorkbench, missingTools } from './needs.ts';
import { node, tool } from './run.ts';

type Task = (rest: readonly string[]) => Promise<number> | number;

const command = 'dist/cotter.cjs';
const vsix = 'dist/cotter.vsix';

const tasks: Record<string, Task> = {
    generate: () => generate(),
    build,
    package: packExtension,
    workbench,
    lint,
    format: rest => tool('biome', ['check', '--write', ...rest]),
    types,
    vitest: rest => first(generatePages, bundleCommand, () => tool('vitest', ['run', ...rest])),
    test,
    start,
    cotter: rest => first(ready, () => node([`${process.cwd()}/${command}`, ...rest], process.env.INIT_CWD)),
    bench: rest => script('tests/bench/bench.ts', rest),
    seeded: rest => script('tests/seeded/seeded.ts', rest),
    'typed-edits': rest => script('tests/language/comparison/typed-edits.ts', rest),
};

export async function run(name: string, rest: readonly string[]): Promise<number> {
    const task = tasks[name];
    if (task) return task(rest);
    process.stderr.write(`cotter: no task "${name}"; there are ${Object.keys(tasks).join(', ')}\n`);
    return 2;
}

/** One after the other, as long as each ends well. */
async function first(...steps: (() => Promise<number> | number)[]): Promise<number> {
    for (const step of steps) {
        const code = await step();
        if (code !== 0) return code;
    }
    return 0;
}

function build(): Promise<number> {
    return first(generate, bundleCommand);
}

/** `dist/cotter.vsix`, of what is built; no package is looked up anywhere. */
async function packExtension(): Promise<number> {
    const built = (await build()) || (await bundleExtension());
    if (built !== 0) return built;
    // Its dependencies are for this task alone.
    const { createVSIX } = await import('@vscode/vsce');
    await createVSIX({
        cwd: 'dist/extension',
        packagePath: resolve(vsix),
        dependencies: false,
        allowMissingRepository: true,
        rewriteRelativeLinks: false,
    });
    const size = statSync(vsix).size;
    if (size < 1_500_000) return 0;
    process.stderr.write(`cotter: ${vsix} has ${size} bytes; 1,500,000 are too many\n`);
    return 1;
}

/** The packaged extension in a real editor. */
function workbench(rest: readonly string[]): Promise<number> {
    return first(packExtension, bundleInside, () => node(['tests/workbench/run.ts', ...rest]));
}

/** For a person at the command line: built already, or built now. */
function ready(): Promise<number> | number {
    return existsSync(command) ? 0 : build();
}

/** Format, lint and the import fence. */
function lint(rest: readonly string[] = []): number {
    return tool('biome', ['check', '--error-on-warnings', ...rest]);
}

async function types(): Promise<number> {
    const pages = await generatePages();
    const whole = tool('tsc', ['--project', 'tsconfig.json']);
    const alone = tool('tsc', ['--project', 'language/tsconfig.json']);
    const page = tool('tsc', ['--project', 'extension/live-card/page/tsconfig.json']);
    return pages || whole || alone || page;
}

/** The main job on the examples. The faulty cards have findings, as they should: that is no failure here. */
async function start(): Promise<number> {
    const built = await build();
    if (built !== 0) return built;
    const folders = {
        'examples/northlight': 'eleven cards as they should be',
        'examples/faulty': 'small cards, each with something wrong that a reader would miss',
    };
    for (const [folder, says] of Object.entries(folders)) {
        process.stdout.write(`\n> cotter check ${folder}    (${says})\n\n`);
        const code = node([command, 'check', folder]);
        if (code > 1) return code;
    }
    process.stdout.write(
        '\n> cotter render examples --out out    (finished cards, to open in a browser and to print)\n\n',
    );
    const code = node([command, 'render', 'examples', '--out', 'out']);
    return code > 1 ? code : 0;
}

/** Everything that can fail; the last line is the count. With COTTER_NO_SKIPS a test that did not run is a failure. */
async function test(rest: readonly string[]): Promise<number> {
    const results = 'dist/tests.json';
    rmSync(results, { force: true });
    const failed: string[] = [];
    const stage = async (name: string, task: Task) => {
        process.stdout.write(`\n> ${name}\n`);
        if ((await task([])) !== 0) failed.push(name);
    };
    await stage('build', build);
    await stage('lint', () => lint());
    await stage('types', types);
    await stage('tests', () =>
        tool('vitest', ['run', '--reporter=default', '--reporter=json', `--outputFile.json=${results}`, ...rest]),
    );

    const inEditor = 'dist/workbench/counts.json';
    rmSync(inEditor, { force: true });
    const missing = missingForWorkbench();
    // The suite that drives the workbench with keys takes minutes and waits on a busy machine: `npm run workbench outside`.
    if (!missing) await stage('workbench', () => workbench(['inside']));

    const vitest = counts(results);
    const editor = existsSync(inEditor) ? JSON.parse(readFileSync(inEditor, 'utf8')) : { passed: 0, failed: 0 };
    const count = { ...vitest, passed: vitest.passed + editor.passed, failed: vitest.failed + editor.failed };
    const strict = Boolean(process.env.COTTER_NO_SKIPS);
    for (const { tests, tool: name } of missingTools()) process.stdout.write(`skipped: ${tests} (needs ${name})\n`);
    if (missing) process.stdout.write(`skipped: workbench (needs ${missing})\n`);
    if (count.skipped > 0) process.stdout.write(`${count.skipped} tests did not run\n`);
    if (failed.length) process.stdout.write(`failed: ${failed.join(', ')}\n`);
    // A stage that fails without a failed test of its own (a lint finding, a type error, a crash) counts as one.
    const stages = failed.filter(
        name => !(name === 'tests' && vitest.failed > 0) && !(name === 'workbench' && editor.failed > 0),
    ).length;
    const bad = count.failed + stages + (strict ? count.skipped + missingTools().length + (missing ? 1 : 0) : 0);
    process.stdout.write(`${count.passed} passed, ${bad} failed\n`);
    return bad === 0 ? 0 : 1;
}

function counts(file: string): { passed: number; failed: number; skipped: number } {
    if (!existsSync(file)) return { passed: 0, failed: 0, skipped: 0 };
    const report = JSON.parse(readFileSync(file, 'utf8'));
    return {
        passed: report.numPassedTests,
        failed: report.numFailedTests,
        skipped: report.numPendingTests + report.numTodoTests,
    };
}

async function script(file: string, rest: readonly string[]): Promise<number> {
    if (!existsSync(file)) {
        process.stderr.write(`cotter: ${file} is not there\n`);
        return 2;
    }
    return first(
        generatePages,
        () => bundleScript(file),
        () => node([scriptBundle(file), ...rest]),
    );
}
