import type { Check } from './check.js';
import { equipmentChecks } from './equipment/index.js';
import { expectationChecks } from './expectation/index.js';
import { testNotIsolated } from './isolation/test-not-isolated/test-not-isolated.js';
import { leftBehindChecks } from './left-behind/index.js';
import { textChecks } from './text/index.js';

export type { Check, Family, Judged } from './check.js';

/** The table of contents: every check, by family. */
export const checks: readonly Check[] = [
    ...textChecks,
    ...equipmentChecks,
    ...leftBehindChecks,
    testNotIsolated,
    ...expectationChecks,
];
