import type { Check } from '../check.js';
import { alertAfterAction } from './alert-after-action/alert-after-action.js';
import { holdOfNothing } from './hold-of-nothing/hold-of-nothing.js';
import { instructionInNote } from './instruction-in-note/instruction-in-note.js';
import { noRevision } from './no-revision/no-revision.js';
import { sentenceTooLong } from './sentence-too-long/sentence-too-long.js';
import { twoInstructions } from './two-instructions/two-instructions.js';

/** What the words of a card owe to whoever reads it. */
export const wordsChecks: readonly Check[] = [
    noRevision,
    alertAfterAction,
    sentenceTooLong,
    twoInstructions,
    instructionInNote,
    holdOfNothing,
];
