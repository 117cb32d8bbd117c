import type { Check } from '../check.js';
import { cannotBeSeen } from './cannot-be-seen/cannot-be-seen.js';
import { expectationContradicted } from './expectation-contradicted/expectation-contradicted.js';
import { limitTooWide } from './limit-too-wide/limit-too-wide.js';
import { notJudged } from './not-judged/not-judged.js';
import { passesFailed } from './passes-failed/passes-failed.js';
import { shownBefore } from './shown-before/shown-before.js';
import { vacuousLook } from './vacuous-look/vacuous-look.js';

export const expectationChecks: readonly Check[] = [
    expectationContradicted,
    cannotBeSeen,
    notJudged,
    limitTooWide,
    passesFailed,
    vacuousLook,
    shownBefore,
];
