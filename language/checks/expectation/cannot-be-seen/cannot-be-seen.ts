import type { Finding } from '../../../findings/finding.js';
import { calledFrom, placeName, roleName, things } from '../../../findings/phrases.js';
import { nameAndLabel } from '../../../machine/compile-conditions.js';
import { type Item, type Machine, NONE } from '../../../machine/machine.js';
import { CAN_HOLD, evaluate } from '../../../paths/evaluate.js';
import { reach } from '../../../paths/places.js';
import type { Seen } from '../../../paths/runs.js';
import type { Event, LookEvent } from '../../../plan/plan.js';
import { lowerFirst } from '../../../vocabulary/sentences.js';
import type { Check, Judged } from '../../check.js';

/** A look at something that nobody can see as things stand. */
export const cannotBeSeen: Check = {
    code: 'cannot-be-seen',
    family: 'expectation',
    severity: 'warning',
    title: 'A look at something that nobody can see as things stand',
    ofCard: card => {
        const found = new Map<number, Finding>();
        for (const trace of [...card.traces.plain, ...card.traces.forced, ...card.traces.inArms]) {
            for (const visit of trace.visits) {
                const event = card.plan.events[visit.event] as Event;
                if (event.kind !== 'look' && event.kind !== 'branch') continue;
                if (event.kind === 'look' && event.look === 'measure') continue;
                if (found.has(event.id)) continue;
                const far = outOfSight(card, event);
                const why = far ?? hidden(card.machine, event, visit.before) ?? unlit(card, event, { trace, visit });
                if (why) found.set(event.id, finding(card, event, far ?? `${why}. Look at another time`));
            }
        }
        return [...found.values()];
    },
};

/** Why the one who looks cannot see what is there, on some path, and what would help; a horn is heard from anywhere. */
function outOfSight({ machine, plan, paths }: Judged, event: Event): string | undefined {
    const state = paths.at[event.id];
    if (!state || event.role === NONE || event.place === NONE || machine.items[event.item]?.kind === 'horn')
        return undefined;
    const reached = reach(machine, state, event.role, event.place);
    if (reached.ok) return undefined;
    if (reached.why === 'covered')
        return `${things(machine, reached.covers)} ${reached.covers.length === 1 ? 'is' : 'are'} in the way. Clear the way first`;
    return `it is at ${placeName(machine, event.place)}, and the ${lowerFirst(roleName(plan, event.role))} is at ${placeName(machine, reached.base)}. Go there first, or let a role that is there look`;
}

/** Why it cannot be seen, as the second half of a sentence; undefined when it can. */
function hidden(machine: Machine, event: LookEvent | Event, states: ArrayLike<number>): string | undefined {
    const item = machine.items[event.item];
    if (!item) return undefined;
    const isOff = (index: number): boolean => {
        const each = machine.items[index] as Item;
        return (
            each.presence !== NONE &&
            states[each.presence] !== machine.slots[each.presence]?.states.indexOf('INSTALLED')
        );
    };
    if (item.kind === 'seal' && item.unit !== NONE && !isOff(item.unit)) {
        return `a seal is seen only while ${nameAndLabel(machine.items[item.unit] as Item)} is off`;
    }
    const asksPresence = 'slot' in event && event.slot === item.presence;
    if (!asksPresence && item.presence !== NONE && item.presence !== item.slot && isOff(event.item))
        return 'it is removed';
    for (
        let at = item.unit, n = 0;
        at !== NONE && n < machine.items.length;
        at = (machine.items[at] as Item).unit, n++
    ) {
        if (item.kind !== 'seal' && isOff(at))
            return `${nameAndLabel(machine.items[at] as Item)}, which it is in, is removed`;
    }
    return undefined;
}

/** A light without supply is dark: that is all that may be seen of it. */
function unlit({ machine, paths }: Judged, event: LookEvent | Event, seen: Seen): string | undefined {
    const item = machine.items[event.item];
    const state = paths.at[event.id];
    if (!item || !state || item.kind !== 'light' || !('state' in event) || event.slot !== item.slot) return undefined;
    const dark = item.states.indexOf('OFF');
    if (event.state === dark) return undefined;
    const isDead = (feed: number): boolean =>
        (evaluate(machine, { op: 'live', item: feed }, { state, seen, vector: seen.visit.after }) & CAN_HOLD) === 0;
    // What is not so is told by the look itself.
    const feed = seen.visit.after[item.slot] === event.state ? item.feeds.find(isDead) : undefined;
    if (feed === undefined) return undefined;
    const unfed = `without ${nameAndLabel(machine.items[feed] as Item)} it is dark`;
    return dark < 0 ? `${unfed}, and the equipment gives it no state OFF` : unfed;
}

function finding(card: Judged, event: Event, why: string): Finding {
    const item = card.machine.items[event.item] as Item;
    return {
        code: 'cannot-be-seen',
        severity: 'warning',
        span: event.span,
        card: card.plan.card,
        about: [item.name],
        fixes: [],
        related: calledFrom(event),
        message: `${nameAndLabel(item)} cannot be seen here: ${why}, or look at something else.`,
        cause: event.key,
    };
}
