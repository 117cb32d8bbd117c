import type { Check } from '../check.js';
import { noRevision } from './no-revision/no-revision.js';

/** What the words of a card owe to whoever reads it. */
export const wordsChecks: readonly Check[] = [noRevision];
