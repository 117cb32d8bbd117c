import type { Machine, Slot } from '../../machine/machine.js';
import { NONE } from '../../machine/machine.js';
import type { PathState, Paths } from '../../paths/paths.js';
import type { Plan, Setting } from '../../plan/plan.js';
import { kindOf } from '../../vocabulary/kinds/index.js';
import { list, noun } from '../../vocabulary/sentences.js';

/** One thing that is not as it was found, or may not be. */
interface Open {
    readonly item: number;
    /** "pulled and tagged", "at SHUT". */
    readonly how: string;
    /** The event that made it so: things are told in the order in which they came about. */
    readonly since: number;
}

/**
 * What is not as it was found when a path of the card comes to this event, as the end of a sentence: "CB-217 and CB-218
 * pulled and tagged, panel 147BL removed, bleed port open". "" where everything is as found. Speaks of what people changed;
 * what moves by itself is not told.
 */
export function openAt(
    event: number,
    plan: Plan,
    machine: Machine,
    paths: Paths,
    owed: readonly Setting[] = [],
): string {
    const state = paths.at[event];
    if (!state) return 'not known, because no path through the card leads here';
    const asFound = (slot: number): readonly number[] => {
        const given = [...owed, ...plan.start].find(setting => setting.slot === slot)?.states;
        // Where the card must find out, what it found is not what it owes: the normal state is.
        return given?.length === 1 ? given : [machine.slots[slot]?.normal ?? 0];
    };
    const open = machine.items
        .map((_, item) => openItem(item, machine, state, asFound))
        .filter(each => each !== undefined)
        .sort((a, b) => a.since - b.since);
    return told(open, machine);
}

function openItem(
    item: number,
    machine: Machine,
    state: PathState,
    asFound: (slot: number) => readonly number[],
): Open | undefined {
    const { slot, presence, tag, kind } = itemOf(machine, item);
    const parts: string[] = [];
    let since = Number.POSITIVE_INFINITY;
    for (const each of new Set([presence, slot])) {
        const how = each === NONE ? '' : differs(machine, each, state, asFound(each));
        if (!how) continue;
        parts.push(how);
        since = Math.min(since, ...(state.by[each] ?? []).filter(event => event !== NONE));
    }
    const tagged = tag === NONE ? 'no' : taggedAt(machine, tag, state);
    if (parts.length === 0 && tagged === 'no') return undefined;
    if (tagged !== 'no') {
        parts.push(tagged === 'yes' ? 'tagged' : 'perhaps tagged');
        since = Math.min(since, ...(state.by[tag] ?? []).filter(event => event !== NONE));
    } else if (kind === 'breaker') {
        parts.push('not tagged');
    }
    const first = parts.length === 1 ? '' : parts.slice(0, -1).join(', ');
    const last = parts.at(-1) as string;
    const how = first ? `${first}${last === 'not tagged' ? ', ' : ' and '}${last}` : last;
    return { item, how, since };
}

/** How the slot differs from what was found, or "". */
function differs(machine: Machine, slot: number, state: PathState, found: readonly number[]): string {
    const mask = state.states[slot] ?? 0;
    const states = slotOf(machine, slot)
        .states.map((_, index) => index)
        .filter(index => mask & (1 << index));
    const others = states.filter(index => !found.includes(index));
    if (others.length === 0) return '';
    const words = others.map(index => inWords(machine, slot, index));
    return `${others.length < states.length ? 'perhaps ' : ''}${words.join(' or ')}`;
}

function inWords(machine: Machine, slot: number, state: number): string {
    const { item, states, kind } = slotOf(machine, slot);
    const name = states[state] as string;
    if (kind === 'presence') return name.toLowerCase();
    const still = kindOf(itemOf(machine, item).kind).still[name];
    return still ? still.replace(/^(is|may) still (be )?/, '') : `at ${name}`;
}

function taggedAt(machine: Machine, tag: number, state: PathState): 'no' | 'perhaps' | 'yes' {
    const mask = state.states[tag] ?? 0;
    const free = 1 << slotOf(machine, tag).normal;
    if ((mask & ~free) === 0) return 'no';
    return mask & free ? 'perhaps' : 'yes';
}

/** Neighbours that are alike share their words. */
function told(open: readonly Open[], machine: Machine): string {
    const groups: { how: string; names: string[] }[] = [];
    for (const { item, how } of open) {
        const last = groups.at(-1);
        if (last?.how === how) last.names.push(shortName(machine, item));
        else groups.push({ how, names: [shortName(machine, item)] });
    }
    return groups.map(group => `${list(group.names)} ${group.how}`).join(', ');
}

/** "CB-217", "panel 147BL", "bleed port", "BATTERY". */
function shortName(machine: Machine, item: number): string {
    const each = itemOf(machine, item);
    if (each.kind === 'breaker') return each.name;
    return each.kind === 'panel' && /\d/.test(each.name) ? `panel ${each.name}` : noun(each);
}

const itemOf = (machine: Machine, item: number) => machine.items[item] as Machine['items'][number];
const slotOf = (machine: Machine, slot: number): Slot => machine.slots[slot] as Slot;
