import type { Condition } from '../conditions/condition.js';
import {
    AND,
    type CellTest,
    type CellTests,
    cellsOf,
    compileProgram,
    compileTests,
    NOT,
    type Program,
} from '../conditions/program.js';
import { kindOf } from '../vocabulary/kinds/index.js';
import { type Item, type Machine, NONE } from './machine.js';
import { itemsIn, orderOfDependence } from './order.js';

/**
 * A Machine with its conditions compiled to programs over cells. Derived and cached; never stored or sent.
 * One cell a slot, then one an item: the closed contact of a breaker (1) or not (0).
 */
export interface Circuit {
    readonly machine: Machine;
    readonly cells: number;
    readonly shown: readonly ShownCircuit[];
    readonly moved: readonly MovedCircuit[];
    readonly compile: (condition: Condition) => Program;
    readonly contact: (item: number) => number;
    /** By joint with a source: what it takes to let out. */
    readonly joints: readonly Joint[];
}

export interface ShownCircuit {
    readonly item: number;
    readonly slot: number;
    /** Runs when this holds: feeds, and everything it is in is in place. Undefined: always. */
    readonly fed?: Program;
    /** What it is when not fed. */
    readonly unfed: number;
    readonly shows: readonly { readonly state: number; readonly when?: Program }[];
    /** State where no `shows` holds. */
    readonly else: number;
    /** Joints that wet it, as indices into `joints`; only for areas. */
    readonly joints: readonly number[];
    /** Every cell that its state rests on. */
    readonly reads: readonly number[];
}

export interface MovedCircuit {
    readonly item: number;
    readonly slot: number;
    readonly stays: boolean;
    /** In place, and in nothing that is off. Undefined: always. */
    readonly inPlace?: Program;
    readonly goes: readonly {
        readonly to: number;
        readonly min: number;
        readonly max: number;
        readonly when?: Program;
        readonly reads: readonly number[];
    }[];
}

export interface Joint {
    readonly item: number;
    readonly area: number;
    readonly source: number;
    /** True while it is off or open: it lets out what it carries. */
    readonly off: Program;
    readonly reads: readonly number[];
}

/** Two connectors with their ends swapped. */
export interface Crossing {
    readonly a: number;
    readonly b: number;
}

const circuits = new WeakMap<Machine, Circuit>();

/** The circuit of a machine; computed once. With a crossing: a circuit of its own in which what is fed through one connector is fed through the other. */
export function circuitOf(machine: Machine, crossing?: Crossing): Circuit {
    if (crossing) return crossedCircuit(machine, crossing) ?? circuitOf(machine);
    let circuit = circuits.get(machine);
    if (!circuit) {
        circuit = build(machine);
        circuits.set(machine, circuit);
    }
    return circuit;
}

/** Whether the crossing changes anything at all. */
export function crossingMatters(machine: Machine, crossing: Crossing): boolean {
    return crossedMachine(machine, crossing) !== undefined;
}

interface Crossed {
    readonly machine: Machine;
    circuit?: Circuit;
}

const crossings = new WeakMap<Machine, Map<string, Crossed | undefined>>();

/** Undefined where the crossing changes nothing, or would make the machine feed itself. Only who runs it needs its circuit. */
function crossedMachine(machine: Machine, crossing: Crossing): Crossed | undefined {
    const known = crossings.get(machine) ?? new Map<string, Crossed | undefined>();
    crossings.set(machine, known);
    const key = `${crossing.a} ${crossing.b}`;
    if (known.has(key)) return known.get(key);
    const items = crossed(machine.items, crossing);
    const changes = items.some((item, index) => item !== machine.items[index]);
    const { order, ring } = changes ? orderOfDependence(items, machine.ownFailures) : machine;
    const found = changes && ring.length === 0 ? { machine: { ...machine, items, order } } : undefined;
    known.set(key, found);
    return found;
}

function crossedCircuit(machine: Machine, crossing: Crossing): Circuit | undefined {
    const found = crossedMachine(machine, crossing);
    if (found) found.circuit ??= build(found.machine);
    return found?.circuit;
}

/**
 * Swaps what lies upstream of two connectors: what they carry, where they are hoses; their own feeds, where they have any; else, the other feeds of
 * what runs through each.
 */
