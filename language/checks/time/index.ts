import type { Check } from '../check.js';
import { keptTooLong, restTooShort } from './held-controls.js';
import { noTimeLimit } from './no-time-limit/no-time-limit.js';
import { waitTooShort } from './waits.js';

const time = (code: string, title: string, ofCard: Check['ofCard']): Check => ({
    code,
    family: 'time',
    severity: 'error',
    title,
    ofCard,
});

/** Stated waits are long enough, and what may be held only briefly is. */
export const timeChecks: readonly Check[] = [
    time('wait-too-short', 'Something is done sooner than a rule allows', waitTooShort),
    time('kept-too-long', 'A control may be held for longer than allowed', keptTooLong),
    time('rest-too-short', 'A control is used again before it has rested', restTooShort),
    noTimeLimit,
];
