import type { Related } from '../findings/finding.js';
import type { Event } from '../plan/plan.js';

/** "61", or "61 (in DriveAlone, called at line 98)". */
export function lineOf(event: Event): string {
    const call = event.calls[event.calls.length - 1];
    return call ? `${event.span.line} (in ${call.name}, called at line ${call.span.line})` : `${event.span.line}`;
}

/** One related place a call, innermost first. */
export function calledFrom(event: Event): Related[] {
    return [...event.calls].reverse().map((call) => ({ span: call.span, message: `${call.name} is called here` }));
}
