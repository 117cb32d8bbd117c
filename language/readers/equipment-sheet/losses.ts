/**
 * What can no longer be when one thing is lost. For each thing downstream of it the states that it may still come to be in are
 * computed upward from rest: what nothing can bring about any more is lost. Controls and people may do anything meanwhile.
 */
import type { Condition } from '../../conditions/condition.js';
import { type Item, type Machine, NONE } from '../../machine/machine.js';
import { itemsIn } from '../../machine/order.js';
import { kindOf } from '../../vocabulary/kinds/index.js';

/** Kinds through which something runs, so that it is worth saying what goes with them. */
const carriers: ReadonlySet<string> = new Set([
    'source',
    'breaker',
    'connector',
    'lead',
    'relay',
    'timer',
    'motor',
    'unit',
]);

export const isCarrier = (item: Item): boolean => carriers.has(item.kind);

/** What one item may still do. */
export interface Possible {
    /** Live, made, running, lit. */
    readonly live: boolean;
    /** Has its supply and is in place. */
    readonly fed: boolean;
    /** States that it may go to or show. */
    readonly states: ReadonlySet<number>;
}

export interface Loss {
    readonly lost: number;
    /** Only what may do less than before, by item. */
    readonly less: ReadonlyMap<number, Possible>;
    /** May this still hold? */
    readonly mayHold: (condition: Condition) => boolean;
}

export class Losses {
    readonly sound: readonly Possible[];
    readonly #machine: Machine;
    readonly #downstream: readonly (readonly number[])[];
    readonly #inside: readonly (readonly number[])[];

