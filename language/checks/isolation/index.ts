import type { Check } from '../check.js';
import { isolationRules } from './broken-rules.js';
import { openedUnderPressure, workedOnLive } from './live-work.js';
import { lockOutOfOrder } from './lock-out-of-order/lock-out-of-order.js';
import { notProvedDead } from './not-proved-dead/not-proved-dead.js';
import { closedWithWorkOpen, isolationLost } from './restored.js';
import { tagRemovedByAnother } from './tag-removed-by-another/tag-removed-by-another.js';
import { takenOnTrust } from './taken-on-trust/taken-on-trust.js';
import { testNotIsolated } from './test-not-isolated/test-not-isolated.js';
import { testNotLoaded } from './test-not-loaded/test-not-loaded.js';

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
    testNotLoaded,
    {
        code: 'isolation-lost',
        family: 'isolation',
        severity: 'error',
        title: 'What isolates something is taken away while part of it is still off',
        ofCard: isolationLost,
    },
    {
        code: 'closed-with-work-open',
        family: 'isolation',
        severity: 'error',
        title: 'Power, pressure or a cover comes back over something that is still off, or over somebody',
        ofCard: closedWithWorkOpen,
    },
    lockOutOfOrder,
    tagRemovedByAnother,
    takenOnTrust,
    notProvedDead,
];
