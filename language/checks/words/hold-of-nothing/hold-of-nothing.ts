import type { Finding } from '../../../findings/finding.js';
import { calledFrom, roleName } from '../../../findings/phrases.js';
import type { Check } from '../../check.js';

/** An inspection that does not say what is inspected. */
export const holdOfNothing: Check = {
    code: 'hold-of-nothing',
    family: 'words',
    severity: 'information',
    title: 'An inspection names no thing',
    ofCard: ({ plan }) => {
        const found: Finding[] = [];
        for (const event of plan.events) {
            if (event.kind !== 'hold' || event.refs.length > 0) continue;
            found.push({
                code: 'hold-of-nothing',
                severity: 'information',
                span: event.span,
                card: plan.card,
                about: [plan.roles[event.role]?.name ?? '', plan.card],
                message: `This hold for ${roleName(plan, event.role)} names no thing, so nothing shows whether the inspector can still see it and who worked on it. Write what is inspected in brackets, as in "[ACT] is secure."`,
                related: calledFrom(event),
                fixes: [],
                cause: event.key,
            });
        }
        return found;
    },
};
