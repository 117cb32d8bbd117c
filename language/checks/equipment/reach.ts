import { type Program, runProgram } from '../../conditions/program.js';
import { type Circuit, circuitOf, type MovedCircuit, type ShownCircuit } from '../../machine/circuit.js';
import { type Item, type Machine, NONE } from '../../machine/machine.js';

/**
 * The states that each cell of a machine may come to be in. Each thing that moves or shows is looked at by itself: every combination of the
 * states that what it rests on may be in is tried. That some of them never come together is not seen, so more may be
 * called possible than is; what is called impossible is so, whatever fails.
 */
export interface Reach {
    readonly machine: Machine;
    readonly circuit: Circuit;
    /** By cell. */
    readonly cells: readonly ReadonlySet<number>[];
}

/** More combinations than this are not tried: then everything is taken to be possible. */
const MOST = 4096;

const known = new WeakMap<Machine, Reach>();

export function reachOf(machine: Machine): Reach {
    let reach = known.get(machine);
    if (!reach) {
        reach = compute(machine);
        known.set(machine, reach);
    }
    return reach;
}

function compute(machine: Machine): Reach {
    const circuit = circuitOf(machine);
    const cells = Array.from({ length: circuit.cells }, () => new Set<number>());
    for (const [slot, { item, kind, states, normal }] of machine.slots.entries()) {
        const { nature } = machine.items[item] as Item;
        const all = kind !== 'state' || nature === 'operated';
        for (const state of all ? states.keys() : [normal]) cells[slot]?.add(state);
    }
    for (const item of machine.items.keys()) for (const closed of [0, 1]) cells[circuit.contact(item)]?.add(closed);
    for (const own of machine.ownFailures) cells[own.slot]?.add(own.state);
    const reach = { machine, circuit, cells };
    const add = (slot: number, states: Iterable<number>): boolean => {
        const before = cells[slot]?.size;
        for (const state of states) cells[slot]?.add(state);
        return cells[slot]?.size !== before;
    };
    for (const moved of circuit.moved) if (!moved.stays) add(moved.slot, [NONE]);
    for (let again = true; again; ) {
        again = false;
        for (const shown of circuit.shown)
            if (
                add(
                    shown.slot,
                    everyOutcome(reach, shown.reads, cells => shownAs(machine, circuit, shown, cells), shown),
                )
            )
                again = true;
        for (const moved of circuit.moved)
            if (
                add(
                    moved.slot,
                    everyOutcome(reach, readsOf(moved), cells => wantedBy(moved, cells), moved),
                )
            )
                again = true;
    }
    return reach;
}

/** Every result over all combinations of what the cells may be; every state of the thing itself where there are too many. */
function everyOutcome(
    { cells, machine }: Reach,
    reads: readonly number[],
    outcome: (cells: ArrayLike<number>) => number,
    of: { readonly slot: number },
): Set<number> {
    const found = new Set<number>();
    const { item, states } = machine.slots[of.slot] ?? { item: NONE, states: [] };
    // A gauge has bands where others have states.
    const all = new Set([...states.keys(), ...(machine.items[item]?.shows.map(each => each.state) ?? [])]);
    const tried = combinations(cells, reads, values => {
        found.add(outcome(values));
        return found.size > all.size;
    });
    if (!tried) for (const state of all) found.add(state);
    // Nothing wants it to move: it stays.
    if ('stays' in of) found.delete(STAYS);
    return found;
}

const STAYS = -2;

/** False where there are too many to try. `visit` says true to end. */
function combinations(
    cells: Reach['cells'],
    reads: readonly number[],
    visit: (values: Int32Array) => boolean,
): boolean {
    const choices = reads.map(cell => [...(cells[cell] ?? [])]);
    const count = choices.reduce((product, each) => product * Math.max(1, each.length), 1);
    if (count > MOST) return false;
    const values = new Int32Array(cells.length).fill(NONE);
    for (let n = 0; n < count; n++) {
        let rest = n;
        for (const [at, cell] of reads.entries()) {
            const own = choices[at] ?? [];
            values[cell] = own[rest % Math.max(1, own.length)] ?? NONE;
            rest = Math.floor(rest / Math.max(1, own.length));
        }
        if (visit(values)) return true;
    }
    return true;
}

const readsOf = (moved: MovedCircuit): number[] => [...new Set(moved.goes.flatMap(go => go.reads))];

