import type { Check } from '../check.js';
import { cannotBeSeen } from './cannot-be-seen/cannot-be-seen.js';
import { expectationContradicted } from './expectation-contradicted/expectation-contradicted.js';
import { notJudged } from './not-judged/not-judged.js';

export const expectationChecks: readonly Check[] = [expectationContradicted, cannotBeSeen, notJudged];
