import { type Machine, NONE } from '../../machine/machine.js';
import { CLEAR, type Paths } from '../../paths/paths.js';
import { movementRules, pairsIn, ruleBook, rulesOnAction } from '../../paths/rules.js';
import type { Plan } from '../../plan/plan.js';
import type { Traces } from '../../trace/trace.js';

/**
 * By tell: the actions for which it clears the way, that is those that a `before` rule with `told` guards, itself or by the
 * movement that they start, and for which this tell is what lets the one who acts go on. No computation can find that a tell
 * says the wrong thing, so whoever reads the card must see what it allows.
 */
export function clearedBy(
    plan: Plan,
    machine: Machine,
    paths: Paths,
    traces: Traces,
): ReadonlyMap<number, readonly number[]> {
    const book = ruleBook(machine);
    const cleared = new Map<number, Set<number>>();
    const guard = (rule: number, id: number): void => {
        const state = paths.at[id];
        const role = plan.events[id]?.role ?? NONE;
        const require = book.before[rule]?.body.require;
        if (!state || role === NONE || !require) return;
        for (const pair of pairsIn(book, require)) {
            const clear = state.clear[pair * plan.roles.length + role];
            if (clear?.level !== CLEAR || clear.why !== 'told') continue;
            for (const tell of clear.by) cleared.set(tell, (cleared.get(tell) ?? new Set()).add(id));
        }
    };
    for (const event of plan.events) {
        const state = paths.at[event.id];
        if (state) for (const rule of rulesOnAction(book, event, state)) guard(rule, event.id);
    }
    for (const { rule, start } of movementRules(book, plan, traces)) guard(rule, start.root);
    return new Map([...cleared].map(([tell, events]) => [tell, [...events].sort((a, b) => a - b)]));
}
