/**
 * The slow runner: every path through a card, one after the other, nothing joined. It expands subtasks, loops, branches and
 * repeats from the syntax tree by itself, and follows the plan beside it, event by event, so that whatever the lowering does
 * otherwise shows as a disagreement.
 *
 * It stands on the parser and on types alone, so that no mistake of language/ can hide in it.
 */
import type { AstNode } from 'langium';
import type {
    Act,
    Card,
    Do,
    File,
    ForEach,
    Hold,
    If,
    Keep,
    Look,
    Repeat,
    Statement,
    Step,
} from '../../../language/grammar/generated/ast.js';
import type { Machine } from '../../../language/machine/machine.js';
import type { Event, Plan } from '../../../language/plan/plan.js';
import {
    effect,
    type Has,
    type Inventory,
    inventoryOf,
    nameOf,
    partsOf,
    secondsOf,
    settingOf,
    textsOf,
} from './inventory.js';

/** What was found before one event, over some of the paths that lead to it. */
export interface Found {
    readonly states: Map<string, Set<string>>;
    /** By cell, the events that changed it last; -1 for "as the card began". */
    readonly by: Map<string, Set<number>>;
    /** By cell, the least guaranteed seconds since its last change. */
    readonly least: Map<string, number>;
    /** By role, where it may have its base, and where it may stand; '' for nowhere yet. */
    readonly base: Map<string, Set<string>>;
    readonly stands: Map<string, Set<string>>;
}

/**
 * `sure`: over the ways on which every look at something that only people operate comes out as it stands; undefined where none
 * leads. `all`: over those too on which it does not, as after a failure.
 */
export interface Seen {
    sure: Found | undefined;
    readonly all: Found;
}

export interface Walked {
    readonly at: ReadonlyMap<number, Seen>;
    readonly paths: number;
    /** True where there were more paths than `most`: then nothing may be concluded from what was not found. */
    readonly cut: boolean;
    /** Where the plan does not say what the text says. */
    readonly disagreements: readonly string[];
    /** Cells that an action brought to different states, or by different events, in two arms: joined, they may be less exact. */
    readonly inventory: Inventory;
}

interface State {
    readonly cells: Map<string, string>;
    readonly by: Map<string, number>;
    readonly since: Map<string, number>;
    readonly base: Map<string, string>;
    readonly stands: Map<string, string>;
    /** By place in the expanded text: how often the repeat there has gone back. */
    readonly passes: Map<string, { readonly trail: Trail; readonly count: number }>;
    clock: number;
    /** Where the plan is: the next event to be read. */
    at: number;
    /** On this way a look at something operated has come out otherwise than it stands. */
    doubtful: boolean;
    /** Held by hand, innermost last. */
    held: readonly { slot: string; back: string; statement: AstNode }[];
}

/** Names of parameters and loops, and what they stand for here. */
type Names = ReadonlyMap<string, string>;
type Then = (state: State) => void;
/** Where a statement stands in the text with all calls and loops written out; compared number by number. */
type Trail = readonly number[];
type Again = (step: string, state: State) => void;

interface Expected {
    readonly kind: string;
    readonly item?: string;
    readonly slot?: string;
    readonly state?: string;
    readonly role?: string;
    readonly guaranteed?: number;
    readonly place?: string;
    readonly to?: string;
    /** The state is the plan's to say. */
    readonly free?: boolean;
    /** Seconds that have surely passed when the look fails. */
    readonly failing?: number;
    /** What a look at something operated says of it when it is met. */
    readonly says?: { readonly slot: string; readonly state: string };
    readonly apply?: (state: State, event: Event) => void;
}

const bookkeeping = new Set(['join', 'step-start', 'step-end']);

