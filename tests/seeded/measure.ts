/** Makes every change of the clean cards and looks what answers. */
import { check, type Finding } from '../../language/check.js';
import { textsIn } from '../marks.js';
import { expected } from './expected.js';
import { changed } from './harmless.js';
import { type Kind, type Mutant, mutantsOf } from './mutants.js';

export type Outcome =
    /** By a code that the kind calls for. */
    | 'answered'
    /** By some other code. */
    | 'answered otherwise'
    /** Shown by running to be no defect. */
    | 'proved harmless'
    | 'survived';

export interface Result {
    readonly mutant: Mutant;
    readonly card: string;
    readonly outcome: Outcome;
    readonly codes: readonly string[];
    /** What differs when it is run; empty where nothing does. */
    readonly differs: string;
}

const jobs = ['isolation-valve', 'smoke-detectors', 'oil-filter'];
const folder = 'examples/northlight';

export function measure(only?: (mutant: Mutant) => boolean): Result[] {
    const aircraft = textsIn(`${folder}/aircraft`);
    return jobs.flatMap(job => {
        const own = textsIn(`${folder}/${job}`);
        const clean = check([...aircraft, ...own]);
        if (clean.findings.length > 0) throw new Error(`${job} is not clean`);
        return mutantsOf(own)
            .filter(each => only?.(each) ?? true)
            .map((mutant): Result => {
                const sources = own.map(file => (file.path === mutant.file ? { ...file, text: mutant.text } : file));
                const report = check([...aircraft, ...sources], {}, { fixes: 'none' });
                const codes = [...new Set(report.findings.map((finding: Finding) => finding.code))].sort();
                const wanted = expected[mutant.kind];
                // A change that is answered must not be called harmless either: the proof is tried on all of them.
                const differs =
                    report.cards.some(each => each.status === 'unknown' && codes.length > 0) ||
                    report.judged.length === 0
                        ? 'not a whole card'
                        : (report.judged
                              .map((after, index) => {
                                  const before = clean.judged[index];
                                  return before ? changed(before, after, mutant) : 'there is another card';
                              })
                              .find(each => each !== undefined) ?? '');
                const outcome: Outcome =
                    codes.length > 0
                        ? !wanted || codes.some(code => wanted.includes(code))
                            ? 'answered'
                            : 'answered otherwise'
                        : differs
                          ? 'survived'
                          : 'proved harmless';
                return { mutant, card: job, outcome, codes, differs };
            });
    });
}

export function table(results: readonly Result[], kinds: readonly Kind[]): string {
    const outcomes: readonly Outcome[] = ['answered', 'answered otherwise', 'proved harmless', 'survived'];
    const heads = ['change', 'made', ...outcomes];
    const rows = kinds.map(kind => {
        const own = results.filter(each => each.mutant.kind === kind);
        return [kind, own.length, ...outcomes.map(outcome => own.filter(each => each.outcome === outcome).length)];
    });
    const sum = ['all', ...heads.slice(1).map((_, n) => rows.reduce((total, row) => total + Number(row[n + 1]), 0))];
    const lines = [heads, ...rows, sum].map(row =>
        row.map((cell, n) => (n === 0 ? String(cell).padEnd(20) : String(cell).padStart(19))).join(''),
    );
    return lines.join('\n');
}
