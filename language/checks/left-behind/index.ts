import type { Check } from '../check.js';
import { alreadySo } from './already-so/already-so.js';
import { handoverMismatch } from './handover-mismatch/handover-mismatch.js';
import { findingsOf } from './report.js';

const left = (code: string, title: string): Check => ({
    code,
    family: 'left-behind',
    severity: 'error',
    title,
    ofCard: card => findingsOf(card, code),
});

/** A clean card leaves the aircraft as it found it, on every path and at every way out. */
export const leftBehindChecks: readonly Check[] = [
    left('breaker-left-pulled', 'A breaker is still pulled when the card ends'),
    left('left-open', 'A door or a port is still open when the card ends'),
    left('left-disconnected', 'A connector is still disconnected when the card ends'),
    left('left-removed', 'Something that was removed is not installed again when the card ends'),
    left('left-installed', 'A pin, cap, cover or chock is still in place when the card ends'),
    left('left-wet', 'A place that got wet is not cleaned when the card ends'),
    left('left-moved', 'Something that moves by itself rests elsewhere when the card ends'),
    left('left-connected', 'A lead is still connected when the card ends'),
    left('left-applied', 'A stimulus is still applied when the card ends or stops'),
    left('control-not-returned', 'A control is not as it was found when the card ends or stops'),
    left('untagged-at-stop', 'A breaker is pulled without a tag where the card ends or stops'),
    left('finish-not-reached', 'Something is not as "finish with" says when the card ends'),
    alreadySo,
    handoverMismatch,
];
