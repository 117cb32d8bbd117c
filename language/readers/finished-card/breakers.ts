import type { Machine } from '../../machine/machine.js';
import type { Paths } from '../../paths/paths.js';
import { isAlreadySo } from '../../paths/rules.js';
import type { Plan } from '../../plan/plan.js';
import type { Breaker } from './card.js';

/** The table of breakers: where each is, and the numbers of the lines that pull and close it. */
export function breakersOf(
    plan: Plan,
    machine: Machine,
    paths: Paths,
    numbers: ReadonlyMap<string, string>,
): readonly Breaker[] {
    return plan.page.breakers.map(({ item, place, grid, name, label }) => {
        const linesThatBring = (state: string): readonly string[] => {
            const lines = plan.events.flatMap(event => {
                if (event.kind !== 'operate' || event.item !== item) return [];
                if (machine.slots[event.slot]?.states[event.state] !== state) return [];
                // An `ensure` that finds it so already moves nothing.
                const before = paths.at[event.id];
                if (before && isAlreadySo(event, before)) return [];
                return numbers.get(event.key) ?? [];
            });
            return [...new Set(lines)];
        };
        return { place, grid, name, label, pulled: linesThatBring('PULLED'), closed: linesThatBring('CLOSED') };
    });
}
