import type { Failure } from '../../failures/failure.js';
import { modesOf } from '../../failures/which.js';
import { duration } from '../../findings/phrases.js';
import { crossingMatters } from '../../machine/circuit.js';
import { type Item, type Machine, NONE } from '../../machine/machine.js';
import { kindOf } from '../../vocabulary/kinds/index.js';
import { expected, listOr, type Sentence, sentence } from '../../vocabulary/sentences.js';
import { ownItems } from './feeds.js';
import type { Losses } from './losses.js';
import type { Says } from './say.js';
import type { FailureRow } from './sheet.js';

/** More things than this are counted, not named: a bus feeds everything. */
const MOST_NAMED = 16;

/** Every way in which each item of the equipment may fail, and what can be looked at that rests on it. */
export function failuresOf(machine: Machine, equipment: string, says: Says, losses: Losses): readonly FailureRow[] {
    return ownItems(machine, equipment).flatMap(index => {
        const item = machine.items[index] as Item;
        const modes = modesIn(machine, index);
        if (modes.length === 0) return [];
        const seen = new Set<number>();
        for (const each of new Set(modes.flatMap(mode => changedBy(machine, mode)))) {
            if (shownBy(machine, each)) seen.add(each);
            for (const after of losses.after(each)) if (shownBy(machine, after)) seen.add(after);
        }
        const all = [...seen].sort((a, b) => a - b);
        return {
            name: item.name,
            label: item.label,
            only: says.only(item.only),
            modes: sayAll(machine, says, modes),
            seenAt: all.slice(0, MOST_NAMED).map(each => says.named(each)),
            more: Math.max(0, all.length - MOST_NAMED),
        };
    });
}

/** More like connectors than this are not named one by one. */
const MOST_CROSSED = 4;

/** As the card's own list of failures, and those that a card may add: a slow movement, and like connectors the wrong way round. */
export function modesIn(machine: Machine, index: number): readonly Failure[] {
    const item = machine.items[index] as Item;
    const modes = [...modesOf(machine, index)];
    const add = (mode: 'SLOW' | 'CROSSED', detail: number): void => {
        modes.push({ item: index, mode, detail, word: mode, label: '', span: item.span });
    };
    if (item.nature === 'moved' && item.goes.some(go => go.max > 0)) add('SLOW', NONE);
    if (item.kind === 'connector' && !item.keyed) {
        let found = 0;
        for (let other = index + 1; other < machine.items.length && found <= MOST_CROSSED; other++) {
            const partner = machine.items[other] as Item;
            if (partner.kind !== 'connector' || partner.keyed || partner.place !== item.place) continue;
            if (!crossingMatters(machine, { a: index, b: other })) continue;
            // Where there are many the next one stands for the rest.
            add('CROSSED', found === MOST_CROSSED ? NONE : other);
            found++;
        }
    }
    return modes;
}

/** What is otherwise at once. */
function changedBy(machine: Machine, failure: Failure): readonly number[] {
    switch (failure.mode) {
        case 'LEAKING':
            return [machine.items[failure.item]?.wets ?? NONE];
        case 'CROSSED':
            return failure.detail === NONE ? [failure.item] : [failure.item, failure.detail];
        case 'OWN':
            return [machine.ownFailures[failure.detail]?.changes ?? NONE];
        default:
            return [failure.item];
    }
}

/** Lights, gauges, horns, marks, flows; areas; what moves and can be seen to. */
function shownBy(machine: Machine, index: number): boolean {
    const { kind, nature } = machine.items[index] as Item;
    return nature === 'wetted' || nature === 'moved' || (nature === 'shown' && kind !== 'source' && kind !== 'motor');
}

/** Like failures of one item in one sentence: "Stuck at SHUT or OPEN". */
function sayAll(machine: Machine, says: Says, modes: readonly Failure[]): readonly Sentence[] {
    const like = new Map<string, Failure[]>();
    for (const each of modes) {
        const key = each.mode === 'OWN' ? `${each.mode} ${each.detail}` : each.mode;
        like.set(key, [...(like.get(key) ?? []), each]);
    }
    return [...like.values()].map(all => sayFailure(machine, says, all[0] as Failure, all));
}

function sayFailure(
    machine: Machine,
    says: Says,
    { item: index, mode, detail }: Failure,
    all: readonly Failure[],
): Sentence {
    const item = machine.items[index] as Item;
    switch (mode) {
        case 'DEAD':
            return sentence(expected('DEAD'), ': it does not run though it is fed.');
        case 'STUCK': {
            const words = all.flatMap(each => [each === all[0] ? '' : ' or ', expected(each.word)]);
            if (item.kind === 'source') return sentence('Stuck ', ...words, ', whatever it rests on.');
            return sentence(
                'Stuck at ',
                ...words,
                item.nature === 'moved' ? ': it does not move.' : ': it does not change.',
            );
        }
        case 'SLOW': {
            const longest = Math.max(...item.goes.map(go => go.max));
            return sentence(expected('SLOW'), `: it takes ${duration(longest * 2)}, twice its longest time.`);
        }
        case 'EARLY': {
            const shortest = Math.min(...item.goes.filter(go => go.min > 0).map(go => go.min));
            return sentence(expected('EARLY'), `: it takes ${duration(shortest / 2)}, half its shortest time.`);
        }
        case 'LEAKING':
            return sentence(
                expected('LEAKING'),
                `: it lets ${says.thing(item.carries)} out to ${says.thing(item.wets)} though it is ${kindOf(item.kind).isPresence ? 'in place' : 'closed'}.`,
            );
        case 'OFF':
            return sentence(expected('OFF'), ': it makes no contact though it is connected.');
        case 'TRIPPED':
            return sentence(expected('TRIPPED'), ': it is open though nobody pulled it.');
        case 'NOT-OPENING':
            return sentence(expected('NOT-OPENING'), ': it stays closed inside when it is pulled.');
        case 'CROSSED':
            return sentence(
                expected('CROSSED'),
                ` with ${listOr(all.map(each => (each.detail === NONE ? 'another there that is not keyed' : says.thing(each.detail))))}: each is where the other belongs.`,
            );
        case 'OWN':
            return says.fails(machine.ownFailures[detail] as Machine['ownFailures'][number]);
    }
}
