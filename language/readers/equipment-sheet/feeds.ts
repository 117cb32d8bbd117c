import type { Condition } from '../../conditions/condition.js';
import { type Item, type Machine, NONE } from '../../machine/machine.js';
import { atomsOf } from '../../paths/rules.js';
import { kindOf } from '../../vocabulary/kinds/index.js';
import { list, listOr, wordsOf } from '../../vocabulary/sentences.js';
import { isCarrier, type Loss, type Losses } from './losses.js';
import type { Says } from './say.js';
import type { BreakerRow, FeedEdge, FeedNode, Feeds, LossRow, SharedRow } from './sheet.js';

/** What stands in this equipment, by index, in the order of the text. */
export const ownItems = (machine: Machine, equipment: string): readonly number[] =>
    machine.items.flatMap((item, index) => (item.equipment === equipment ? [index] : []));

/** Every feed of every item of the equipment, and what else its behaviour asks to be live, made or running. */
export function feedsOf(machine: Machine, equipment: string, says: Says): Feeds {
    const edges: FeedEdge[] = [];
    const rows: Feeds['rows'][number][] = [];
    const drawn = new Set<number>();
    for (const index of ownItems(machine, equipment)) {
        const item = machine.items[index] as Item;
        const asked = asksOf(machine, item).filter(each => each !== index && !item.feeds.includes(each));
        for (const from of item.feeds) edges.push({ from: nameOf(machine, from), to: item.name, kind: 'feed' });
        for (const from of asked) edges.push({ from: nameOf(machine, from), to: item.name, kind: 'asks' });
        if (item.feeds.length + asked.length === 0) continue;
        for (const each of [index, ...item.feeds, ...asked]) drawn.add(each);
        rows.push({
            name: item.name,
            label: item.label,
            kind: item.kind,
            only: says.only(item.only),
            from: item.feeds.map(each => says.named(each)),
            asks: asked.map(each => says.named(each)),
        });
    }
    const nodes = [...drawn]
        .sort((a, b) => a - b)
        .map((index): FeedNode => {
            const { name, label, kind, equipment: of } = machine.items[index] as Item;
            return { name, label, kind, of: of === equipment ? '' : of };
        });
    return { nodes, edges, rows };
}

const nameOf = (machine: Machine, index: number): string => (machine.items[index] as Item).name;

/** Supplies, contacts and drives that what the item does by itself asks for: named bare, or in the state that the bare name means. */
function asksOf(machine: Machine, item: Item): number[] {
    const found = new Set<number>();
    const visit = (condition: Condition | undefined): void => {
        if (!condition) return;
        if (condition.op === 'not') visit(condition.of);
        else if (condition.op === 'and' || condition.op === 'or') condition.of.forEach(visit);
        else if (condition.op === 'live' || condition.op === 'is') {
            const on = machine.items[condition.item] as Item;
            if (!isCarrier(on)) return;
            const bare = condition.op === 'live' || on.states[condition.state] === kindOf(on.kind).bare;
            if (bare && (condition.op === 'live' || condition.slot === on.slot)) found.add(condition.item);
        }
    };
    visit(item.live);
    for (const each of [...item.goes, ...item.shows]) visit(each.when);
    return [...found];
}

/** Every breaker of the equipment with all that is lost when it trips. */
export function breakersOf(
    machine: Machine,
    equipment: string,
    says: Says,
    losses: Losses,
    lossOf: (item: number) => Loss,
): readonly BreakerRow[] {
    return ownItems(machine, equipment).flatMap(index => {
        const item = machine.items[index] as Item;
        if (item.kind !== 'breaker') return [];
        return {
            name: item.name,
            label: item.label,
            only: says.only(item.only),
            place: item.place === NONE ? '' : says.place(item.place),
            grid: item.grid ?? '',
            from: list(item.feeds.map(each => says.named(each))),
            rated: item.rated?.text ?? '',
            wire: item.wire?.text ?? '',
            lost: lostWords(machine, says, lossOf(index), losses.sound),
            rests: losses.after(index).length > 0,
        };
    });
}

/** The same for everything else through which something runs, of the equipment or what it is fed from. */
export function lossRows(
    machine: Machine,
    equipment: string,
    says: Says,
    losses: Losses,
    lossOf: (item: number) => Loss,
): readonly LossRow[] {
    return machine.items.flatMap((item, index) => {
        if (!isCarrier(item) || (item.kind === 'breaker' && item.equipment === equipment)) return [];
        const lost = lostWords(machine, says, lossOf(index), losses.sound);
        if (lost === '' && item.equipment !== equipment) return [];
        return { name: item.name, label: item.label, kind: item.kind, lost, rests: losses.after(index).length > 0 };
    });
}

