import { type Machine, NONE } from '../../machine/machine.js';
import type { Fact, PathState, Paths } from '../../paths/paths.js';
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
 * what moves by itself is not told. `owed`: settings that count before those of the start.
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
    const open = machine.items.flatMap((_, item) => openItem(item, machine, state, asFound) ?? []);
    return told(
        open.sort((a, b) => a.since - b.since),
        machine,
    );
}

function openItem(
    index: number,
    machine: Machine,
    state: PathState,
    asFound: (slot: number) => readonly number[],
): Open | undefined {
    const item = itemOf(machine, index);
    const parts: string[] = [];
    const causes: Fact[] = [];
    for (const slot of new Set([item.presence, item.slot])) {
        const facts = state.facts[slot] ?? [];
        const open = facts.filter(fact => !asFound(slot).includes(fact.state));
        if (open.length === 0) continue;
        const words = [...new Set(open.map(fact => inWords(machine, slot, fact.state)))];
        parts.push((open.length < facts.length ? 'perhaps ' : '') + words.join(' or '));
        causes.push(...open);
    }
    const facts = item.tag === NONE ? [] : (state.facts[item.slot] ?? []);
    const asked = causes.length > 0 ? causes : facts;
    const tagged = asked.filter(fact => fact.tagged);
    if (parts.length === 0 && tagged.length === 0) return undefined;
    let how = parts.join(' and ');
    if (tagged.length > 0) {
        how += `${how && ' and '}${tagged.length < asked.length ? 'perhaps ' : ''}tagged`;
        causes.push(...tagged);
    } else if (item.kind === 'breaker') {
        how += ', not tagged';
    }
    const events = causes.flatMap(fact => fact.by).filter(event => event !== NONE);
    return { item: index, how, since: Math.min(Number.MAX_SAFE_INTEGER, ...events) };
}

function inWords(machine: Machine, slot: number, state: number): string {
    const { item, states, kind } = machine.slots[slot] as Machine['slots'][number];
    const name = states[state] ?? 'in no position';
    if (kind === 'presence') return name.toLowerCase();
    const still = kindOf(itemOf(machine, item).kind).still[name];
    return still ? still.replace(/^(is|may) still (be )?/, '') : `at ${name}`;
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
