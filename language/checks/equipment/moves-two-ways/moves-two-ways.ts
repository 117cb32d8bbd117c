import type { Condition } from '../../../conditions/condition.js';
import { cellsOf } from '../../../conditions/program.js';
import type { Finding } from '../../../findings/finding.js';
import { circuitOf } from '../../../machine/circuit.js';
import { nameAndLabel } from '../../../machine/compile-conditions.js';
import { type Item, type Machine, NONE } from '../../../machine/machine.js';
import { Simulator } from '../../../machine/simulator.js';
import type { Check } from '../../check.js';

/** More settings of the controls than this are not tried; the runs of the cards still find what they meet. */
const MOST_SETTINGS = 4096;

/** Two movements of one item that are wanted at once. */
export const movesTwoWays: Check = {
    code: 'moves-two-ways',
    family: 'equipment',
    severity: 'warning',
    title: 'Two movements of one item can be wanted at once',
    ofEquipment: machine =>
        machine.ring.length > 0
            ? []
            : machine.items.flatMap((item, index) => {
                  const conflict = item.nature === 'moved' ? conflictOf(machine, index) : undefined;
                  return conflict ? [finding(machine, index, conflict.first, conflict.second, conflict.when)] : [];
              }),
    ofCard: ({ machine, plan, runs }) => {
        const found = new Map<number, Finding>();
        for (const [item, first, second, event] of runs.conflicts) {
            const at = plan.events[event];
            if (!found.has(item))
                found.set(item, {
                    ...finding(
                        machine,
                        item,
                        first,
                        second,
                        at ? `at line ${at.span.line} of ${plan.card}` : `as ${plan.card} begins`,
                    ),
                    card: plan.card,
                });
        }
        return [...found.values()];
    },
};

interface Conflict {
    readonly first: number;
    readonly second: number;
    readonly when: string;
}

/** Tries every setting of the operated items that the movements rest on, each from rest in the normal state. */
function conflictOf(machine: Machine, index: number): Conflict | undefined {
    const circuit = circuitOf(machine);
    const moved = circuit.moved.find(each => each.item === index);
    const conditional = moved?.goes.filter(go => go.when) ?? [];
    if (!moved || new Set(conditional.map(go => go.to)).size < 2) return undefined;
    const wishes = (machine.items[index] as Item).goes.filter(go => go.when);
    const clash = wishes.some((a, n) =>
        wishes.slice(n + 1).some(b => a.to !== b.to && !excludeEachOther(a.when, b.when)),
    );
    if (!clash) return undefined;
    const operated = new Set<number>();
    const seen = new Set<number>();
    const visit = (cell: number): void => {
        if (seen.has(cell)) return;
        seen.add(cell);
        const slot = cell < machine.slots.length ? cell : (machine.items[cell - machine.slots.length] as Item).slot;
        const item = machine.slots[slot]?.item ?? NONE;
        if (machine.slots[slot]?.kind === 'state' && machine.items[item]?.nature === 'operated') operated.add(slot);
        for (const shown of circuit.shown) if (shown.slot === slot) for (const each of shown.reads) visit(each);
        for (const other of circuit.moved)
            if (other.slot === slot) for (const go of other.goes) for (const each of go.reads) visit(each);
    };
    for (const go of moved.goes) if (go.when) for (const cell of cellsOf(go.when)) visit(cell);
    const slots = [...operated];
    const counts = slots.map(slot => machine.slots[slot]?.states.length ?? 1);
    const all = counts.reduce((product, each) => product * each, 1);
    for (let n = 0; n < Math.min(all, MOST_SETTINGS); n++) {
        const sim = new Simulator(machine, 'slowest');
        let rest = n;
        const setting = slots.map((slot, at) => {
            const state = rest % (counts[at] as number);
            rest = Math.floor(rest / (counts[at] as number));
            sim.put(slot, state);
            return { slot, state };
        });
        if (!sim.rest()) continue;
        const conflict = sim.notes.conflicts.find(([item]) => item === index);
        if (!conflict) continue;
        const when = setting
            .filter(({ slot, state }) => state !== machine.slots[slot]?.normal)
            .map(
                ({ slot, state }) =>
                    `${nameAndLabel(machine.items[machine.slots[slot]?.item ?? 0] as Item)} is ${machine.slots[slot]?.states[state]}`,
            );
        return {
            first: conflict[1],
            second: conflict[2],
            when: when.length > 0 ? `when ${when.join(' and ')}` : 'with everything in its normal state',
        };
    }
    return undefined;
}

/** True where one look at the conditions is enough: in every pair of their alternatives some slot is to be in two states. */
function excludeEachOther(a: Condition | undefined, b: Condition | undefined): boolean {
    if (!a || !b) return false;
    return alternatives(a).every(one =>
        alternatives(b).every(other =>
            one.some(each => other.some(its => its.slot === each.slot && its.state !== each.state)),
        ),
    );
}

type SlotState = { readonly slot: number; readonly state: number };

/** By alternative of an `or`, the states that it surely asks for. */
function alternatives(condition: Condition): readonly (readonly SlotState[])[] {
    switch (condition.op) {
        case 'is':
        case 'held':
            return [condition.contact ? [] : [{ slot: condition.slot, state: condition.state }]];
        case 'or':
            return condition.of.flatMap(alternatives);
        case 'and':
            return condition.of
                .map(alternatives)
                .reduce((all, each) => all.flatMap(one => each.map(other => [...one, ...other])));
        default:
            return [[]];
    }
}

function finding(machine: Machine, index: number, first: number, second: number, when: string): Finding {
    const item = machine.items[index] as Item;
    const [a, b] = [item.goes[first], item.goes[second]];
    return {
        code: 'moves-two-ways',
        severity: 'warning',
        span: b?.span ?? item.span,
        about: [item.name],
        fixes: [],
        related: a ? [{ span: a.span, message: `and this sends it to ${item.states[a.to]}` }] : [],
        message: `${nameAndLabel(item)} is to go ${item.states[a?.to ?? 0]} and ${item.states[b?.to ?? 0]} at once ${when}. Make the conditions exclude each other.`,
        cause: item.name,
    };
}
