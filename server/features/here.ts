import type { JudgedCard } from '../../language/check.js';
import { NONE } from '../../language/machine/machine.js';
import type { Event } from '../../language/plan/plan.js';
import type { Visit } from '../../language/trace/trace.js';

/** First passes of the events that a place of a file belongs to, once for each call; the last ones before it where it belongs to none. */
export function eventsHere(card: JudgedCard, file: string, offset: number): readonly Event[] {
    const { plan } = card;
    let best: Event | undefined;
    for (const each of plan.events) {
        if (each.pass > 0 || each.kind === 'join' || each.statement.file !== file) continue;
        if (each.statement.offset > offset) continue;
        if (!best || each.statement.offset >= best.statement.offset) best = each;
    }
    if (!best) return [];
    const { offset: from, end } = best.statement;
    const byCall = new Map<string, Event>();
    for (const each of plan.events) {
        if (each.pass > 0 || each.statement.file !== file) continue;
        if (each.statement.offset !== from || each.statement.end !== end) continue;
        const key = each.calls.map(call => `${call.span.offset} ${call.name}`).join('/');
        if (!byCall.has(key)) byCall.set(key, each);
    }
    return [...byCall.values()];
}

/** How the plain run, all movements at their slowest, comes by an event; undefined where it does not. */
export function visitOf(card: JudgedCard, event: number): Visit | undefined {
    return card.traces.plain[0]?.visits.find(each => each.event === event);
}

/** The states that an item may be in before an event, in words, over all paths; for what moves and shows, as the plain run has it. */
export function statesHere(
    card: JudgedCard,
    event: Event,
    item: number,
): { readonly states: readonly string[]; readonly by: readonly number[] } {
    const { machine, paths } = card;
    const found = machine.items[item];
    if (!found) return { states: [], by: [] };
    const state = paths.at[event.id];
    const states: string[] = [];
    const by = new Set<number>();
    for (const slot of new Set([found.presence, found.slot])) {
        if (slot === NONE) continue;
        const names = machine.slots[slot]?.states ?? [];
        const facts = state?.facts[slot];
        if (facts) {
            // That something is in its place goes without saying.
            const said = facts.filter(
                fact => slot !== found.presence || slot === found.slot || names[fact.state] !== 'INSTALLED',
            );
            for (const fact of said) {
                states.push(`${names[fact.state] ?? 'between its positions'}${fact.tagged ? ', tagged' : ''}`);
                for (const each of fact.by) if (each !== NONE) by.add(each);
            }
        } else {
            const value = visitOf(card, event.id)?.before[slot];
            if (value !== undefined) states.push(names[value] ?? 'in none of its states');
        }
    }
    return { states: [...new Set(states)], by: [...by] };
}
