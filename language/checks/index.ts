import type { Check } from './check.js';
import { equipmentChecks } from './equipment/index.js';
import { expectationChecks } from './expectation/index.js';
import { isolationChecks } from './isolation/index.js';
import { leftBehindChecks } from './left-behind/index.js';
import { peopleChecks } from './people/index.js';
import { textChecks } from './text/index.js';
import { timeChecks } from './time/index.js';
import { wordsChecks } from './words/index.js';
import { workChecks } from './work/index.js';

export type { Check, Family, Judged } from './check.js';

/** The table of contents: every check, by family. */
export const checks: readonly Check[] = [
    ...textChecks,
    ...equipmentChecks,
    ...leftBehindChecks,
    ...timeChecks,
    ...isolationChecks,
    ...expectationChecks,
    ...peopleChecks,
    ...workChecks,
    ...wordsChecks,
];