/** What a shown thing is in these cells. A joint lets out what it carries when it is off, and when it has failed. */
function shownAs(machine: Machine, circuit: Circuit, shown: ShownCircuit, cells: ArrayLike<number>): number {
    if (shown.fed && !runProgram(shown.fed, cells)) return shown.unfed;
    for (const n of shown.joints) {
        const source = machine.items[circuit.joints[n]?.source ?? NONE];
        if (source && cells[source.slot] === source.states.indexOf('LIVE')) return 1;
    }
    return shown.shows.find(each => holds(each.when, cells))?.state ?? shown.else;
}

function wantedBy(moved: MovedCircuit, cells: ArrayLike<number>): number {
    const otherwise = moved.goes.find(go => !go.when);
    if (moved.inPlace && !runProgram(moved.inPlace, cells)) return (moved.stays ? otherwise?.to : undefined) ?? STAYS;
    return (moved.goes.find(go => go.when && runProgram(go.when, cells)) ?? otherwise)?.to ?? STAYS;
}

const holds = (when: Program | undefined, cells: ArrayLike<number>): boolean => !when || runProgram(when, cells);

export function mayHold({ circuit, cells }: Reach, when: Parameters<Circuit['compile']>[0]): boolean {
    const program = circuit.compile(when);
    let found = false;
    const reads = [...new Set(cellsIn(program))];
    const tried = combinations(cells, reads, values => {
        found = runProgram(program, values);
        return found;
    });
    return found || !tried;
}

function* cellsIn(program: Program): Iterable<number> {
    for (let at = 0; at < program.length; at += 3) if (program[at] === 0) yield program[at + 1] as number;
}

/** The states in which a thing may be found where it is in place: what is removed shows nothing. */
export function foundIn(reach: Reach, index: number): ReadonlySet<number> {
    const { machine, circuit, cells } = reach;
    const slot = machine.items[index]?.slot ?? NONE;
    const shown = circuit.shown.find(each => each.item === index);
    if (!shown) return cells[slot] ?? new Set();
    const own = new Set<number>();
    for (let at = index, n = 0; at !== NONE && n <= machine.items.length; at = machine.items[at]?.unit ?? NONE, n++)
        own.add(machine.items[at]?.presence ?? NONE);
    const installed = (cell: number): Set<number> =>
        new Set([machine.slots[cell]?.states.indexOf('INSTALLED') ?? NONE]);
    const inPlace = cells.map((all, cell) => (own.has(cell) ? installed(cell) : all));
    const found = everyOutcome(
        { ...reach, cells: inPlace },
        shown.reads,
        each => shownAs(machine, circuit, shown, each),
        shown,
    );
    for (const failure of machine.ownFailures) if (failure.slot === slot) found.add(failure.state);
    return found;
}

/** Whether anything that moves or shows may come out otherwise when this cell changes. */
export function matters(reach: Reach, cell: number): boolean {
    const { machine, circuit, cells } = reach;
    const differs = (reads: readonly number[], outcome: (cells: ArrayLike<number>) => number): boolean => {
        if (!reads.includes(cell)) return false;
        let found = false;
        const others = reads.filter(each => each !== cell);
        const tried = combinations(cells, others, values => {
            const outcomes = new Set<number>();
            for (const value of cells[cell] ?? []) {
                values[cell] = value;
                outcomes.add(outcome(values));
            }
            found = outcomes.size > 1;
            return found;
        });
        return found || !tried;
    };
    return (
        circuit.shown.some(shown => differs(shown.reads, values => shownAs(machine, circuit, shown, values))) ||
        circuit.moved.some(moved => differs(readsOf(moved), values => wantedBy(moved, values)))
    );
}

/** The cell that a failure of the item changes: the contact of a breaker, else its own state. */
export const cellOf = ({ circuit, machine }: Reach, item: number): number =>
    machine.items[item]?.kind === 'breaker' ? circuit.contact(item) : (machine.items[item]?.slot ?? NONE);

/** States that the text gives the thing, apart from those that every thing of its kind has. */
export function statesWritten(machine: Machine, index: number): readonly number[] {
    const item = machine.items[index] as Item;
    if (item.nature === 'moved') return [...(machine.slots[item.slot]?.states.keys() ?? [])];
    if (item.kind === 'source') return item.live ? [item.states.indexOf('LIVE')] : [];
    if (item.nature === 'wetted') return [item.states.indexOf('WET')];
    return item.nature === 'shown' ? [...new Set(item.shows.map(each => each.state))] : [];
}
