import type { ParsedProject } from '../../names/project.js';
import type { Check } from '../check.js';
import { acceptUnused } from './accept-unused/accept-unused.js';
import { callsItself } from './calls-itself/calls-itself.js';
import { duplicateName } from './duplicate-name/duplicate-name.js';
import { neverUsed } from './never-used/never-used.js';
import { notOnThisAircraft } from './not-on-this-aircraft/not-on-this-aircraft.js';
import { rangeReversed } from './range-reversed/range-reversed.js';
import { sameLabel } from './same-label/same-label.js';
import { syntax } from './syntax/syntax.js';
import { tooManyVariants } from './too-many-variants/too-many-variants.js';
import { toolOutOfRange } from './tool-out-of-range/tool-out-of-range.js';
import { unitMismatch } from './unit-mismatch/unit-mismatch.js';
import { unknownName } from './unknown-name/unknown-name.js';
import { unknownState } from './unknown-state/unknown-state.js';
import { wrongArguments } from './wrong-arguments/wrong-arguments.js';
import { wrongVerb } from './wrong-verb/wrong-verb.js';

/** A line that could not be read says nothing more that is worth judging: one slip, one finding. */
function whereRead(check: Check): Check {
    const { ofText } = check;
    if (!ofText) return check;
    return {
        ...check,
        ofText: project => {
            const unread = linesUnread(project);
            return ofText(project).filter(({ span }) => !unread.has(`${span.line} ${span.file}`));
        },
    };
}

function linesUnread(project: ParsedProject): ReadonlySet<string> {
    return new Set(project.files.flatMap(file => file.syntax.map(({ span }) => `${span.line} ${span.file}`)));
}

/** What is wrong with the text as such, whatever the aircraft does. */
export const textChecks: readonly Check[] = [
    syntax,
    whereRead(unknownName),
    whereRead(duplicateName),
    whereRead(wrongVerb),
    whereRead(unknownState),
    whereRead(unitMismatch),
    whereRead(rangeReversed),
    whereRead(wrongArguments),
    whereRead(callsItself),
    whereRead(notOnThisAircraft),
    toolOutOfRange,
    sameLabel,
    neverUsed,
    tooManyVariants,
    acceptUnused,
];
