import type { Finding } from '../../../findings/finding.js';
import { instructs, sentencesOf } from '../../../vocabulary/prose.js';
import type { Check } from '../../check.js';
import { calls, place, printedLines, textsOf } from '../printed.js';

/** Something to do that stands where nobody initials for it. */
export const instructionInNote: Check = {
    code: 'instruction-in-note',
    family: 'words',
    severity: 'information',
    title: 'A note gives an instruction',
    ofCard: ({ plan }) => {
        const found: Finding[] = [];
        for (const { line } of printedLines(plan)) {
            if (line.kind !== 'alert' || line.alert !== 'note') continue;
            const verb = textsOf(line).flatMap(sentencesOf).map(instructs).find(Boolean);
            if (verb === undefined) continue;
            found.push({
                code: 'instruction-in-note',
                severity: 'information',
                span: line.span,
                card: plan.card,
                about: [plan.card],
                message: `This note gives an instruction ("${verb}"), and nobody initials for a note. Write it as an action of a role, or as a warning or caution if it averts harm.`,
                related: calls(line),
                fixes: [],
                cause: place(line.span),
            });
        }
        return found;
    },
};
