import type { Check } from '../../check.js';

/** An `accept` that accepts nothing any more. Found where findings are accepted (findings/accept), because only there it is known. */
export const acceptUnused: Check = {
    code: 'accept-unused',
    family: 'text',
    severity: 'warning',
    title: 'An accept that no longer accepts anything',
};
