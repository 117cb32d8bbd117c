import type { Condition } from '../conditions/condition.js';
import { restState } from '../machine/circuit.js';
import { type Item, type Machine, NONE } from '../machine/machine.js';
import { kindOf } from '../vocabulary/kinds/index.js';

/** Whether what the item shows in this vector counts as live: lit, sounding, running, fed. */
export function isLiveIn(machine: Machine, index: number, vector: ArrayLike<number>): boolean {
    const item = machine.items[index] as Item;
    const state = vector[item.slot] as number;
    if (item.kind === 'source') return state === item.states.indexOf('LIVE');
    if (item.nature === 'shown') return state !== restState(item) && state !== NONE;
    return (
        state === item.states.indexOf(kindOf(item.kind).bare ?? '') &&
        (item.presence === NONE || vector[item.presence] === 0)
    );
}

/** What a bare name asks of an operated item or of a source: as conditions on other items. */
export function expanded(machine: Machine, index: number): Condition {
    const item = machine.items[index] as Item;
    const feeds = item.feeds.map((feed): Condition => ({ op: 'live', item: feed }));
    if (item.kind === 'source') return { op: 'and', of: item.live ? [item.live, ...feeds] : feeds };
    const kind = kindOf(item.kind);
    const of: Condition[] = [
        {
            op: 'is',
            item: index,
            slot: item.slot,
            state: item.states.indexOf(kind.bare ?? ''),
            contact: item.kind === 'breaker',
        },
        ...feeds,
    ];
    if (item.presence !== NONE && item.presence !== item.slot) {
        of.push({ op: 'is', item: index, slot: item.presence, state: 0, contact: false });
    }
    return { op: 'and', of };
}

const known = new WeakMap<Machine, Map<number, boolean>>();

/** Whether actions alone decide the condition: operated items, areas, people, and sources that rest on nothing else. */
export function isOfActions(machine: Machine, condition: Condition): boolean {
    switch (condition.op) {
        case 'told':
        case 'someone':
        case 'nobody':
            return true;
        case 'not':
            return isOfActions(machine, condition.of);
        case 'and':
        case 'or':
            return condition.of.every(each => isOfActions(machine, each));
        case 'is':
        case 'held': {
            const slot = machine.slots[condition.slot];
            const nature = machine.items[condition.item]?.nature;
            return slot?.kind !== 'state' || nature === 'operated' || nature === 'wetted';
        }
        default: {
            let answers = known.get(machine);
            if (!answers) {
                answers = new Map();
                known.set(machine, answers);
            }
            const answer = answers.get(condition.item);
            if (answer !== undefined) return answer;
            // A ring of sources is refused elsewhere; until it is found to be one it rests on runs.
            answers.set(condition.item, false);
            const item = machine.items[condition.item] as Item;
            const found =
                (item.nature === 'operated' || item.kind === 'source') &&
                isOfActions(machine, expanded(machine, condition.item));
            answers.set(condition.item, found);
            return found;
        }
    }
}
