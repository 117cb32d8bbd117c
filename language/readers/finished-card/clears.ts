import type { Condition } from '../../conditions/condition.js';
import { type Machine, NONE, type Trigger } from '../../machine/machine.js';
import type { Paths } from '../../paths/paths.js';
import type { Event, Plan } from '../../plan/plan.js';
import type { Traces } from '../../trace/trace.js';

/**
 * By tell: the events for which it clears the way. An event needs a clearance where a `before` rule with `told` guards it;
 * the clearance that holds before the event, given to the one who acts by somebody at the place that the rule names, is the
 * one that it uses. No computation can find that a tell says the wrong thing, so whoever reads the card must see what it allows.
 */
export function clearedBy(
    plan: Plan,
    machine: Machine,
    paths: Paths,
    traces: Traces,
): ReadonlyMap<number, readonly number[]> {
    const starts = movementsStarted(traces);
    const cleared = new Map<number, number[]>();
    for (const { body } of machine.rules) {
        if (body.kind !== 'before') continue;
        const told = toldIn(body.require);
        if (told.length === 0) continue;
        for (const event of plan.events) {
            if (!body.triggers.some(trigger => guards(trigger, event, machine, starts))) continue;
            const state = paths.at[event.id];
            for (const { from, to } of told) {
                for (const clearance of state?.told ?? []) {
                    if (event.role !== NONE && clearance.to !== event.role) continue;
                    if (!lies(clearance.fromPlace, from, machine)) continue;
                    const hearer = state?.stands[clearance.to];
                    if (hearer && ![...hearer].some(place => lies(place, to, machine))) continue;
                    for (const tell of clearance.by) {
                        const events = cleared.get(tell) ?? [];
                        if (!events.includes(event.id)) events.push(event.id);
                        cleared.set(
                            tell,
                            events.sort((a, b) => a - b),
                        );
                    }
                }
            }
        }
    }
    return cleared;
}

type Told = Extract<Condition, { op: 'told' }>;

function toldIn(condition: Condition): readonly Told[] {
    switch (condition.op) {
        case 'told':
            return [condition];
        case 'and':
        case 'or':
            return condition.of.flatMap(toldIn);
        default:
            return [];
    }
}

/** By event: the items whose movement started in it in any run. */
function movementsStarted(traces: Traces): ReadonlyMap<number, ReadonlySet<number>> {
    const result = new Map<number, Set<number>>();
    for (const trace of [...traces.plain, ...traces.forced, ...traces.inArms]) {
        for (const visit of trace.visits) {
            if (visit.started.length === 0) continue;
            const items = result.get(visit.event) ?? new Set();
            for (const item of visit.started) items.add(item);
            result.set(visit.event, items);
        }
    }
    return result;
}

function guards(
    trigger: Trigger,
    event: Event,
    machine: Machine,
    starts: ReadonlyMap<number, ReadonlySet<number>>,
): boolean {
    const operates = event.kind === 'operate' || event.kind === 'press' || event.kind === 'keep-start';
    switch (trigger.kind) {
        case 'moves':
            return starts.get(event.id)?.has(trigger.item) ?? false;
        case 'work':
            if (event.kind === 'prose') return event.refs.some(item => isIn(item, trigger.item, machine));
            return (
                (operates || event.kind === 'torque' || (event.kind === 'look' && event.look === 'measure')) &&
                isIn(event.item, trigger.item, machine)
            );
        case 'verb':
            if (event.item !== trigger.item) return false;
            if (event.kind === 'operate') return event.verb === trigger.verb;
            if (event.kind === 'torque') return trigger.verb === 'torque';
            if (event.kind === 'look') return trigger.verb === 'measure' && event.look === 'measure';
            return operates && (trigger.verb === 'set' || trigger.verb === 'press');
    }
}

function isIn(item: number, unit: number, machine: Machine): boolean {
    for (let each = item; each !== NONE; each = machine.items[each]?.unit ?? NONE) if (each === unit) return true;
    return false;
}

function lies(place: number, within: number, machine: Machine): boolean {
    for (let each = place; each !== NONE; each = machine.places[each]?.within ?? NONE) if (each === within) return true;
    return false;
}