    constructor(machine: Machine) {
        this.#machine = machine;
        this.#downstream = dependents(machine);
        this.#inside = machine.items.map(() => []);
        for (const [index, item] of machine.items.entries())
            if (item.unit !== NONE) (this.#inside[item.unit] as number[]).push(index);
        const all = machine.items.map((_, index) => index);
        this.sound = this.#solve(all, machine.items.map(nothing), NONE);
    }

    /** Everything that rests on the item, however far, itself not. */
    after(index: number): readonly number[] {
        const found = new Set<number>();
        const open = [index];
        for (let at = open.pop(); at !== undefined; at = open.pop())
            for (const next of this.#downstream[at] ?? [])
                if (!found.has(next)) {
                    found.add(next);
                    open.push(next);
                }
        found.delete(index);
        return [...found].sort((a, b) => a - b);
    }

    without(lost: number): Loss {
        const region = [lost, ...this.after(lost)];
        const start = [...this.sound];
        for (const each of region) start[each] = each === lost ? GONE : nothing();
        const now = this.#solve(region, start, lost);
        const less = new Map<number, Possible>();
        for (const each of region) {
            const before = this.sound[each] as Possible;
            const after = now[each] as Possible;
            if (
                each !== lost &&
                (before.live !== after.live || before.fed !== after.fed || before.states.size !== after.states.size)
            )
                less.set(each, after);
        }
        return { lost, less, mayHold: condition => this.#may(condition, now, true) };
    }

    mayHold(condition: Condition): boolean {
        return this.#may(condition, this.sound, true);
    }

    #solve(region: readonly number[], possible: Possible[], lost: number): readonly Possible[] {
        for (let again = true; again; ) {
            again = false;
            for (const index of region) {
                const next = index === lost ? GONE : this.#next(index, possible);
                const before = possible[index] as Possible;
                if (next.live === before.live && next.fed === before.fed && next.states.size === before.states.size)
                    continue;
                possible[index] = next;
                again = true;
            }
        }
        return possible;
    }

    #next(index: number, possible: readonly Possible[]): Possible {
        const item = this.#machine.items[index] as Item;
        // What is in a unit that is lost is lost with it.
        const inPlace = item.unit === NONE || (possible[item.unit]?.fed ?? true);
        const fed = inPlace && item.feeds.every(feed => possible[feed]?.live);
        const states = new Set<number>();
        const may = (when: Condition | undefined): boolean => !when || this.#may(when, possible, true);
        if (item.nature === 'operated' || item.nature === 'wetted')
            for (const state of item.states.keys()) states.add(state);
        else if (item.kind === 'source') {
            if (fed && may(item.live)) states.add(item.states.indexOf('LIVE'));
        } else {
            // Where nothing else holds it goes there without supply too.
            for (const go of item.goes) if (go.when ? fed && may(go.when) : inPlace) states.add(go.to);
        }
        if (item.nature === 'shown' && fed) {
            for (const show of item.shows) if (may(show.when)) states.add(show.state);
            if (item.kind !== 'source' && item.shows.length === 0)
                for (const state of item.states.keys()) states.add(state);
        }
        for (const own of this.#machine.ownFailures) if (own.changes === index && inPlace) states.add(own.state);
        return { live: this.#isLive(item, fed, states), fed, states };
    }

    #isLive(item: Item, fed: boolean, states: ReadonlySet<number>): boolean {
        const { bare } = kindOf(item.kind);
        if (item.nature === 'operated') return fed;
        if (bare === undefined) return fed && states.size > 0;
        const state = item.states.indexOf(bare);
        // A relay that rests closed is made though nothing drives it.
        return states.has(state) || (item.nature === 'moved' && fed && item.normal === state);
    }

    /** `wanted`: may it be true, or may it be false? */
    #may(condition: Condition, possible: readonly Possible[], wanted: boolean): boolean {
        switch (condition.op) {
            case 'not':
                return this.#may(condition.of, possible, !wanted);
            case 'and':
            case 'or': {
                const every = (condition.op === 'and') === wanted;
                return every
                    ? condition.of.every(each => this.#may(each, possible, wanted))
                    : condition.of.some(each => this.#may(each, possible, wanted));
            }
            case 'live':
                return !wanted || (possible[condition.item]?.live ?? false);
            case 'is':
            case 'held': {
                if (!wanted) return true;
                const item = this.#machine.items[condition.item] as Item;
                const now = possible[condition.item] as Possible;
                if (condition.slot !== item.slot) return true;
                // What is lost is in any state but the one in which it works.
                if (now === GONE) return item.states[condition.state] !== kindOf(item.kind).bare;
                if (item.nature === 'operated' || item.nature === 'wetted') return true;
                if (item.nature === 'moved' && condition.state === item.normal) return true;
                if (item.nature === 'shown' && item.kind !== 'gauge' && this.#rests(item, condition.state)) return true;
                return now.states.has(condition.state);
            }
            default:
                return true;
        }
    }

    #rests(item: Item, state: number): boolean {
        if (item.kind === 'source') return state === item.states.indexOf('DEAD');
        const otherwise = item.shows.find(show => !show.when);
        return otherwise ? otherwise.state === state : state === 0;
    }
}

const nothing = (): Possible => ({ live: false, fed: false, states: new Set() });
const GONE: Possible = nothing();

/** By item, what rests on it at once. */
export function dependents(machine: Machine): readonly (readonly number[])[] {
    const found = machine.items.map(() => new Set<number>());
    const add = (from: number, to: number): void => {
        if (from !== NONE) found[from]?.add(to);
    };
    for (const [index, item] of machine.items.entries()) {
        for (const feed of item.feeds) add(feed, index);
        for (const each of [...item.shows, ...item.goes]) itemsIn(each.when, on => add(on, index));
        itemsIn(item.live, on => add(on, index));
        add(item.unit, index);
        if (item.wets !== NONE) {
            add(index, item.wets);
            add(item.carries, item.wets);
        }
    }
    for (const own of machine.ownFailures) {
        itemsIn(own.when, on => add(on, own.changes));
        add(own.item, own.changes);
    }
    return found.map((each, index) => [...each].filter(on => on !== index));
}
