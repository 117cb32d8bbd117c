import type { Check } from '../check.js';
import { isolationRules } from './broken-rules.js';
import { openedUnderPressure, workedOnLive } from './live-work.js';
import { testNotIsolated } from './test-not-isolated/test-not-isolated.js';

/** Nothing is worked on live, under pressure or against a rule, and a test proves what it names. */
export const isolationChecks: readonly Check[] = [
    ...isolationRules,
    {
        code: 'worked-on-live',
        family: 'isolation',
        severity: 'error',
        title: 'A unit or a connector is handled while a motor in it is fed',
        ofCard: workedOnLive,
    },
    {
        code: 'opened-under-pressure',
        family: 'isolation',
        severity: 'error',
        title: 'A joint is opened while what it carries may be live',
        ofCard: openedUnderPressure,
    },
    testNotIsolated,
];
