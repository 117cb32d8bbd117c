/**
 * `npm run bench`: what each stage costs, as a ratio to a named baseline in the same run: Langium's own parser
 * (`LangiumParser.parse`, as its services give it) on the same text with the same grammar. Times differ from machine to
 * machine and from minute to minute; ratios say how a stage grows and what it adds to what must be paid anyway.
 */

import { check } from '../../language/check.js';
import type { Judged } from '../../language/checks/check.js';
import { checks } from '../../language/checks/index.js';
import { runFailures } from '../../language/failures/runs.js';
import { createServices, parseText } from '../../language/grammar/parse.js';
import { compileMachine } from '../../language/machine/compile.js';
import { parseProject, type SourceText } from '../../language/names/project.js';
import { findPaths } from '../../language/paths/find.js';
import { lowerCard } from '../../language/plan/lower.js';
import { embodiedIn, equipmentsOfCard, variantsOf } from '../../language/plan/variants.js';
import type { Traces } from '../../language/trace/trace.js';
import { judgeArms, runCard } from '../../language/trace/traces.js';
import { benchComparison } from './comparison.js';
import { card, equipment } from './texts.js';

const baseline = createServices().parser.LangiumParser;
/** Checks that run failures, or search for the change that mends a test. */
const searching = new Set(['test-not-isolated']);

/** The best of several times, in milliseconds, for what else the machine does only adds: of nine at least, and of as many as go into a third of a second. */
function time<T>(work: () => T): { readonly ms: number; readonly result: T } {
    let best = Number.POSITIVE_INFINITY;
    let result = work();
    for (let n = 0, sum = 0; n < 9 || (sum < 350 && n < 200); n++) {
        const start = performance.now();
        result = work();
        const took = performance.now() - start;
        best = Math.min(best, took);
        sum += took;
    }
    return { ms: best, result };
}

interface Stages {
    readonly actions: number;
    readonly events: number;
    readonly langium: number;
    readonly stages: readonly (readonly [name: string, ms: number])[];
}

function stagesOf(actions: number): Stages {
    const source: SourceText = { path: 'card.cotter', text: card(actions) };
    const langium = time(() => baseline.parse(source.text)).ms;
    const parse = time(() => parseText(source.text)).ms;
    const parsed = parseProject([...equipment, source]);
    if (parsed.findings.length > 0) throw new Error(parsed.findings[0]?.message);
    // Linking alone: the trees are taken over.
    const link = time(() => parseProject([...equipment, source], parsed));
    const project = link.result;
    const [one] = project.cards;
    const variant = one && variantsOf(project, one).variants[0];
    if (!one || !variant) throw new Error('there is no card');
    const embodied = embodiedIn(variant);
    const machine = compileMachine(project, equipmentsOfCard(project, one), embodied);
    const lower = time(() => lowerCard(project, one, machine, embodied));
    const plan = lower.result;
    const run = time(() => runCard(machine, plan));
    const failures = time(() => runFailures(machine, plan, run.result));
    const traces: Traces = {
        plain: run.result.plain,
        forced: run.result.forced,
        arms: judgeArms(plan, run.result.taken, failures.result.reached),
        inArms: failures.result.inArms,
        plainHolds: run.result.contradicted.length === 0,
    };
    // What is worked out once for a card is worked out anew each time: nothing may be remembered from the round before.
    const paths = time(() => findPaths(machine, plan, { ...traces }));
    const texts = new Map(project.files.map(file => [file.path, file.text]));
    const judged: Judged = {
        machine,
        plan,
        traces,
        paths: paths.result,
        runs: run.result,
        failures: () => failures.result.results,
        text: file => texts.get(file) ?? '',
        settings: {},
    };
    const checking = time(() => {
        const fresh = { ...judged };
        let found = 0;
        for (const each of checks) {
            if (searching.has(each.code)) continue;
            found += each.ofText?.(project).length ?? 0;
            found += each.ofCard?.(fresh).length ?? 0;
        }
        return found;
    });
    const searched = time(() =>
        checks.filter(each => searching.has(each.code)).flatMap(each => each.ofCard?.(judged) ?? []),
    );
    if (process.argv.includes('--checks')) {
        for (const each of checks) {
            const { ms } = time(() => [each.ofText?.(project), each.ofCard?.({ ...judged })]);
            process.stdout.write(`    ${each.code.padEnd(28)}${(ms / langium).toFixed(3)}\n`);
        }
    }
    return {
        actions,
        events: plan.events.length,
        langium,
        stages: [
            ['parse', parse],
            ['link', link.ms],
            ['lower', lower.ms],
            ['run', run.ms],
            ['paths', paths.ms],
            ['checks', checking.ms],
            ['failure runs', failures.ms],
            ['isolation of tests', searched.ms],
        ],
    };
}

const apart = new Set(['failure runs', 'isolation of tests']);
const afterParse = (each: Stages) =>
    each.stages.filter(([name]) => name !== 'parse' && !apart.has(name)).reduce((sum, [, ms]) => sum + ms, 0);

function print(cells: readonly string[]): void {
    process.stdout.write(`${cells.map((cell, n) => (n === 0 ? cell.padEnd(34) : cell.padStart(12))).join('')}\n`);
}

const sizes = [500, 1000, 2000, 4000];
// Compiled by the engine before anything is measured.
for (let n = 0; n < 2; n++) stagesOf(1000);
const measured = sizes.map(stagesOf);
process.stdout.write(
    'One card, one variant, fixed equipment. Each cell: time / time of LangiumParser.parse on the same text.\n\n',
);
print(['actions', ...measured.map(each => String(each.actions))]);
print(['events', ...measured.map(each => String(each.events))]);
for (const [index, [name]] of (measured[0]?.stages ?? []).entries()) {
    if (name === 'failure runs') {
        print(['= link to checks', ...measured.map(each => (afterParse(each) / each.langium).toFixed(2))]);
        process.stdout.write('apart:\n');
    }
    print([name, ...measured.map(each => ((each.stages[index]?.[1] ?? 0) / each.langium).toFixed(2))]);
}
process.stdout.write('\nGrowth, as (time / actions) beside that of the shortest card: 1 is linear.\n\n');
const [first] = measured;
if (first) {
    const per = (each: Stages, ms: number, of: number) => (ms / each.actions / (of / first.actions)).toFixed(2);
    print(['LangiumParser.parse', ...measured.map(each => per(each, each.langium, first.langium))]);
    for (const [index, [name, ms]] of first.stages.entries()) {
        print([name, ...measured.map(each => per(each, each.stages[index]?.[1] ?? 0, ms))]);
    }
}

const many = Array.from({ length: 1000 }, (_, n): SourceText => {
    const name = `T84-98-${String(n).padStart(4, '0')}-01`;
    return { path: `cards/${name}.cotter`, text: card(40, name) };
});
const once = <T>(work: () => T): number => {
    const start = performance.now();
    work();
    return performance.now() - start;
};
const langium = once(() => many.map(each => baseline.parse(each.text)));
const sources = [...equipment, ...many];
let report: ReturnType<typeof check> | undefined;
const parseAll = once(() => parseProject(sources));
const checkAll = once(() => {
    report = check(sources, {}, { fixes: 'none', without: searching });
});
const statuses = new Set(report?.cards.map(each => each.status));
process.stdout.write(
    `\n1,000 cards of 40 actions, two variants each (${[...statuses].join(', ')}); beside LangiumParser.parse on all of them.\n\n`,
);
print(['parse and link', (parseAll / langium).toFixed(2)]);
print(['check(), without test-not-isolated', (checkAll / langium).toFixed(2)]);
process.stdout.write(benchComparison());