function crossed(items: readonly Item[], crossing: Crossing): Item[] {
    const { a, b } = crossing;
    const changed = [...items];
    if (items[a]?.carries !== NONE || items[b]?.carries !== NONE) return crossedHoses(items, crossing);
    const ofA = (items[a] as Item).feeds;
    const ofB = (items[b] as Item).feeds;
    if (ofA.length > 0 || ofB.length > 0) {
        if (ofA.join() !== ofB.join()) {
            changed[a] = { ...(items[a] as Item), feeds: ofB };
            changed[b] = { ...(items[b] as Item), feeds: ofA };
        }
        return changed;
    }
    const othersOf = (through: number, not: number): number[] => {
        const others = new Set<number>();
        for (const item of items) {
            if (item.feeds.includes(through) && !item.feeds.includes(not))
                for (const feed of item.feeds) if (feed !== through) others.add(feed);
        }
        return [...others];
    };
    const upstreamA = othersOf(a, b);
    const upstreamB = othersOf(b, a);
    if (upstreamA.join() === upstreamB.join()) return changed;
    for (const [index, item] of items.entries()) {
        const hasA = item.feeds.includes(a);
        const hasB = item.feeds.includes(b);
        if (hasA && !hasB) changed[index] = { ...item, feeds: [a, ...upstreamB] };
        else if (hasB && !hasA) changed[index] = { ...item, feeds: [b, ...upstreamA] };
    }
    return changed;
}

/** What asks for the hose and for what it carries is given what the other carries. */
function crossedHoses(items: readonly Item[], { a, b }: Crossing): Item[] {
    const ofA = items[a]?.carries ?? NONE;
    const ofB = items[b]?.carries ?? NONE;
    const changed = [...items];
    if (ofA === NONE || ofB === NONE || ofA === ofB) return changed;
    let matters = false;
    for (const [index, item] of items.entries()) {
        const named = new Set(item.feeds);
        for (const each of [...item.shows, ...item.goes]) itemsIn(each.when, one => named.add(one));
        itemsIn(item.live, one => named.add(one));
        const swap = (one: number): number =>
            one === ofA && named.has(a) ? ofB : one === ofB && named.has(b) ? ofA : one;
        if (![...named].some(one => swap(one) !== one)) continue;
        matters = true;
        const given = <T extends { readonly when?: Condition }>(each: T): T =>
            each.when ? { ...each, when: swapped(each.when, swap, items) } : each;
        changed[index] = {
            ...item,
            feeds: item.feeds.map(swap),
            shows: item.shows.map(given),
            goes: item.goes.map(given),
            ...(item.live ? { live: swapped(item.live, swap, items) } : {}),
        };
    }
    if (!matters) return changed;
    changed[a] = { ...(changed[a] as Item), carries: ofB };
    changed[b] = { ...(changed[b] as Item), carries: ofA };
    return changed;
}

/** The condition with one source asked for in place of another. */
function swapped(condition: Condition, swap: (item: number) => number, items: readonly Item[]): Condition {
    switch (condition.op) {
        case 'and':
        case 'or':
            return { ...condition, of: condition.of.map(each => swapped(each, swap, items)) };
        case 'not':
            return { ...condition, of: swapped(condition.of, swap, items) };
        case 'live':
            return { ...condition, item: swap(condition.item) };
        case 'is': {
            const item = swap(condition.item);
            return item === condition.item ? condition : { ...condition, item, slot: items[item]?.slot ?? NONE };
        }
        default:
            return condition;
    }
}

