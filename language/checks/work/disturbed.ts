import { disturbedBy } from '../../failures/which.js';
import type { Machine } from '../../machine/machine.js';
import type { PathState } from '../../paths/paths.js';
import { isAlreadySo } from '../../paths/rules.js';
import type { Event } from '../../plan/plan.js';

type Operate = Extract<Event, { kind: 'operate' }>;

const APART: ReadonlySet<string> = new Set(['remove', 'disconnect', 'open']);
const BACK: ReadonlySet<string> = new Set(['install', 'connect', 'close']);

/** The event takes something off, parts or opens it, or puts it back, as far as it does anything. */
export function handles(event: Event, state: PathState): event is Operate {
    return event.kind === 'operate' && (APART.has(event.verb) || BACK.has(event.verb)) && !isAlreadySo(event, state);
}

/**
 * What must be looked at anew after the event: what it disturbs, and the thing itself whatever it is, when it comes apart and again when it goes back, since
 * what was seen in between was seen of something that is handled once more.
 */
export function handled(machine: Machine, event: Event, state: PathState): readonly number[] {
    if (!handles(event, state) || machine.items[event.item]?.kind === 'breaker') return [];
    const disturbed = disturbedBy(machine, event);
    return disturbed.includes(event.item) ? disturbed : [event.item, ...disturbed];
}
