import { type Item, type Machine, NONE } from '../../machine/machine.js';
import { kindOf } from '../../vocabulary/kinds/index.js';
import { withConverted } from '../../vocabulary/quantities.js';
import { list, sentence, upperFirst } from '../../vocabulary/sentences.js';
import { ownItems } from './feeds.js';
import type { Says } from './say.js';
import type { ItemGroup, ItemRow, Line } from './sheet.js';

/** "Valve bay, in Left main wheel well, behind the inboard wheel-well panel 147BL." */
export function placesOf(machine: Machine, equipment: string, says: Says): readonly Line[] {
    return machine.places.flatMap(place => {
        if (place.equipment !== equipment) return [];
        const within = place.within === NONE ? '' : `, in ${says.place(place.within)}`;
        const behind = place.behind.length === 0 ? '' : `, behind ${says.things(place.behind)}`;
        return {
            name: place.name,
            only: says.only(place.only),
            sentence: sentence(`${place.label}${within}${behind}.`),
        };
    });
}

/** Items by place and kind, both in the order in which the text first has them. */
export function itemsOf(
    machine: Machine,
    equipment: string,
    says: Says,
    units: readonly string[],
): readonly ItemGroup[] {
    const groups = new Map<number, Map<string, ItemRow[]>>();
    for (const index of ownItems(machine, equipment)) {
        const item = machine.items[index] as Item;
        const group = groups.get(item.place) ?? new Map<string, ItemRow[]>();
        groups.set(item.place, group);
        const rows = group.get(item.kind) ?? [];
        group.set(item.kind, rows);
        rows.push({
            name: item.name,
            label: item.label,
            only: says.only(item.only),
            states: statesOf(item),
            normal: item.nature === 'shown' && !item.normalGiven ? '' : (item.states[item.normal] ?? ''),
            normalTaken: isNormalTaken(item),
            facts: factsOf(item, says, units),
        });
    }
    return [...groups].map(([place, kinds]) => ({
        place: place === NONE ? 'No place given' : says.place(place),
        kinds: [...kinds].map(([kind, items]) => ({ kind: upperFirst(kindOf(kind).plural), items })),
    }));
}

/** The first of the positions listed is taken, because none is written; what is shown has no normal of its own. */
export const isNormalTaken = (item: Item): boolean =>
    !item.normalGiven && item.nature !== 'shown' && kindOf(item.kind).states === 'declared';

function statesOf(item: Item): readonly string[] {
    const bands = item.shows.flatMap(show => show.band?.text ?? []);
    return [...new Set([...item.states, ...bands])].filter(Boolean);
}

function factsOf(item: Item, says: Says, units: readonly string[]): readonly string[] {
    const facts: string[] = [];
    if (item.unit !== NONE) facts.push(`in ${says.thing(item.unit)}`);
    if (item.grid) facts.push(`grid ${item.grid}`);
    if (item.rated) facts.push(`rated ${item.rated.text}`);
    if (item.wire) facts.push(`wire ${item.wire.text}`);
    if (item.thread) facts.push(`thread ${item.thread}`);
    if (item.torque) facts.push(`torque ${withConverted(item.torque.text, units)}`);
    if (item.keyed) facts.push('keyed: fits in one place only');
    if (item.holds.length > 0)
        facts.push(`holds ${list(item.holds.map(each => says.thing(each)))}: off before, on after`);
    if (item.carries !== NONE) facts.push(`carries ${says.thing(item.carries)}`);
    if (item.wets !== NONE) facts.push(`wets ${says.thing(item.wets)} when it leaks`);
    for (const { what, band } of item.measured)
        facts.push(`to be measured after it was disturbed: ${what} ${withConverted(band.text, units)}`);
    if (item.inspected) facts.push('to be held for an independent inspector after it was disturbed');
    return facts;
}
