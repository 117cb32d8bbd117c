import type { Judged } from '../../checks/check.js';
import { NONE } from '../../machine/machine.js';
import { type Seen, seenAt } from '../../paths/runs.js';
import { listOr, noun } from '../../vocabulary/sentences.js';

/**
 * What moves by itself and is not where it rested before the card, in the runs that come to this event, as the end of a sentence:
 * "isolation valve moving to SHUT, relief valve perhaps at OPEN". "" where all of it rests as found. Most runs that come to a stop
 * are those of failures, so this says what whoever stops there may find.
 */
export function movedAt(event: number, { machine, plan, traces }: Judged): string {
    const runs = seenAt(plan, traces, event);
    return machine.items
        .flatMap((item, index) => {
            if (item.nature !== 'moved') return [];
            const found = new Set(traces.plain.map(run => run.visits[0]?.before[item.slot]));
            const away = runs.filter(({ visit }) => !found.has(visit.before[item.slot]));
            if (away.length === 0) return [];
            const ways = [...new Set(away.map(run => inWords(run, index, item.slot, item.states)))];
            return `${noun(item)} ${away.length < runs.length || ways.length > 1 ? 'perhaps ' : ''}${listOr(ways)}`;
        })
        .join(', ');
}

function inWords({ visit }: Seen, item: number, slot: number, states: readonly string[]): string {
    const to = visit.moving.find(each => each.item === item)?.to;
    if (to !== undefined) return `moving to ${states[to]}`;
    const state = visit.before[slot] ?? NONE;
    return state === NONE ? 'stopped between positions' : `at ${states[state]}`;
}