export function walk(files: readonly File[], cardName: string, plan: Plan, machine: Machine, most = 20_000): Walked {
    const texts = textsOf(files);
    const card = texts.cards.get(cardName);
    if (!card) throw new Error(`no card ${cardName}`);
    const has: Has = name => plan.variant.modifications.some(each => each.name === name && each.embodied);
    const inventory = inventoryOf(texts, card, has);
    const at = new Map<number, Seen>();
    const disagreements = new Set<string>();
    let paths = 0;
    let cut = false;

    for (const state of beginnings(card)) {
        steps(card, new Map(), stepsOf(card), 0, [], state, ended => way(ended, { kind: 'end' }));
    }
    return { at, paths, cut, disagreements: [...disagreements], inventory };

    function stepsOf(each: Card): Step[] {
        return partsOf(each, has).filter((part): part is Step => part.$type === 'Step');
    }

    function beginnings(each: Card): State[] {
        let states: State[] = [
            {
                cells: new Map([...inventory.cells.values()].map(cell => [cell.slot, cell.normal])),
                by: new Map([...inventory.cells.keys()].map(slot => [slot, -1])),
                since: new Map([...inventory.cells.keys()].map(slot => [slot, 0])),
                base: new Map(),
                stands: new Map(),
                passes: new Map(),
                clock: 0,
                at: 0,
                doubtful: false,
                held: [],
            },
        ];
        for (const part of partsOf(each, has)) {
            if (part.$type === 'Role') for (const state of states) state.base.set(part.name, nameOf(part.place));
            if (part.$type !== 'StartPart') continue;
            for (const setting of part.settings) {
                const item = nameOf(setting.item);
                states = states.flatMap(state =>
                    setting.states.map(wanted => {
                        const copy = copyOf(state);
                        const cell = settingOf(inventory, item, wanted);
                        if (inventory.cells.has(cell.slot)) {
                            copy.cells.set(cell.slot, cell.state);
                            copy.since.set(cell.slot, -secondsOf(setting.atLeast));
                        }
                        return copy;
                    }),
                );
            }
        }
        return states;
    }

    function steps(
        of: Card,
        names: Names,
        list: readonly Step[],
        index: number,
        trail: Trail,
        state: State,
        then: Then,
    ): void {
        const step = list[index];
        if (!step) return then(state);
        const next: Then = after => steps(of, names, list, index + 1, trail, after, then);
        const again: Again = (name, after) => {
            const from = list.findIndex(each => each.name === name);
            steps(of, names, list, from, trail, after, then);
        };
        statements(step.statements, 0, names, [...trail, index], state, next, again);
    }

    function statements(
        list: readonly Statement[],
        index: number,
        names: Names,
        trail: Trail,
        state: State,
        then: Then,
        again: Again,
    ): void {
        if (cut) return;
        const statement = list[index];
        if (!statement) return then(state);
        const here = [...trail, index];
        const next: Then = after => statements(list, index + 1, names, trail, after, then, again);
        const inner = (block: readonly Statement[], into: State, and: Then, side = 0) =>
            statements(block, 0, names, [...here, side], into, and, again);
        const named = (name: string) => names.get(name) ?? name;
        switch (statement.$type) {
            case 'Alert':
            case 'Accept':
            case 'Meanwhile':
                return next(state);
            case 'Wait':
                return events(state, statement, [{ kind: 'wait', guaranteed: secondsOf(statement.time) }], next);
            case 'Hold':
                return events(
                    state,
                    statement,
                    [{ kind: 'hold', role: named(nameOf((statement as Hold).role)) }],
                    next,
                );
            case 'WhereStatements': {
                const block = has(nameOf(statement.modification)) ? statement.then : statement.otherwise;
                return inner(block?.statements ?? [], state, next);
            }
            case 'Do':
                return call(statement, names, here, state, next, again);
            case 'ForEach':
                return rows(statement, 0, names, here, state, next, again);
            case 'If': {
                const branch = statement as If;
                const item = named(nameOf(branch.item));
                const role = named(nameOf(branch.role));
                const says = settingOf(inventory, item, named(branch.state));
                const expected: Expected = { kind: 'branch', item, role, state: says.state, says };
                return parted(state, statement, expected, {
                    met: into => inner(branch.then.statements, into, next),
                    not: into => inner(branch.otherwise?.statements ?? [], into, next, 1),
                });
            }
            case 'Stop':
                return letGo(state, after => way(after, { kind: 'stop' }, statement));
            case 'LeaveFor':
                return letGo(state, after => way(after, { kind: 'leave-for' }, statement));
            case 'Repeat': {
                const repeat = statement as Repeat;
                const key = here.join();
                const done = state.passes.get(key)?.count ?? 0;
                if (done >= Number(repeat.times))
                    return letGo(state, after => way(after, { kind: 'exhausted' }, statement));
                return letGo(state, after => {
                    // What stands before it is done anew, the counting there too.
                    for (const [each, { trail: there }] of after.passes)
                        if (isBefore(there, here)) after.passes.delete(each);
                    after.passes.set(key, { trail: here, count: done + 1 });
                    again(nameOf(repeat.step), after);
                });
            }
            case 'Act':
                return act(statement as Act, names, state, next, inner);
        }
    }

    function call(statement: Do, names: Names, trail: Trail, state: State, next: Then, again: Again): void {
        const callee = nameOf(statement.callee);
        const subtask = texts.subtasks.get(callee);
        if (subtask) {
            const inside = new Map<string, string>();
            subtask.parameters.forEach((parameter, index) => {
                const argument = statement.args[index]?.name ?? '';
                inside.set(parameter.name, names.get(argument) ?? argument);
            });
            return statements(subtask.statements, 0, inside, trail, state, next, again);
        }
        const other = texts.cards.get(callee);
        if (!other) throw new Error(`nothing is called ${callee}`);
        steps(other, new Map(), stepsOf(other), 0, trail, state, next);
    }

    function rows(
        loop: ForEach,
        index: number,
        names: Names,
        trail: Trail,
        state: State,
        next: Then,
        again: Again,
    ): void {
        const row = loop.rows[index];
        if (!row) return next(state);
        const inside = new Map(names);
        loop.names.forEach((name, position) => {
            const argument = row.args[position]?.name ?? '';
            inside.set(name.name, names.get(argument) ?? argument);
        });
        const after: Then = done => rows(loop, index + 1, names, trail, done, next, again);
        statements(loop.body.statements, 0, inside, [...trail, index], state, after, again);
    }

    function act(
        statement: Act,
        names: Names,
        state: State,
        next: Then,
        inner: (block: readonly Statement[], into: State, and: Then, side?: number) => void,
    ): void {
        const named = (name: string) => names.get(name) ?? name;
        const role = named(nameOf(statement.actor));
        const action = statement.action as typeof statement.action & Record<string, unknown>;
        const change = (verb: string, slot: string, to: string): Expected => ({
            kind: 'operate',
            slot,
            state: to,
            role,
            item: slot.split(' ')[0] ?? '',
            apply: (into, event) => {
                bring(into, slot, to, event.id);
                if (to === 'CLOSED' && inventory.cells.has(`${slot} tag`))
                    bring(into, `${slot} tag`, 'NO-TAG', event.id);
                void verb;
            },
        });
        const hang = (item: string, to: string): Expected => ({
            kind: 'tag',
            item,
            slot: `${item} tag`,
            state: to,
            role,
            apply: (into, event) => bring(into, `${item} tag`, to, event.id),
        });
        const list = (references: unknown) =>
            (references as { $refText: string }[]).map(reference => named(reference.$refText));
        switch (action.$type as string) {
            case 'Operate': {
                const verb = action['verb'] as string;
                const items = list(action['items']);
                const expected = items.flatMap((item): Expected[] => {
                    if (verb === 'tag') return [hang(item, 'TAGGED')];
                    if (verb === 'untag') return [hang(item, 'NO-TAG')];
                    const does = effect(inventory, verb, item);
                    const first: Expected = does
                        ? change(verb, does.slot, does.state)
                        : { kind: 'operate', item, role };
                    return action['tag'] ? [first, hang(item, 'TAGGED')] : [first];
                });
                return events(state, statement, expected, next);
            }
            case 'Install': {
                const expected = list(action['items']).map((item): Expected => {
                    const does = effect(inventory, 'install', item);
                    return does ? change('install', does.slot, does.state) : { kind: 'operate', item, role };
                });
                return events(state, statement, expected, next);
            }
            case 'SetTo': {
                const item = named(nameOf(action['item'] as never));
                return events(state, statement, [change('set', item, named(action['state'] as string))], next);
            }
            case 'Ensure': {
                const item = named(nameOf(action['item'] as never));
                const cell = settingOf(inventory, item, named(action['state'] as string));
                const expected = [change('ensure', cell.slot, cell.state)];
                if (action['tag']) expected.push(hang(item, 'TAGGED'));
                return events(state, statement, expected, next);
            }
            case 'Press': {
                const item = named(nameOf(action['item'] as never));
                const time = secondsOf(action['time'] as never);
                const press: Expected = {
                    kind: 'press',
                    item,
                    role,
                    guaranteed: time,
                    apply: (into, event) => {
                        into.cells.set(item, 'RELEASED');
                        into.by.set(item, event.id);
                        into.since.set(item, into.clock + time);
                    },
                };
                return events(state, statement, [press], next);
            }
            case 'Keep': {
                const keep = statement.action as Keep;
                const item = named(nameOf(keep.item));
                const back = state.cells.get(item) ?? '';
                const to = keep.state === undefined ? 'PRESSED' : named(keep.state);
                const start: Expected = {
                    kind: 'keep-start',
                    item,
                    role,
                    state: to,
                    apply: (into, event) => {
                        bring(into, item, to, event.id);
                        into.held = [...into.held, { slot: item, back, statement }];
                    },
                };
                return events(state, statement, [start], into =>
                    inner(keep.body.statements, into, after => release(after, next)),
                );
            }
            case 'Clear': {
                const place = named(nameOf(action['place'] as never));
                const clear: Expected = {
                    kind: 'clear',
                    role,
                    place,
                    apply: into => {
                        if (action['verb'] !== 'leave') return;
                        const outside = nameOf(inventory.places.get(place)?.within);
                        for (const [each, stands] of into.stands)
                            if (liesIn(stands, place)) into.stands.set(each, outside);
                    },
                };
                return events(state, statement, [clear], next);
            }
            case 'GoTo': {
                const place = named(nameOf(action['place'] as never));
                const go: Expected = {
                    kind: 'go',
                    role,
                    place,
                    apply: into => {
                        into.base.set(role, place);
                    },
                };
                return events(state, statement, [go], next);
            }
            case 'Tell':
                return events(
                    state,
                    statement,
                    [{ kind: 'tell', role, to: named(nameOf(action['role'] as never)) }],
                    next,
                );
            case 'Prose':
                return events(state, statement, [{ kind: 'prose', role }], next);
            case 'Torque':
                return events(
                    state,
                    statement,
                    [{ kind: 'torque', role, item: named(nameOf(action['item'] as never)) }],
                    next,
                );
            case 'See':
            case 'Read':
            case 'Measure': {
                const look = statement.action as Look;
                const guaranteed = secondsOf(look.timing?.for) + secondsOf(look.timing?.after);
                const item = named(nameOf(action['item'] as never));
                const says =
                    action.$type === 'See' ? settingOf(inventory, item, named(action['state'] as string)) : undefined;
                const failing = secondsOf(look.timing?.after);
                const expected: Expected = {
                    kind: 'look',
                    role,
                    item,
                    guaranteed,
                    failing,
                    ...(says && { says, state: says.state }),
                };
                const block = look.else;
                if (!block) return events(state, statement, [expected], into => next(told(into, expected, true)));
                return parted(state, statement, expected, {
                    met: next,
                    not: into => inner(block.statements, into, next),
                });
            }
            default:
                throw new Error(`the slow runner does not know ${action.$type}`);
        }
    }

    /** A button or control held by hand goes back when the brace is reached. */
    function release(state: State, then: Then): void {
        const held = state.held.at(-1);
        if (!held) throw new Error('nothing is held');
        events(
            state,
            held.statement,
            [
                {
                    kind: 'keep-end',
                    item: held.slot,
                    state: held.back,
                    // Who has seen it stand otherwise than it was put brings it back to what was seen.
                    free: state.doubtful,
                    apply: (into, event) => {
                        const stated = 'state' in event ? machine.slots[event.slot]?.states[event.state] : undefined;
                        bring(into, held.slot, state.doubtful ? (stated ?? held.back) : held.back, event.id);
                        into.held = into.held.slice(0, -1);
                    },
                },
            ],
            then,
        );
    }

    /** ... and also on every way out from within. */
    function letGo(state: State, then: Then): void {
        if (state.held.length === 0) return then(copyOf(state));
        release(state, after => letGo(after, then));
    }

    function bring(state: State, slot: string, to: string, event: number): void {
        if (state.cells.get(slot) === to) return;
        state.cells.set(slot, to);
        state.by.set(slot, event);
        state.since.set(slot, state.clock);
    }

    /** The events of one statement, in the order in which the plan has them. */
    function events(state: State, statement: AstNode, expected: readonly Expected[], then: Then): void {
        const copy = copyOf(state);
        const open = [...expected];
        while (open.length > 0) {
            const event = read(copy);
            if (!event) return disagree(statement, `the plan ends where the text has ${open.map(show).join(', ')}`);
            const index = open.findIndex(each => fits(each, event));
            const found = open[index];
            if (!found) {
                return disagree(
                    statement,
                    `the plan has ${saying(event)} where the text has ${open.map(show).join(', ')}`,
                );
            }
            open.splice(index, 1);
            happen(copy, event, found);
            copy.at = event.next;
        }
        then(copy);
    }

    /** A look or branch with two sides: each is followed. */
    function parted(state: State, statement: AstNode, expected: Expected, sides: { met: Then; not: Then }): void {
        const copy = copyOf(state);
        const event = read(copy);
        if (!event || !fits(expected, event)) {
            return disagree(
                statement,
                `the plan has ${event ? saying(event) : 'nothing'} where the text has ${show(expected)}`,
            );
        }
        if (event.other < 0) return disagree(statement, 'the plan has no way for "not so"');
        happen(copy, event, expected);
        const met = told(copy, expected, true);
        met.at = event.next;
        sides.met(met);
        const not = told(copy, expected, false);
        not.clock += (expected.failing ?? 0) - (expected.guaranteed ?? 0);
        not.at = event.other;
        sides.not(not);
    }

    /** After a look at something that only people operate: is this a way that can be? */
    function told(state: State, { says }: Expected, met: boolean): State {
        const copy = copyOf(state);
        const stands = says && copy.cells.get(says.slot);
        if (stands !== undefined && (stands === says?.state) !== met) copy.doubtful = true;
        return copy;
    }

    function way(state: State, expected: Expected, statement?: AstNode): void {
        const copy = copyOf(state);
        const event = read(copy);
        if (!event || event.kind !== expected.kind) {
            return disagree(
                statement ?? card!,
                `the plan has ${event ? saying(event) : 'nothing'} at a way out: ${expected.kind}`,
            );
        }
        note(copy, event.id);
        paths++;
        if (paths >= most) cut = true;
    }

    function happen(state: State, event: Event, expected: Expected): void {
        const { role } = expected;
        if (role !== undefined) {
            const heard = event.kind === 'look' && inventory.items.get(expected.item ?? '')?.kind === 'horn';
            const named = expected.place ?? (expected.item === undefined ? '' : inventory.placeOf(expected.item));
            // What is written in words stands where the plan says: the oracle does not read words.
            const place =
                event.kind === 'prose' || event.kind === 'hold' ? (machine.places[event.place]?.name ?? '') : named;
            const base = state.base.get(role) ?? '';
            const there = !heard && place !== '' && (event.kind === 'go' || liesIn(place, base));
            const stands = there ? place : state.stands.get(role) || base;
            if (stands) state.stands.set(role, stands);
        }
        note(state, event.id);
        expected.apply?.(state, event);
        state.clock += expected.guaranteed ?? 0;
        if ((expected.guaranteed ?? 0) !== event.guaranteed) {
            disagreements.add(
                `${saying(event)} guarantees ${event.guaranteed} s, the text ${expected.guaranteed ?? 0} s`,
            );
        }
    }

    function liesIn(place: string, other: string): boolean {
        for (let at: string | undefined = place; at; at = nameOf(inventory.places.get(at)?.within)) {
            if (at === other) return true;
        }
        return false;
    }

    function read(state: State): Event | undefined {
        let event = plan.events[state.at];
        while (event && bookkeeping.has(event.kind)) {
            note(state, event.id);
            state.at = event.next;
            event = plan.events[state.at];
        }
        return event;
    }

    function fits(expected: Expected, event: Event): boolean {
        if (expected.kind !== event.kind) return false;
        if (expected.role !== undefined && plan.roles[event.role]?.name !== expected.role) return false;
        if (expected.item !== undefined && machine.items[event.item]?.name !== expected.item) return false;
        if (expected.place !== undefined && machine.places[event.place]?.name !== expected.place) return false;
        if (expected.to !== undefined && 'to' in event && plan.roles[event.to]?.name !== expected.to) return false;
        const slot = 'slot' in event ? machine.slots[event.slot] : undefined;
        if (expected.slot !== undefined && (!slot || slotName(machine, event) !== expected.slot)) return false;
        if (
            expected.state !== undefined &&
            !expected.free &&
            'state' in event &&
            slot?.states[event.state] !== expected.state
        )
            return false;
        return true;
    }

    function note(state: State, event: number): void {
        let seen = at.get(event);
        if (!seen) {
            seen = { sure: undefined, all: nothing() };
            at.set(event, seen);
        }
        put(state, seen.all);
        if (state.doubtful) return;
        seen.sure ??= nothing();
        put(state, seen.sure);
    }

    function put(state: State, found: Found): void {
        for (const [slot, value] of state.cells) {
            add(found.states, slot, value);
            add(found.by, slot, state.by.get(slot) ?? -1);
            const time = state.clock - (state.since.get(slot) ?? 0);
            found.least.set(slot, Math.min(found.least.get(slot) ?? Number.POSITIVE_INFINITY, time));
        }
        for (const [role, place] of state.base) {
            add(found.base, role, place);
            add(found.stands, role, state.stands.get(role) ?? '');
        }
    }

    function disagree(node: AstNode, message: string): void {
        const line = (node.$cstNode?.range.start.line ?? -1) + 1;
        disagreements.add(`line ${line}: ${message}`);
        paths++;
    }

    function saying(event: Event): string {
        const item = machine.items[event.item]?.name ?? '';
        return `${event.kind} ${'verb' in event ? event.verb : ''} ${item} (event ${event.id}, line ${event.span.line})`;
    }
}

