/** What it costs to compare two revisions of a long card, beside checking both of them from nothing in the same run. */
import { check, type SourceFile } from '../../language/check.js';
import { compare } from '../../language/readers/comparison/index.js';
import { card, equipment } from './texts.js';

/** At most so many times what checking both sides costs. */
const most = 1.5;

/** A revision as it comes in for approval: here and there a time, a word, a line that has gone, moved or come. */
function revised(text: string): string {
    const lines = text.split('\n');
    const every = (n: number, is: string, change: (line: string) => string): void => {
        let met = 0;
        for (const [at, line] of lines.entries()) if (line.includes(is) && ++met % n === 0) lines[at] = change(line);
    };
    every(7, 'wait 90 s', line => line.replace('90', '60'));
    every(9, 'see STREAM is NONE', () => '');
    every(11, 'Clean the seat', line => line.replace('lint-free', 'dry'));
    every(13, 'tech: clean DRIP', line => `${line}\n    wait 5 s`);
    every(17, 'deck: close CB-218', () => '');
    return lines.join('\n');
}

export function benchComparison(actions = 2000, rounds = 3): string {
    const text = card(actions);
    const sides = [text, revised(text)].map((each): readonly SourceFile[] => [
        ...equipment,
        { path: 'card.cotter', text: each },
    ]);
    const judge = () => sides.map(files => check(files, {}, { fixes: 'none' }));
    const time = <T>(work: () => T): { readonly ms: number; readonly result: T } => {
        const start = performance.now();
        const result = work();
        return { ms: performance.now() - start, result };
    };
    let [checking, comparing, changes] = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY, 0];
    for (let n = 0; n < rounds; n++) {
        checking = Math.min(checking, time(judge).ms);
        const whole = time(() => {
            const [old, now] = judge();
            return old && now ? compare(old, now) : undefined;
        });
        comparing = Math.min(comparing, whole.ms);
        changes = whole.result?.cards[0]?.changes.length ?? 0;
    }
    return (
        `\nTwo revisions of a card of ${actions.toLocaleString('en-US')} actions, ${changes} changes; beside checking both sides from nothing.\n\n` +
        `  check both and compare      ${(comparing / checking).toFixed(2)}   (at most ${most})\n`
    );
}
