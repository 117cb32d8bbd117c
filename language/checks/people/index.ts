import type { Check } from '../check.js';
import { holdTooLate, roleNotThere } from './being-there.js';
import { holdTooEarly } from './hold-too-early/hold-too-early.js';
import { inspectorNotIndependent } from './independence.js';
import { sameHands } from './same-hands/same-hands.js';
import { notTold } from './telling.js';
import { unheard } from './unheard/unheard.js';

const people = (code: string, title: string, ofCard: Check['ofCard']): Check => ({
    code,
    family: 'people',
    severity: 'error',
    title,
    ofCard,
});

/** Everybody is where he acts, has heard what he must, and inspects what others have done. */
export const peopleChecks: readonly Check[] = [
    people('role-not-there', 'A role does something where it is not', roleNotThere),
    people('not-told', 'A role acts without having been told that it is clear', notTold),
    unheard,
    people('inspector-not-independent', 'A role inspects what it has worked on itself', inspectorNotIndependent),
    people('hold-too-late', 'A hold names something that is out of sight by then', holdTooLate),
    holdTooEarly,
    sameHands,
];
