import type { Check } from '../check.js';
import { needsFirst } from './preconditions.js';

/** What the work itself asks for, whatever the equipment says. */
export const workChecks: readonly Check[] = [
    {
        code: 'needs-first',
        family: 'work',
        severity: 'warning',
        title: 'Something else must be done first',
        ofCard: needsFirst,
    },
];
