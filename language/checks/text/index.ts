import type { Check } from '../check.js';
import { acceptUnused } from './accept-unused/accept-unused.js';
import { callsItself } from './calls-itself/calls-itself.js';
import { duplicateName } from './duplicate-name/duplicate-name.js';
import { notOnThisAircraft } from './not-on-this-aircraft/not-on-this-aircraft.js';
import { syntax } from './syntax/syntax.js';
import { tooManyVariants } from './too-many-variants/too-many-variants.js';
import { unitMismatch } from './unit-mismatch/unit-mismatch.js';
import { unknownName } from './unknown-name/unknown-name.js';
import { unknownState } from './unknown-state/unknown-state.js';
import { wrongArguments } from './wrong-arguments/wrong-arguments.js';
import { wrongVerb } from './wrong-verb/wrong-verb.js';

/** What is wrong with the text as such, whatever the aircraft does. */
export const textChecks: readonly Check[] = [
    syntax,
    unknownName,
    duplicateName,
    wrongVerb,
    unknownState,
    unitMismatch,
    wrongArguments,
    callsItself,
    notOnThisAircraft,
    tooManyVariants,
    acceptUnused,
];
