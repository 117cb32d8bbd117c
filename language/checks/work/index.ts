import type { Check } from '../check.js';
import { notMeasured, notRecorded } from './measured.js';
import { notInspected } from './not-inspected/not-inspected.js';
import { notLeakChecked } from './not-leak-checked/not-leak-checked.js';
import { notTested } from './not-tested/not-tested.js';
import { notTorqued } from './not-torqued/not-torqued.js';
import { needsFirst } from './preconditions.js';
import { sealNotRenewed, spareNotUsed } from './spares.js';
import { torqueOutside } from './torque-outside/torque-outside.js';

/** What the work itself asks for, whatever the equipment says. */
export const workChecks: readonly Check[] = [
    {
        code: 'needs-first',
        family: 'work',
        severity: 'warning',
        title: 'Something else must be done first',
        ofCard: needsFirst,
    },
    {
        code: 'seal-not-renewed',
        family: 'work',
        severity: 'warning',
        title: 'A seal goes back as it came off',
        ofCard: sealNotRenewed,
    },
    {
        code: 'spare-not-used',
        family: 'work',
        severity: 'warning',
        title: 'A spare is not fitted, is fitted more often than there are, or where it does not belong',
        ofCard: spareNotUsed,
    },
    notTorqued,
    torqueOutside,
    {
        code: 'not-measured',
        family: 'work',
        severity: 'warning',
        title: 'What must be measured after work is not measured on every way',
        ofCard: notMeasured,
    },
    {
        code: 'not-recorded',
        family: 'work',
        severity: 'warning',
        title: 'A value that the equipment asks for is measured and not written down',
        ofCard: notRecorded,
    },
    notInspected,
    notTested,
    notLeakChecked,
];