function build(machine: Machine): Circuit {
    const { items, slots } = machine;
    const contact = (item: number): number => slots.length + item;
    const fed = new Map<number, readonly CellTest[]>();

    /** Everything that the item is in is in place, and so is the item. */
    const inPlace = (index: number): CellTest[] => {
        const tests: CellTest[] = [];
        for (let at = index, n = 0; at !== NONE && n <= items.length; at = (items[at] as Item).unit, n++) {
            const item = items[at] as Item;
            if (item.presence !== NONE)
                tests.push({ cell: item.presence, value: stateNamed(machine, item.presence, 'INSTALLED') });
        }
        return tests;
    };
    const open = new Set<number>();
    const live = (index: number): readonly CellTest[] => {
        const known = fed.get(index);
        if (known) return known;
        if (open.has(index)) return [];
        open.add(index);
        const item = items[index] as Item;
        const kind = kindOf(item.kind);
        const tests: CellTest[] = [];
        if (item.nature === 'shown') {
            // Lit, sounding, running: anything but what it is when it is not.
            if (item.kind === 'source') tests.push({ cell: item.slot, value: item.states.indexOf('LIVE') });
            else
                tests.push(
                    { cell: item.slot, value: restState(item), not: true },
                    { cell: item.slot, value: NONE, not: true },
                );
        } else if (item.kind === 'breaker') {
            tests.push({ cell: contact(index), value: 1 }, ...inPlace(index));
            for (const feed of item.feeds) tests.push(...live(feed));
        } else {
            tests.push({ cell: item.slot, value: item.states.indexOf(kind.bare ?? '') }, ...inPlace(index));
            if (item.nature === 'operated') for (const feed of item.feeds) tests.push(...live(feed));
        }
        open.delete(index);
        const unique = [...new Map(tests.map(test => [`${test.cell} ${test.value} ${test.not}`, test])).values()];
        fed.set(index, unique);
        return unique;
    };
    const tests: CellTests = { live, contact };
    const compile = (condition: Condition): Program => compileProgram(condition, tests);

    const joints: Joint[] = [];
    for (const [index, item] of items.entries()) {
        if (item.carries === NONE) continue;
        const kind = kindOf(item.kind);
        const on: CellTest[] = inPlace(index);
        if (kind.on && !kind.isPresence) on.push({ cell: item.slot, value: item.states.indexOf(kind.on) });
        const program = Int32Array.from([...compileTests(on), NOT, 0, 0]);
        joints.push({
            item: index,
            area: item.wets,
            source: item.carries,
            off: program,
            reads: [...cellsOf(program), (items[item.carries] as Item).slot],
        });
    }

    const shown: ShownCircuit[] = machine.order.map(index => {
        const item = items[index] as Item;
        const feeds: CellTest[] =
            item.nature === 'shown' ? [...inPlace(index), ...item.feeds.flatMap(feed => live(feed))] : [];
        const fedBy = feeds.length > 0 ? compileTests(feeds) : undefined;
        const reads = new Set<number>(fedBy ? cellsOf(fedBy) : []);
        const rest = restState(item);
        const shows: { state: number; when?: Program }[] = [];
        const add = (state: number, when?: Program): void => {
            shows.push({ state, when });
            if (when) for (const cell of cellsOf(when)) reads.add(cell);
        };
        if (item.kind === 'source') {
            add(item.states.indexOf('LIVE'), item.live && compile(item.live));
        } else {
            for (const show of item.shows) add(show.state, show.when && compile(show.when));
            if (item.shows.length === 0 && (item.kind === 'motor' || item.kind === 'light' || item.kind === 'horn'))
                add(item.states.length > 1 ? 1 - rest : rest);
        }
        const wettedBy = joints.flatMap((joint, n) => (joint.area === index ? [n] : []));
        for (const n of wettedBy) for (const cell of (joints[n] as Joint).reads) reads.add(cell);
        return {
            item: index,
            slot: item.slot,
            fed: fedBy,
            unfed: rest,
            shows,
            else: rest,
            joints: wettedBy,
            reads: [...reads],
        };
    });

    const moved: MovedCircuit[] = [];
    for (const [index, item] of items.entries()) {
        if (item.nature !== 'moved') continue;
        const there = inPlace(index);
        const feeds = item.feeds.flatMap(feed => live(feed));
        const programs = item.goes.map(go => {
            const when = go.when && compile(go.when);
            return when && feeds.length > 0 ? Int32Array.from([...when, ...compileTests(feeds), AND, 2, 0]) : when;
        });
        const placed = there.map(test => test.cell);
        // `otherwise` rests on the conditions of all the others.
        const any = programs.flatMap(program => (program ? cellsOf(program) : []));
        moved.push({
            item: index,
            slot: item.slot,
            stays: kindOf(item.kind).cutShort === 'stays',
            inPlace: there.length > 0 ? compileTests(there) : undefined,
            goes: item.goes.map((go, n) => {
                const when = programs[n];
                return {
                    to: go.to,
                    min: go.min,
                    max: go.max,
                    when,
                    reads: [...new Set([...(when ? cellsOf(when) : any), ...placed])],
                };
            }),
        });
    }
    return { machine, cells: slots.length + items.length, shown, moved, compile, contact, joints };
}

/** What a shown item is when it is not fed or nothing else holds: its `otherwise`, a light OFF; NONE for gauges, and where nothing says. */
export function restState(item: Item): number {
    if (item.nature === 'wetted') return 0;
    if (item.kind === 'gauge') return NONE;
    if (item.kind === 'source') return item.states.indexOf('DEAD');
    const otherwise = item.shows.find(show => !show.when);
    if (otherwise) return otherwise.state;
    if (item.kind === 'light' || item.kind === 'horn' || item.kind === 'motor') return 0;
    return NONE;
}

function stateNamed(machine: Machine, slot: number, name: string): number {
    return machine.slots[slot]?.states.indexOf(name) ?? NONE;
}
