import type { Finding } from '../../../findings/finding.js';
import { nameAndLabel } from '../../../machine/compile-conditions.js';
import type { Item, Machine } from '../../../machine/machine.js';
import { pastOf } from '../../../vocabulary/kinds/index.js';
import type { Check } from '../../check.js';
import { foundIn, type Reach, reachOf, statesWritten } from '../reach.js';

/** A state that the text writes and that nothing ever brings about, failures included. */
export const stateNeverReached: Check = {
    code: 'state-never-reached',
    family: 'equipment',
    severity: 'warning',
    title: 'A state that nothing ever brings about',
    ofEquipment: (machine, { equipment }) => {
        if (machine.ring.length > 0) return [];
        const reach = reachOf(machine);
        return machine.items.flatMap((item, index) =>
            item.equipment !== equipment ? [] : never(reach, index).map(state => say(machine, item, state)),
        );
    },
};

function never(reach: Reach, index: number): number[] {
    const written = statesWritten(reach.machine, index);
    if (written.length === 0) return [];
    const found = foundIn(reach, index);
    return written.filter(state => !found.has(state));
}

function say(machine: Machine, item: Item, state: number): Finding {
    const show = item.shows.find(each => each.state === state);
    const go = item.goes.find(each => each.to === state);
    const name = show?.band?.text ?? machine.slots[item.slot]?.states[state] ?? '';
    return {
        code: 'state-never-reached',
        severity: 'warning',
        span: (show ?? go)?.span ?? item.span,
        about: [item.name],
        message: `${nameAndLabel(item)} is never ${name}: ${why(item, show !== undefined, go !== undefined, name)}`,
        related: [],
        fixes: [],
        cause: `${item.name} ${name}`,
    };
}

function why(item: Item, shows: boolean, goes: boolean, name: string): string {
    if (item.nature === 'wetted')
        return `no joint that can ever be under pressure wets it, so it will always be found dry. Write "wets ${item.name}" at the joint, or "${pastOf('clean')}" means nothing here.`;
    if (item.kind === 'source') return 'what makes it live can never hold. Correct the condition.';
    if (shows) return 'whatever is set or fails, something else is shown. Correct the condition, or take the line out.';
    if (goes)
        return 'whatever is set or fails, what moves it there never holds. Correct the condition, or take the line out.';
    return `no line moves it there. Write "goes ${name} ... when ...", or take the position out.`;
}
