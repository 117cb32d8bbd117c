import type { Related, Span } from '../../findings/finding.js';
import type { Call, PageLine, Plan } from '../../plan/plan.js';
import { type Sentence, wordsOf } from '../../vocabulary/sentences.js';

/** A line of the finished card, with its place in the order of print. */
export interface Printed {
    readonly line: PageLine;
    readonly order: number;
    /** The blocks around it that are not always done: `else`, `if`, `otherwise`. */
    readonly arms: readonly string[];
    /** Which step it stands in; -1 in the head of the card. */
    readonly step: number;
}

const cache = new WeakMap<Plan, readonly Printed[]>();

/** Every line of the card as it is printed, from top to bottom. */
export function printedLines(plan: Plan): readonly Printed[] {
    let found = cache.get(plan);
    if (!found) {
        const lines: Printed[] = [];
        const put = (all: readonly PageLine[], arms: readonly string[], step: number): void => {
            for (const line of all) {
                const order = lines.length;
                lines.push({ line, order, arms, step });
                if (line.kind === 'look') put(line.ifNot ?? [], [...arms, `${order} else`], step);
                if (line.kind === 'branch') {
                    put(line.then, [...arms, `${order} then`], step);
                    put(line.otherwise, [...arms, `${order} otherwise`], step);
                }
                if ('lines' in line) put(line.lines, arms, step);
            }
        };
        put(plan.page.alerts, [], -1);
        for (const [n, step] of plan.page.steps.entries()) put(step.lines, [], n);
        found = lines;
        cache.set(plan, found);
    }
    return found;
}

/** The texts of a line: what is spoken stands apart from what tells to speak. */
export function textsOf(line: PageLine): readonly string[] {
    const said: Sentence = 'sentence' in line ? line.sentence : [];
    const around = wordsOf(said.filter(each => each.role !== 'quote'));
    return [around, ...said.filter(each => each.role === 'quote').map(each => each.text)];
}

/** One related place a call, innermost first. */
export function calls(line: { readonly calls: readonly Call[] }): Related[] {
    return [...line.calls].reverse().map(call => ({ span: call.span, message: `${call.name} is called here` }));
}

/** The same line of the text, printed once for each call. */
export const place = (span: Span): string => `${span.file} ${span.offset}`;

/** The beginning of a sentence, for a message. */
export function beginning(sentence: string): string {
    const words = sentence.split(/\s+/);
    return words.length > 8 ? `${words.slice(0, 8).join(' ')} ...` : sentence;
}
