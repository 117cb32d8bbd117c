import { nameAndLabel } from '../machine/compile-conditions.js';
import { type Machine, NONE } from '../machine/machine.js';
import type { Event, Plan } from '../plan/plan.js';
import { kindOf, pastOf } from '../vocabulary/kinds/index.js';
import { list, upperFirst } from '../vocabulary/sentences.js';
import type { Related } from './finding.js';

/** The words that findings share: what things, places, times and events are called in a message. */

/** "CB-218 (HYD 2 ISOL VALVE MOTOR B)". */
export function thing(machine: Machine, item: number): string {
    const found = machine.items[item];
    return found ? nameAndLabel(found) : 'something';
}

export function things(machine: Machine, items: readonly number[]): string {
    return list(items.map(each => thing(machine, each)));
}

export function placeName(machine: Machine, place: number): string {
    return machine.places[place]?.label ?? 'no place';
}

export function roleName(plan: Plan, role: number): string {
    return plan.roles[role]?.label ?? 'nobody';
}

/** "90 s", "2 min", "1 h": as a card would have it. */
export function duration(seconds: number): string {
    if (seconds >= 3600 && seconds % 3600 === 0) return `${seconds / 3600} h`;
    if (seconds >= 120 && seconds % 60 === 0) return `${seconds / 60} min`;
    return `${Number(seconds.toFixed(3))} s`;
}

/** "61", or "61 (in DriveAlone, called at line 98)". */
export function lineOf(event: Event): string {
    const call = event.calls[event.calls.length - 1];
    return call ? `${event.span.line} (in ${call.name}, called at line ${call.span.line})` : `${event.span.line}`;
}

/** One related place a call, innermost first. */
export function calledFrom(event: Event): Related[] {
    return [...event.calls].reverse().map(call => ({ span: call.span, message: `${call.name} is called here` }));
}

/** "pulled", "held", "seen to be otherwise": what an event did. */
export function didWhat(event: Event): string {
    switch (event.kind) {
        case 'operate':
            return pastOf(event.verb);
        case 'keep-start':
            return 'held';
        case 'keep-end':
            return 'let go';
        case 'press':
            return 'pressed';
        case 'tag':
            return pastOf(event.verb);
        case 'torque':
            return 'torqued';
        case 'look':
            return event.look === 'measure' ? 'measured' : 'looked at';
        case 'prose':
            return 'worked on';
        default:
            return 'changed';
    }
}

/** "Pulled at line 61 (in DriveAlone, called at line 98)." for up to three events; "" where it was so from the start. */
export function changedAt(plan: Plan, by: readonly number[], what?: string): string {
    const events = by.flatMap(each => (each === NONE ? [] : [plan.events[each] as Event]));
    const first = events[0];
    if (!first) return '';
    const lines = [...new Set(events.map(lineOf))];
    const said =
        lines.length > 3 ? `${lines.slice(0, 3).join(', ')} and ${lines.length - 3} more lines` : lines.join(' or ');
    return ` ${upperFirst(what ?? didWhat(first))} at line ${said}.`;
}

/** The same as places to go to. `except`: the place of the finding itself. */
export function changedHere(plan: Plan, by: readonly number[], except: number, what?: string): Related[] {
    const related: Related[] = [];
    for (const each of by) {
        const event = each === NONE ? undefined : plan.events[each];
        if (!event) continue;
        if (each !== except) related.push({ span: event.span, message: `${upperFirst(what ?? didWhat(event))} here` });
        related.push(...calledFrom(event));
    }
    return related;
}

/** "is still pulled", "is still at SHUT". */
export function stillSo(machine: Machine, slot: number, state: number): string {
    const owner = machine.slots[slot];
    const item = machine.items[owner?.item ?? NONE];
    if (!owner || !item) return 'is not as found';
    const name = owner.states[state] ?? 'in none of its states';
    if (owner.kind === 'presence') return name === 'REMOVED' ? 'is still removed' : `is still ${name.toLowerCase()}`;
    return kindOf(item.kind).still[name] ?? `is still at ${name}`;
}

/** "is PULLED", "is in none of its states". */
export function isSo(machine: Machine, slot: number, state: number): string {
    return state === NONE ? 'is in none of its states' : `is ${machine.slots[slot]?.states[state] ?? 'not known'}`;
}

/** A rule at the end of a message: why it is there, or what it asks. */
export function ruleSays(rule: { readonly name: string; readonly because: string; readonly says: string }): string {
    return rule.because ? ` Rule ${rule.name}: ${rule.because}` : ` Rule ${rule.name} asks: ${rule.says}.`;
}
