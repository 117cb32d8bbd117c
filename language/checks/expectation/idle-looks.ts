import { type Idle, idleLooks } from '../../failures/idle.js';
import { NONE } from '../../machine/machine.js';
import type { LookEvent } from '../../plan/plan.js';
import type { Judged } from '../check.js';

const known = new WeakMap<Judged, readonly Idle[]>();

/** The looks that nothing changes, and those that only repeat; computed once a card. */
export function idle(card: Judged): readonly Idle[] {
    let found = known.get(card);
    if (!found) {
        found = card.traces.plainHolds ? idleLooks(card.machine, card.plan, card.runs, card.failures()) : [];
        known.set(card, found);
    }
    return found;
}

/** "ON", "2,850 to 3,150 psi": what the look asks for. */
export function expected({ machine }: Judged, look: LookEvent): string {
    return (look.look === 'see' ? machine.slots[look.slot]?.states[look.state] : look.limits?.text) ?? '';
}

export const isVacuous = (each: Idle): boolean => each.before === NONE;
