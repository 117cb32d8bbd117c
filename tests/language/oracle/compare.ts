/** Paths beside what the slow runner found: they must hold all of it, and be no wider where nothing excuses it. */
import { type Machine, NONE } from '../../../language/machine/machine.js';
import type { Paths } from '../../../language/paths/paths.js';
import type { Plan } from '../../../language/plan/plan.js';
import { nameOfSlot, type Walked } from './walk.js';

export interface Compared {
    /** Found by the slow runner and not held. */
    readonly lost: readonly string[];
    /** Held without having been found: cells that two branches bear on are left out. */
    readonly wider: readonly string[];
    readonly cells: number;
}

export function compare(walked: Walked, machine: Machine, plan: Plan, paths: Paths): Compared {
    const lost: string[] = [];
    const wider: string[] = [];
    let cells = 0;
    const correlated = borneOnTwice(machine, plan);
    for (const event of plan.events) {
        const found = walked.at.get(event.id);
        const held = paths.at[event.id];
        const where = `${event.kind} ${machine.items[event.item]?.name ?? ''} (event ${event.id}, line ${event.span.line})`;
        if (!found || !held) {
            if (found) lost.push(`${where} is reached`);
            if (held && !walked.cut) wider.push(`${where} is not reached`);
            continue;
        }
        const { sure, all } = found;
        for (let slot = 0; slot < machine.slots.length; slot++) {
            const name = nameOfSlot(machine, slot);
            if (!all.states.has(name)) continue;
            cells++;
            const exact = !walked.cut && !correlated.has(slot);
            const named = machine.slots[slot]?.states ?? [];
            const mask = held.states[slot] ?? 0;
            const states = new Set(named.filter((_, state) => mask & (1 << state)));
            differ(`${where}: ${name}`, sure?.states.get(name), states, all.states.get(name), exact);
            differ(`${where}: ${name} changed at`, sure?.by.get(name), new Set(held.by[slot]), all.by.get(name), exact);
            const facts = held.facts[slot];
            if (!facts) continue;
            const least = Math.min(...facts.map(fact => held.clock - fact.since));
            const most = sure?.least.get(name) ?? Number.POSITIVE_INFINITY;
            if (least > most + 1e-9) lost.push(`${where}: ${name} for ${most} s, not ${least} s`);
            const shortest = all.least.get(name) ?? 0;
            if (least < shortest - 1e-9 && exact) wider.push(`${where}: ${name} for ${shortest} s, not ${least} s`);
        }
        for (const [index, { name }] of plan.roles.entries()) {
            const names = (places: ReadonlySet<number> | undefined) =>
                new Set([...(places ?? [])].map(place => (place === NONE ? '' : (machine.places[place]?.name ?? '?'))));
            differ(
                `${where}: ${name} based at`,
                sure?.base.get(name),
                names(held.base[index]),
                all.base.get(name),
                !walked.cut,
            );
            // Where it may have its base in two places, which of them decides where it can have come to.
            const exact = !walked.cut && held.base[index]?.size === 1;
            differ(
                `${where}: ${name} stands at`,
                sure?.stands.get(name),
                names(held.stands[index]),
                all.stands.get(name),
                exact,
            );
        }
    }
    return { lost, wider, cells };

    function differ<T>(
        what: string,
        sure: ReadonlySet<T> | undefined,
        held: ReadonlySet<T>,
        all: ReadonlySet<T> | undefined,
        exact: boolean,
    ): void {
        for (const each of sure ?? []) if (!held.has(each)) lost.push(`${what} ${each}`);
        if (exact) for (const each of held) if (!all?.has(each)) wider.push(`${what} ${each}`);
    }
}

/**
 * Slots that more than one branch bears on: changed or looked at in the arms of two. Which arm of the one was taken then says
 * something about the other, and joined states cannot know it.
 */
function borneOnTwice(machine: Machine, plan: Plan): ReadonlySet<number> {
    const branches = new Map<number, Set<number>>();
    const bear = (slot: number, branch: number) => {
        const all = branches.get(slot);
        if (all) all.add(branch);
        else branches.set(slot, new Set([branch]));
    };
    for (const arm of plan.arms) {
        const until = arm.join < 0 ? plan.events.length : arm.join;
        for (let id = arm.entry; id < until; id++) {
            const event = plan.events[id];
            if (!event || !('slot' in event)) continue;
            bear(event.slot, arm.event);
            const item = machine.items[event.item];
            if (item && item.tag !== NONE) bear(item.tag, arm.event);
        }
        const at = plan.events[arm.event];
        if (at && 'slot' in at) bear(at.slot, arm.event);
    }
    const twice = new Set<number>();
    for (const [slot, all] of branches) if (all.size > 1) twice.add(slot);
    return twice;
}
