import type { JudgedCard } from '../../check.js';
import { type Item, type Machine, NONE } from '../../machine/machine.js';

/** What one thing is called on both sides: the name that it has in the new text. By old name. */
export interface Renames {
    readonly items: ReadonlyMap<string, string>;
    readonly places: ReadonlyMap<string, string>;
    readonly roles: ReadonlyMap<string, string>;
    readonly tools: ReadonlyMap<string, string>;
    readonly spares: ReadonlyMap<string, string>;
    readonly materials: ReadonlyMap<string, string>;
}

const none: ReadonlyMap<string, string> = new Map();
export const noRenames: Renames = {
    items: none,
    places: none,
    roles: none,
    tools: none,
    spares: none,
    materials: none,
};

/** A thing that is there under another name: of those that one side alone has, the ones that are most alike. */
export function renamesBetween(old: JudgedCard, now: JudgedCard): Renames {
    const [one, two] = [old.plan, now.plan];
    const places = paired(old.machine.places, now.machine.places, (a, b) => (a.label === b.label ? 1 : 0));
    return {
        places,
        items: renamedItems(old.machine, now.machine, places),
        roles: paired(one.roles, two.roles, (a, b) =>
            alike(a.label === b.label, placeName(old, a) === placeName(now, b)),
        ),
        tools: paired(one.tools, two.tools, (a, b) => alike(a.label === b.label, a.range?.text === b.range?.text)),
        spares: paired(one.spares, two.spares, (a, b) => alike(a.label === b.label, a.part === b.part)),
        materials: paired(one.materials, two.materials, (a, b) => alike(a.label === b.label, true)),
    };
}

const placeName = ({ machine }: JudgedCard, role: { readonly place: number }): string =>
    machine.places[role.place]?.name ?? '';

/** The label weighs more than the rest; neither alone is enough where both differ. */
const alike = (label: boolean, rest: boolean): number => (label ? 2 : 0) + (rest && label ? 1 : 0);

interface HasName {
    readonly name: string;
}

function paired<T extends HasName>(
    old: readonly T[],
    now: readonly T[],
    likeness: (a: T, b: T) => number,
): ReadonlyMap<string, string> {
    const kept = new Set(now.map(each => each.name));
    const known = new Set(old.map(each => each.name));
    const gone = old.filter(each => !kept.has(each.name));
    const fresh = now.filter(each => !known.has(each.name));
    if (gone.length === 0 || fresh.length === 0) return none;
    const pairs = gone
        .flatMap(a => fresh.map(b => ({ a, b, score: likeness(a, b) })))
        .filter(each => each.score > 0)
        .sort((x, y) => y.score - x.score);
    const found = new Map<string, string>();
    const taken = new Set<string>();
    for (const { a, b } of pairs) {
        if (found.has(a.name) || taken.has(b.name)) continue;
        found.set(a.name, b.name);
        taken.add(b.name);
    }
    return found;
}

/** An item is told by what is said of it: where it is, what it is in, what feeds it, what it does. At least as much must agree as differs. */
function renamedItems(old: Machine, now: Machine, places: ReadonlyMap<string, string>): ReadonlyMap<string, string> {
    const namesOf = (machine: Machine, items: readonly number[]): string =>
        items
            .map(each => machine.items[each]?.name ?? '')
            .sort()
            .join(' ');
    const traits = (machine: Machine, item: Item, renamed: ReadonlyMap<string, string>): string[] => {
        const place = machine.places[item.place]?.name ?? '';
        return [
            `label ${item.label}`,
            `place ${renamed.get(place) ?? place}`,
            `unit ${namesOf(machine, item.unit === NONE ? [] : [item.unit])}`,
            `feeds ${namesOf(machine, item.feeds)}`,
            `states ${item.states.join(' ')}`,
            `grid ${item.grid ?? ''}`,
            `behaviour ${item.shows.length} ${item.goes.length} ${item.goes.map(each => `${each.min} ${each.max}`).join(' ')}`,
            `carries ${namesOf(machine, item.carries === NONE ? [] : [item.carries])}`,
        ];
    };
    return paired(old.items, now.items, (a, b) => {
        if (a.kind !== b.kind || a.equipment !== b.equipment) return 0;
        const [one, two] = [traits(old, a, places), traits(now, b, none)];
        const same = one.filter((each, n) => each === two[n]).length;
        // Of one kind in one place much agrees of itself: without the label all the rest must.
        return a.label === b.label ? same + 1 : same >= one.length - 1 ? same : 0;
    });
}

/** One card on one side, its things called by the names that both sides share. */
export class Side {
    constructor(
        readonly judged: JudgedCard,
        private readonly renames: Renames,
    ) {}

    private shared(table: keyof Renames, name: string | undefined): string {
        return name === undefined ? '' : (this.renames[table].get(name) ?? name);
    }
    item = (index: number): string => this.shared('items', this.judged.machine.items[index]?.name);
    place = (index: number): string => this.shared('places', this.judged.machine.places[index]?.name);
    role = (index: number): string => this.shared('roles', this.judged.plan.roles[index]?.name);
    tool = (index: number): string => this.shared('tools', this.judged.plan.tools[index]?.name);
    spare = (index: number): string => this.shared('spares', this.judged.plan.spares[index]?.name);
    material = (index: number): string => this.shared('materials', this.judged.plan.materials[index]?.name);

    /** Whatever has this name in the text. */
    named(name: string): string {
        for (const table of ['items', 'places', 'tools', 'materials', 'spares', 'roles'] as const) {
            const found = this.renames[table].get(name);
            if (found !== undefined) return found;
        }
        return name;
    }

    state(slot: number, state: number): string {
        return this.judged.machine.slots[slot]?.states[state] ?? '';
    }

    itemOf = (index: number): Item | undefined => this.judged.machine.items[index];
}
