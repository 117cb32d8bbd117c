import { type Item, type Machine, NONE } from '../machine/machine.js';
import { kindOf } from '../vocabulary/kinds/index.js';
import type { PathState } from './paths.js';

/** The place is the other one, or lies in it. */
export function liesIn(machine: Machine, place: number, other: number): boolean {
    for (
        let at = place, n = 0;
        at !== NONE && n <= machine.places.length;
        at = machine.places[at]?.within ?? NONE, n++
    ) {
        if (at === other) return true;
    }
    return false;
}

/** The item is the unit, or is in it at any depth. */
export function isIn(machine: Machine, item: number, unit: number): boolean {
    for (let at = item, n = 0; at !== NONE && n <= machine.items.length; at = machine.items[at]?.unit ?? NONE, n++) {
        if (at === unit) return true;
    }
    return false;
}

/** The unit that the item is in, the one that is in, and so on; the item itself is not among them. */
export function unitsOf(machine: Machine, item: number): readonly number[] {
    const units: number[] = [];
    for (let at = machine.items[item]?.unit ?? NONE; at !== NONE && units.length <= machine.items.length; ) {
        units.push(at);
        at = machine.items[at]?.unit ?? NONE;
    }
    return units;
}

/** Slots and the state of each in which the item stands in the way, holds or works: installed, closed, connected. */
export function onStates(
    machine: Machine,
    index: number,
): readonly { readonly slot: number; readonly state: number }[] {
    const item = machine.items[index] as Item;
    const kind = kindOf(item.kind);
    const found: { slot: number; state: number }[] = [];
    if (!kind.isPresence && kind.on) found.push({ slot: item.slot, state: item.states.indexOf(kind.on) });
    if (item.presence !== NONE) {
        found.push({ slot: item.presence, state: machine.slots[item.presence]?.states.indexOf('INSTALLED') ?? 0 });
    }
    return found;
}

/** On no path does the item stand in the way, hold or work. */
export function surelyOff(machine: Machine, state: PathState, index: number): boolean {
    return onStates(machine, index).some(each => state.facts[each.slot]?.every(fact => fact.state !== each.state));
}

/** On every path the item stands in the way, holds or works. */
export function surelyOn(machine: Machine, state: PathState, index: number): boolean {
    return onStates(machine, index).every(each => state.facts[each.slot]?.every(fact => fact.state === each.state));
}

/** The covers that may be on between a place and another that it lies in (NONE: all the way out). */
export function coversOn(machine: Machine, state: PathState, place: number, outer: number): readonly number[] {
    const on: number[] = [];
    for (let at = place, n = 0; at !== NONE && at !== outer && n <= machine.places.length; n++) {
        const here = machine.places[at];
        for (const cover of here?.behind ?? []) if (!surelyOff(machine, state, cover)) on.push(cover);
        at = here?.within ?? NONE;
    }
    return on;
}

export type Reach =
    | { readonly ok: true }
    /** It may have its base where the place does not lie; NONE: it has none. */
    | { readonly ok: false; readonly why: 'elsewhere'; readonly base: number }
    | { readonly ok: false; readonly why: 'covered'; readonly covers: readonly number[] };

/** Whether the role reaches the place on every path: its base and every place in it whose covers are off. */
export function reach(machine: Machine, state: PathState, role: number, place: number): Reach {
    const covers: number[] = [];
    for (const base of state.base[role] ?? []) {
        if (base === NONE || !liesIn(machine, place, base)) return { ok: false, why: 'elsewhere', base };
        for (const cover of coversOn(machine, state, place, base)) if (!covers.includes(cover)) covers.push(cover);
    }
    return covers.length > 0 ? { ok: false, why: 'covered', covers } : { ok: true };
}
