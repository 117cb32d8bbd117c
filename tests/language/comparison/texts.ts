/** The examples, and what a comparison says of a changed text of theirs. */
import { readFileSync } from 'node:fs';
import { globSync } from 'tinyglobby';
import { check, type Report, type SourceFile } from '../../../language/check.js';
import { type CardComparison, type Comparison, compare } from '../../../language/readers/comparison/index.js';

export const examples: readonly SourceFile[] = globSync('examples/northlight/**/*.cotter')
    .sort()
    .map(path => ({ path, text: readFileSync(path, 'utf8') }));

export const judge = (files: readonly SourceFile[]): Report => check(files, {}, { fixes: 'none' });

/** In every file that holds it, the words that stand there once; other words in their place. */
export function replaced(files: readonly SourceFile[], old: string, words: string): SourceFile[] {
    const holding = files.filter(({ text }) => text.includes(old));
    if (holding.length !== 1) throw new Error(`${holding.length} files hold ${JSON.stringify(old)}`);
    return files.map(file => (file === holding[0] ? { ...file, text: file.text.replace(old, () => words) } : file));
}

export const between = (old: readonly SourceFile[], now: readonly SourceFile[]): Comparison =>
    compare(judge(old), judge(now));

export const cardOf = (comparison: Comparison, name: string): CardComparison | undefined =>
    comparison.cards.find(each => each.card === name);
