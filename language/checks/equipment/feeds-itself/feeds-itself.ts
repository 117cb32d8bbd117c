import type { Finding } from '../../../findings/finding.js';
import { nameAndLabel } from '../../../machine/compile-conditions.js';
import { type Item, type Machine, NONE } from '../../../machine/machine.js';
import { Simulator } from '../../../machine/simulator.js';
import type { Check, Judged } from '../../check.js';

/** Things that depend on themselves at once, or never come to rest. */
export const feedsItself: Check = {
    code: 'feeds-itself',
    family: 'equipment',
    severity: 'warning',
    title: 'Things that depend on themselves, or that never come to rest',
    ofEquipment: machine => {
        if (machine.ring.length > 0)
            return [
                finding(
                    machine,
                    machine.ring,
                    'depend on each other in a ring, so no state of theirs can be worked out',
                ),
            ];
        const sim = new Simulator(machine, 'slowest');
        return sim.rest()
            ? []
            : [
                  finding(
                      machine,
                      restless(
                          machine,
                          sim.changes.map(each => each.slot),
                      ),
                      'never come to rest with everything in its normal state',
                  ),
              ];
    },
    ofCard: card => {
        const found: Finding[] = [];
        for (const trace of card.traces.plain) {
            if (trace.end !== 'stuck' || found.length > 0) continue;
            found.push({
                ...finding(
                    card.machine,
                    restless(
                        card.machine,
                        trace.changes.map(each => each.slot),
                    ),
                    `never come to rest${at(card, trace.visits[trace.visits.length - 1]?.event)}`,
                ),
                card: card.plan.card,
            });
        }
        return found;
    },
};

function at(card: Judged, event: number | undefined): string {
    const found = event === undefined ? undefined : card.plan.events[event];
    return found ? ` after line ${found.span.line}` : '';
}

/** The items that changed last, each once: those that move, where there are any, for what shows only follows them. */
function restless(machine: Machine, slots: readonly number[]): number[] {
    const items = new Set<number>();
    for (let n = slots.length - 1; n >= 0 && n > slots.length - 40; n--)
        items.add(machine.slots[slots[n] as number]?.item ?? NONE);
    items.delete(NONE);
    const all = [...items].reverse();
    const moving = all.filter(each => machine.items[each]?.nature === 'moved');
    return moving.length > 0 ? moving : all;
}

function finding(machine: Machine, items: readonly number[], says: string): Finding {
    const named = items.map(each => machine.items[each] as Item);
    const first = named[0];
    return {
        code: 'feeds-itself',
        severity: 'warning',
        span: (first as Item).span,
        about: named.map(each => each.name),
        fixes: [],
        related: named
            .slice(1)
            .map(each => ({ span: each.span, message: `${nameAndLabel(each)} is part of the ring` })),
        message: `${named.map(nameAndLabel).join(', ')} ${named.length === 1 ? says.replace('depend on each other in a ring', 'depends on itself').replace(/^never come/, 'never comes') : says}. Give what has to remember a kind that moves (a relay, a timer, a valve), or break the ring.`,
        cause: named
            .map(each => each.name)
            .sort()
            .join(' '),
    };
}
