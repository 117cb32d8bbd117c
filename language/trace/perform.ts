import { type Machine, NONE } from '../machine/machine.js';
import type { Simulator } from '../machine/simulator.js';
import type { Event, LookEvent } from '../plan/plan.js';

/** By item and state, the band that a gauge shows. */
export function bandOf(machine: Machine, item: number, state: number): { low: number; high: number } | undefined {
    const shown = machine.items[item]?.shows.find(show => show.state === state)?.band;
    return shown ?? machine.ownFailures.find(own => own.changes === item && own.state === state)?.band;
}

/** Of a breaker: after CLOSED and PULLED. */
const TRIPPED = 2;

/** The state of a gauge in which what it shows lies within the limits, or NONE. */
export function stateWithin(machine: Machine, item: number, limits: LookEvent['limits']): number {
    const fits = (band: { low: number; high: number } | undefined): boolean =>
        band !== undefined && limits !== undefined && band.low >= limits.low && band.high <= limits.high;
    return machine.items[item]?.shows.find(show => fits(show.band))?.state ?? NONE;
}

/** Whether the thing is seen in the state. A breaker that is closed and has tripped is seen to have tripped. */
function isSeen(
    sim: Simulator,
    event: { readonly item: number; readonly slot: number; readonly state: number },
): boolean {
    const { fault, cells } = sim;
    if (fault?.kind === 'contact' && fault.closed === 0 && fault.item === event.item && cells[event.slot] === 0)
        if (event.slot === sim.machine.items[event.item]?.slot) return event.state === TRIPPED;
    return cells[event.slot] === event.state;
}

/** Whether the look is met at this moment, its timing aside. A measure is outside the machine: undefined. */
export function isMet(sim: Simulator, event: LookEvent): boolean | undefined {
    if (event.look === 'measure') return undefined;
    if (event.look === 'see') return isSeen(sim, event);
    const state = sim.cells[event.slot] as number;
    const shown = state === NONE ? undefined : bandOf(sim.machine, event.item, state);
    return (
        shown !== undefined &&
        event.limits !== undefined &&
        shown.low >= event.limits.low &&
        shown.high <= event.limits.high
    );
}

/**
 * Does one event to the machine, lets its time pass, and says how a look or branch came out.
 * Only waits, the timing of looks and the hold of a button take time.
 */
export function perform(sim: Simulator, event: Event): boolean | undefined {
    sim.event = event.id;
    switch (event.kind) {
        case 'operate': {
            if (event.ensure && sim.cells[event.slot] === event.state) return undefined;
            sim.operate(event.slot, event.state);
            const item = sim.machine.items[event.item];
            if (item?.kind === 'breaker' && event.verb === 'close' && item.tag !== NONE) sim.operate(item.tag, 0);
            if (event.fresh) sim.renew(event.item);
            return undefined;
        }
        case 'tag':
        case 'keep-start':
        case 'keep-end':
            sim.operate(event.slot, event.state);
            return undefined;
        case 'press':
            sim.operate(event.slot, event.pressed);
            if (event.guaranteed > 0) sim.pass(event.guaranteed, true);
            sim.operate(event.slot, event.released);
            return undefined;
        case 'wait':
            sim.pass(event.guaranteed, true);
            return undefined;
        case 'branch':
            return isSeen(sim, event);
        case 'look':
            return look(sim, event);
        default:
            return undefined;
    }
}

function look(sim: Simulator, event: LookEvent): boolean | undefined {
    const met = (): boolean => isMet(sim, event) === true;
    if (event.look === 'measure') return undefined;
    if (event.for !== NONE) {
        let stays = met();
        sim.pass(event.for, true, () => {
            stays &&= met();
            return false;
        });
        // Whoever sees it fail does not go on looking.
        if (!stays) sim.takeBack(event.for);
        return stays;
    }
    let early = false;
    let left = event.within;
    if (event.after !== NONE) {
        early = event.after > 0 && met();
        const due = sim.now + event.after;
        sim.pass(event.after, true, () => {
            early ||= sim.now < due && met();
            return false;
        });
        left -= event.after;
    }
    if (!met() && left > 0) sim.pass(left, false, met);
    return !early && met();
}
