/**
 * What the slow runner knows of the equipment: which items a card may operate, their states and where they are. Read from the
 * syntax tree by name, without the names, the vocabulary or the machine of language/.
 */
import type { AstNode, Reference } from 'langium';
import type {
    Card,
    CardPart,
    Equipment,
    EquipmentPart,
    File,
    Item,
    Place,
    Quantity,
    Subtask,
} from '../../../language/grammar/generated/ast.js';

export const nameOf = (reference: Reference<AstNode> | undefined): string => reference?.$refText ?? '';

/** States, normal first, and what each verb brings about; only kinds that a person operates. */
const kinds: Record<string, { states: readonly string[]; verbs: Record<string, string> }> = {
    breaker: { states: ['CLOSED', 'PULLED'], verbs: { pull: 'PULLED', close: 'CLOSED' } },
    button: { states: ['RELEASED', 'PRESSED'], verbs: {} },
    control: { states: [], verbs: {} },
    connector: { states: ['CONNECTED', 'DISCONNECTED'], verbs: { disconnect: 'DISCONNECTED', connect: 'CONNECTED' } },
    lead: { states: ['DISCONNECTED', 'CONNECTED'], verbs: { disconnect: 'DISCONNECTED', connect: 'CONNECTED' } },
    stimulus: { states: ['ABSENT', 'APPLIED'], verbs: { apply: 'APPLIED', remove: 'ABSENT' } },
};
for (const kind of ['door', 'port']) {
    kinds[kind] = { states: ['CLOSED', 'OPEN'], verbs: { open: 'OPEN', close: 'CLOSED' } };
}
const presence = ['INSTALLED', 'REMOVED'];
const presenceVerbs: Record<string, string> = { remove: 'REMOVED', install: 'INSTALLED' };
for (const kind of ['panel', 'unit', 'seal', 'fastener', 'plug', 'lock']) {
    kinds[kind] = { states: presence, verbs: presenceVerbs };
}
for (const kind of ['pin', 'cap', 'cover', 'chock']) {
    kinds[kind] = { states: ['REMOVED', 'INSTALLED'], verbs: presenceVerbs };
}

/** One memory cell: `slot` is `ITEM`, `ITEM presence` or `ITEM tag`. */
export interface Cell {
    readonly slot: string;
    readonly states: readonly string[];
    readonly normal: string;
}

export interface Inventory {
    readonly cells: ReadonlyMap<string, Cell>;
    readonly items: ReadonlyMap<string, Item>;
    readonly places: ReadonlyMap<string, Place>;
    /** By item, the place that it is at: its own, or that of what it is in. */
    readonly placeOf: (item: string) => string;
    readonly operated: (item: string) => boolean;
}

export interface Texts {
    readonly equipments: ReadonlyMap<string, Equipment>;
    readonly subtasks: ReadonlyMap<string, Subtask>;
    readonly cards: ReadonlyMap<string, Card>;
}

export function textsOf(files: readonly File[]): Texts {
    const equipments = new Map<string, Equipment>();
    const subtasks = new Map<string, Subtask>();
    const cards = new Map<string, Card>();
    for (const each of files.flatMap(file => file.declarations)) {
        if (each.$type === 'Equipment') equipments.set(each.name, each);
        if (each.$type === 'Subtask') subtasks.set(each.name, each);
        if (each.$type === 'Card') cards.set(each.name, each);
    }
    return { equipments, subtasks, cards };
}

/** Whether the aircraft has a modification. */
export type Has = (modification: string) => boolean;

export function inventoryOf(texts: Texts, card: Card, has: Has): Inventory {
    const items = new Map<string, Item>();
    const places = new Map<string, Place>();
    const seen = new Set<string>();
    const readParts = (parts: readonly EquipmentPart[]): void => {
        for (const part of parts) {
            if (part.$type === 'Item') items.set(part.name, part);
            else if (part.$type === 'Place') places.set(part.name, part);
            else if (part.$type === 'WhereParts')
                readParts(has(nameOf(part.modification)) ? part.parts : part.otherwise);
        }
    };
    const read = (name: string): void => {
        const equipment = texts.equipments.get(name);
        if (!equipment || seen.has(name)) return;
        seen.add(name);
        for (const used of equipment.uses) read(nameOf(used));
        readParts(equipment.parts);
    };
    for (const part of partsOf(card, has)) {
        if (part.$type === 'UsesPart') for (const used of part.equipment) read(nameOf(used));
    }

    const cells = new Map<string, Cell>();
    for (const item of items.values()) {
        const known = kinds[item.kind];
        let states = known?.states ?? [];
        let normal: string | undefined;
        for (const clause of item.clauses) {
            if (clause.$type === 'PositionsClause') states = (clause as unknown as { states: string[] }).states;
            if (clause.$type === 'NormalClause') normal = (clause as unknown as { state: string }).state;
        }
        if (known) cells.set(item.name, { slot: item.name, states, normal: normal ?? states[0] ?? '' });
        if (!(known && states.includes('INSTALLED')) && !['area', 'stimulus', 'source'].includes(item.kind)) {
            const slot = `${item.name} presence`;
            cells.set(slot, { slot, states: presence, normal: 'INSTALLED' });
        }
        if (['breaker', 'control', 'button'].includes(item.kind)) {
            const slot = `${item.name} tag`;
            cells.set(slot, { slot, states: ['NO-TAG', 'TAGGED'], normal: 'NO-TAG' });
        }
    }
    const placeOf = (name: string): string => {
        for (const clause of items.get(name)?.clauses ?? []) {
            if (clause.$type === 'AtClause') return nameOf((clause as unknown as { place: Reference<Place> }).place);
            if (clause.$type === 'InClause')
                return placeOf(nameOf((clause as unknown as { unit: Reference<Item> }).unit));
        }
        return '';
    };
    return { cells, items, places, placeOf, operated: name => kinds[items.get(name)?.kind ?? ''] !== undefined };
}

/** The parts of a card for one aircraft, `where` decided. */
export function partsOf(card: Card, has: Has): CardPart[] {
    const flat = (parts: readonly CardPart[]): CardPart[] =>
        parts.flatMap(part =>
            part.$type === 'WhereCard' ? flat(has(nameOf(part.modification)) ? part.parts : part.otherwise) : [part],
        );
    return flat(card.parts);
}

/** The cell and the state that a verb on an item means; an area is no cell (it gets wet by itself). */
export function effect(inventory: Inventory, verb: string, item: string): { slot: string; state: string } | undefined {
    const kind = inventory.items.get(item)?.kind ?? '';
    const own = kinds[kind]?.verbs[verb];
    if (own) return { slot: item, state: own };
    const other = presenceVerbs[verb];
    return other && inventory.cells.has(`${item} presence`) ? { slot: `${item} presence`, state: other } : undefined;
}

/** `ensure X is S` reads S as a state of the item itself, else as being there or not. */
export function settingOf(inventory: Inventory, item: string, state: string): { slot: string; state: string } {
    return !inventory.cells.get(item)?.states.includes(state) && presence.includes(state)
        ? { slot: `${item} presence`, state }
        : { slot: item, state };
}

export function secondsOf(quantity: Quantity | undefined): number {
    if (!quantity) return 0;
    const factor = { s: 1, min: 60, h: 3600 }[quantity.unit];
    if (factor === undefined) throw new Error(`"${quantity.unit}" is no time`);
    return Number(quantity.value.replaceAll(',', '')) * factor;
}
