/** The examples, and what a comparison says of a changed text of theirs. */
import { readFileSync } from 'node:fs';
import { globSync } from 'tinyglobby';
import { check, type Report, type SourceFile } from '../../../language/check.js';
import { DrawnOn } from '../../../language/names/drawn-on.js';
import { parseProject } from '../../../language/names/project.js';
import { type CardComparison, type Comparison, compare } from '../../../language/readers/comparison/index.js';

export const examples: readonly SourceFile[] = globSync('examples/northlight/**/*.cotter')
    .sort()
    .map(path => ({ path, text: readFileSync(path, 'utf8') }));

/** As check() judges them, with nothing left out. */
export const judgeAll = (files: readonly SourceFile[]): Report => check(files, {}, { fixes: 'none' });

let known: Report | undefined;
const ofExamples = (): Report => {
    known ??= judgeAll(examples);
    return known;
};

/** The same, but a card that draws on nothing that differs from the examples is taken from them: most edits reach one card of many. */
export function judge(files: readonly SourceFile[]): Report {
    if (files === examples) return ofExamples();
    const was = new Map(examples.map(({ path, text }) => [path, text]));
    if (files.length !== examples.length || !files.every(({ path }) => was.has(path))) return judgeAll(files);
    const project = parseProject(files);
    const drawnOn = new DrawnOn(project.files);
    const same = project.files.filter(file => drawnOn.of(file).every(({ path, text }) => was.get(path) === text));
    const kept = new Set(same.map(({ path }) => path));
    const fresh = check(
        files,
        {},
        { fixes: 'none', only: new Set(files.map(({ path }) => path).filter(path => !kept.has(path))) },
    );
    const old = ofExamples();
    const of = <T extends { readonly file: string }>(all: readonly T[]): T[] => all.filter(each => kept.has(each.file));
    const cards = of(old.cards);
    const names = new Set(cards.map(({ name }) => name));
    const said = new Set(fresh.findings.map(({ code, span }) => `${code} ${span.file} ${span.offset}`));
    const findings = old.findings.filter(
        ({ card, code, span }) =>
            card !== undefined && names.has(card) && !said.has(`${code} ${span.file} ${span.offset}`),
    );
    return {
        findings: [...fresh.findings, ...findings],
        cards: [...fresh.cards, ...cards],
        judged: [...fresh.judged, ...old.judged.filter(({ plan }) => kept.has(plan.file))],
        equipments: fresh.equipments,
    };
}

/** Other words in the place of the first such; in the isolation valve's files before all others, as more examples come. */
export function replaced(files: readonly SourceFile[], old: string, words: string): SourceFile[] {
    const all = files.filter(({ text }) => text.includes(old));
    const own = all.filter(({ path }) => path.includes('isolation-valve/'));
    const holding = own.length > 0 ? own : all;
    if (holding.length !== 1) throw new Error(`${holding.length} files hold ${JSON.stringify(old)}`);
    return files.map(file => (file === holding[0] ? { ...file, text: file.text.replace(old, () => words) } : file));
}

export const between = (old: readonly SourceFile[], now: readonly SourceFile[]): Comparison =>
    compare(judge(old), judge(now));

export const cardOf = (comparison: Comparison, name: string): CardComparison | undefined =>
    comparison.cards.find(each => each.card === name);
