import type { Finding } from '../../../findings/finding.js';
import { countWords, mostWords, sentencesOf } from '../../../vocabulary/prose.js';
import type { Check } from '../../check.js';
import { beginning, calls, place, printedLines, textsOf } from '../printed.js';

/** A sentence of the finished card that has more words than a reader takes in at once. */
export const sentenceTooLong: Check = {
    code: 'sentence-too-long',
    family: 'words',
    severity: 'information',
    title: 'A sentence of the finished card has too many words',
    ofCard: ({ plan, settings }) => {
        const found: Finding[] = [];
        const most = { ...mostWords, ...settings.sentence };
        for (const { line } of printedLines(plan)) {
            const isNote = line.kind === 'alert' && line.alert === 'note';
            const limit = isNote ? most.note : most.step;
            for (const [n, sentence] of textsOf(line).flatMap(sentencesOf).entries()) {
                const words = countWords(sentence);
                if (words <= limit) continue;
                found.push({
                    code: 'sentence-too-long',
                    severity: 'information',
                    span: line.span,
                    card: plan.card,
                    about: [plan.card],
                    message: `This sentence has ${words} words, and ${isNote ? 'in a note' : 'in a step'} ${limit} is the most: "${beginning(sentence)}" Make two of it.`,
                    related: calls(line),
                    fixes: [],
                    // In a loop the same sentence comes with other labels.
                    cause: `${place(line.span)} ${n}`,
                });
            }
        }
        return found;
    },
};
