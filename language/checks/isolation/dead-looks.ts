import { type Machine, NONE } from '../../machine/machine.js';
import { reach } from '../../paths/places.js';
import type { Event } from '../../plan/plan.js';
import { bandOf } from '../../trace/perform.js';
import { kindOf } from '../../vocabulary/kinds/index.js';
import { upperFirst } from '../../vocabulary/sentences.js';
import type { Judged } from '../check.js';
import { inCard } from '../edits.js';

/**
 * Lines, to stand just before some work, that look at what shows there whether what is pulled has opened. `sound`: the slots when it has;
 * `closed`: when it has not. A dark lamp may be a dead one, so nobody is sent to look at it.
 */
export function deadLooks(
    card: Judged,
    work: Event,
    sound: ArrayLike<number>,
    closed: ArrayLike<number>,
): readonly string[] {
    const { machine, plan, paths } = card;
    const state = paths.at[work.id];
    if (!state || !inCard(card, work.statement)) return [];
    return machine.items.flatMap((item, n): string[] => {
        const is = sound[item.slot] ?? NONE;
        const shows = item.nature === 'shown' || item.nature === 'moved';
        if (!shows || item.kind === 'level' || !kindOf(item.kind).seen) return [];
        if (is === NONE || closed[item.slot] === is || (item.kind === 'light' && item.states[is] === 'OFF')) return [];
        const sees = (role: number): boolean => item.place !== NONE && reach(machine, state, role, item.place).ok;
        const role = sees(work.role) ? work.role : plan.roles.findIndex((_, each) => sees(each));
        const name = plan.roles[role]?.name;
        const look =
            item.kind === 'gauge'
                ? reading(machine, n, is, closed[item.slot] ?? NONE)
                : `see ${item.name} is ${item.states[is]}`;
        return name && look ? [`${name}: ${look}`] : [];
    });
}

/** A look at a gauge that its other reading does not pass. */
function reading(machine: Machine, item: number, sound: number, closed: number): string | undefined {
    const gauge = machine.items[item];
    const shown = bandOf(machine, item, sound);
    const other = bandOf(machine, item, closed);
    if (!gauge || !shown) return undefined;
    const bound = shown.low < shown.high ? '' : other && other.low < shown.low ? 'at least ' : 'at most ';
    return `read ${gauge.name} ${bound}${gauge.states[sound]}`;
}

/** "See BLADES is STILL". */
export const seen = (line: string): string => upperFirst(line.replace(/^\S+:\s*/, ''));
