/**
 * Where a control goes that was held by hand: back to how it stood before. Followed along the flow, once a kept slot; where the ways that lead
 * to the hold left it differently, nothing can be said.
 */
import type { Machine } from '../machine/machine.js';
import type { Event, Setting } from './plan.js';

const several = -2;
type Mutable<T> = { -readonly [K in keyof T]: T[K] };

/** Sets the `state` of every `keep-end`. Gives the `keep-start`s of which it cannot be told. */
export function settleReleases(events: readonly Event[], start: readonly Setting[], machine: Machine): Event[] {
    const kept = new Set(events.flatMap(event => (event.kind === 'keep-start' ? [event.slot] : [])));
    const untold: Event[] = [];
    for (const slot of kept) {
        const settings = start.find(each => each.slot === slot)?.states;
        const normal = machine.slots[slot]?.normal ?? 0;
        const first = settings === undefined ? normal : settings.length === 1 ? (settings[0] as number) : several;
        /** By event: the state of the slot before it, and what it stood at before it was held. */
        const before: { state: number; held: number }[] = [];
        before[0] = { state: first, held: first };
        for (const event of events) {
            const at = before[event.id];
            if (!at) continue;
            let { state, held } = at;
            if ('slot' in event && event.slot === slot) {
                if (event.kind === 'operate') state = event.state;
                else if (event.kind === 'press') state = event.released;
                else if (event.kind === 'keep-start') {
                    if (state === several) untold.push(event);
                    held = state;
                    state = event.state;
                } else if (event.kind === 'keep-end') {
                    state = held === several ? normal : held;
                    (event as Mutable<typeof event>).state = state;
                } else if (event.kind === 'branch' || event.kind === 'look') {
                    // A look that is met tells how it stands.
                    pass(before, event.next, event.kind === 'look' && event.look !== 'see' ? state : event.state, held);
                    pass(before, event.other, state, held);
                    continue;
                }
            }
            pass(before, event.next, state, held);
            pass(before, event.other, state, held);
        }
    }
    return untold;
}

function pass(before: { state: number; held: number }[], to: number, state: number, held: number): void {
    if (to < 0) return;
    const there = before[to];
    if (!there) before[to] = { state, held };
    else {
        if (there.state !== state) there.state = several;
        if (there.held !== held) there.held = several;
    }
}