/** "motor A (MA); no longer: isolation valve goes SHUT". "" where nothing is. */
function lostWords(machine: Machine, says: Says, loss: Loss, sound: Losses['sound']): string {
    const gone: string[] = [];
    const less: string[] = [];
    for (const [index, now] of loss.less) {
        const item = machine.items[index] as Item;
        const before = sound[index];
        if (!before || item.nature === 'wetted') continue;
        const missing = [...before.states].filter(state => !now.states.has(state)).map(state => stateOf(item, state));
        if (item.nature === 'moved' && missing.length > 0) less.push(`${says.named(index)} goes ${listOr(missing)}`);
        else if (
            item.nature !== 'moved' &&
            ((before.fed && !now.fed) || (before.live && !now.live && item.shows.length === 0))
        )
            gone.push(says.named(index));
        else if (missing.length > 0) less.push(`${says.named(index)} shows ${listOr(missing)}`);
    }
    return [gone.join(', '), less.length > 0 ? `no longer: ${less.join(', ')}` : ''].filter(Boolean).join('; ');
}

const stateOf = (item: Item, state: number): string =>
    item.shows.find(show => show.state === state)?.band?.text ?? item.states[state] ?? '';

/**
 * Where the text says that one of several is enough, each of which some single loss can take away: what takes all of them away at
 * once. So a redundant drive that hangs on the breaker of the other one says so.
 */
export function sharedOf(
    machine: Machine,
    equipment: string,
    says: Says,
    losses: Losses,
    lossOf: (item: number) => Loss,
): readonly SharedRow[] {
    interface Choice {
        readonly of: readonly Condition[];
        readonly alternatives: string;
        readonly serves: Map<number, Set<string>>;
        readonly from: Set<number>;
    }
    const choices = new Map<string, Choice>();
    for (const index of ownItems(machine, equipment)) {
        const item = machine.items[index] as Item;
        const visit = (condition: Condition | undefined, does: string): void => {
            if (!condition) return;
            if (condition.op === 'not') return;
            if (condition.op !== 'and' && condition.op !== 'or') return;
            for (const each of condition.of) visit(each, does);
            if (condition.op === 'and') return;
            // What it remembers of itself is no drive of its own.
            const of = condition.of.filter(each => losses.mayHold(each) && !(each.op === 'is' && each.item === index));
            if (of.length < 2) return;
            const alternatives = listOr(of.map(each => wordsOf(says.condition(each))));
            const choice: Choice = choices.get(alternatives) ?? {
                of,
                alternatives,
                serves: new Map(),
                from: new Set(),
            };
            choices.set(alternatives, choice);
            choice.serves.set(index, (choice.serves.get(index) ?? new Set()).add(does));
        };
        for (const go of item.goes) visit(go.when, `goes ${item.states[go.to]}`);
        for (const show of item.shows) visit(show.when, `shows ${show.band?.text ?? item.states[show.state]}`);
        visit(item.live, 'is live');
    }
    if (choices.size === 0) return [];
    const carriers = machine.items.flatMap((item, index) => (isCarrier(item) ? [index] : []));
    const lost = new Map(
        [...choices.values()].map(choice => [choice, { each: new Set<number>(), all: [] as number[] }]),
    );
    for (const carrier of carriers) {
        const loss = lossOf(carrier);
        if (
            loss.less.size === 0 &&
            !mentions(
                [...choices.values()].flatMap(each => each.of),
                carrier,
            )
        )
            continue;
        for (const [choice, found] of lost) {
            const without = choice.of.map(each => !loss.mayHold(each));
            for (const [n, gone] of without.entries()) if (gone) found.each.add(n);
            if (without.every(Boolean)) found.all.push(carrier);
        }
    }
    return [...lost].flatMap(([choice, { each, all }]) => {
        if (each.size < choice.of.length) return [];
        const serves = [...choice.serves].map(([item, does]) => `${says.thing(item)} ${[...does].join(' or ')}`);
        return { alternatives: choice.alternatives, serves: list(serves), lostWith: all.map(item => says.named(item)) };
    });
}

const mentions = (conditions: readonly Condition[], item: number): boolean =>
    conditions.some(each => atomsOf(each).some(atom => 'item' in atom && atom.item === item));
