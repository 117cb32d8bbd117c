import type { Check } from '../../check.js';
import { spanAt } from '../../edits.js';

/** A card that does not say which revision it is cannot be told from the one before. */
export const noRevision: Check = {
    code: 'no-revision',
    family: 'words',
    severity: 'information',
    title: 'A card does not say which revision it is',
    ofCard: ({ plan, text }) => {
        if (plan.revision !== '') return [];
        const whole = text(plan.file);
        const brace = whole.indexOf('{', plan.span.offset);
        const end = brace < 0 ? plan.span.end : whole.slice(0, brace).trimEnd().length;
        return [
            {
                code: 'no-revision',
                severity: 'information',
                span: spanAt(whole, plan.file, plan.span.offset, end),
                card: plan.card,
                about: [plan.card],
                message: `${plan.card} does not say which revision it is. Write: revision "1" dated "2026-01-31".`,
                related: [],
                fixes: [],
                cause: 'no-revision',
            },
        ];
    },
};
