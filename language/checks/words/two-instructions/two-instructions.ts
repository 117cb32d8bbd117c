import type { Finding } from '../../../findings/finding.js';
import { secondInstruction, sentencesOf } from '../../../vocabulary/prose.js';
import type { Check } from '../../check.js';
import { beginning, calls, place, printedLines, textsOf } from '../printed.js';

/** A sentence that asks for two things, one after the other. */
export const twoInstructions: Check = {
    code: 'two-instructions',
    family: 'words',
    severity: 'information',
    title: 'One sentence gives two instructions',
    ofCard: ({ plan }) => {
        const prose = new Set(plan.events.flatMap(event => (event.kind === 'prose' ? [event.key] : [])));
        const found: Finding[] = [];
        for (const { line } of printedLines(plan)) {
            if (line.kind !== 'act' || !line.keys.some(key => prose.has(key))) continue;
            for (const [n, sentence] of textsOf(line).flatMap(sentencesOf).entries()) {
                const second = secondInstruction(sentence);
                if (second === undefined) continue;
                found.push({
                    code: 'two-instructions',
                    severity: 'information',
                    span: line.span,
                    card: plan.card,
                    about: [plan.card],
                    message: `This sentence gives two instructions; the second is "${beginning(second)}". Write it as an action of its own, or say that both are done at the same time.`,
                    related: calls(line),
                    fixes: [],
                    cause: `${place(line.span)} ${n}`,
                });
            }
        }
        return found;
    },
};