function show(expected: Expected): string {
    return `${expected.kind} ${expected.slot ?? expected.item ?? ''} ${expected.state ?? ''}`.trim();
}

/** A slot of the machine as the slow runner names it. */
export function slotName(machine: Machine, event: { readonly slot: number } | Event): string {
    return nameOfSlot(machine, 'slot' in event ? event.slot : -1);
}

export function nameOfSlot(machine: Machine, index: number): string {
    const slot = machine.slots[index];
    if (!slot) return '';
    const item = machine.items[slot.item];
    return item?.slot === index ? item.name : `${item?.name} ${slot.kind}`;
}

function isBefore(one: Trail, other: Trail): boolean {
    for (let at = 0; at < one.length; at++) {
        const [mine = 0, its = -1] = [one[at], other[at]];
        if (mine !== its) return mine < its;
    }
    return one.length < other.length;
}

function nothing(): Found {
    return { states: new Map(), by: new Map(), least: new Map(), base: new Map(), stands: new Map() };
}

function add<V>(into: Map<string, Set<V>>, key: string, value: V): void {
    const set = into.get(key);
    if (set) set.add(value);
    else into.set(key, new Set([value]));
}

function copyOf(state: State): State {
    return {
        ...state,
        cells: new Map(state.cells),
        by: new Map(state.by),
        since: new Map(state.since),
        base: new Map(state.base),
        stands: new Map(state.stands),
        passes: new Map(state.passes),
    };
}
