/** What stands otherwise than found for longer: through more of what the card does. */

import { stillSo } from '../../findings/phrases.js';
import { type Machine, NONE } from '../../machine/machine.js';
import type { Trace } from '../../trace/trace.js';
import type { Found } from './found.js';
import type { Matching } from './matching.js';
import type { Side } from './names.js';
import { allIn, type Node } from './nodes.js';
import { type Effect, plainConsequence } from './times.js';
import { nameIn, quoted } from './words.js';

interface Sides<T> {
    readonly old: T;
    readonly new: T;
}

interface Stretch {
    readonly from: number;
    /** Behind the last visit during which it is so. */
    readonly to: number;
    readonly state: number;
}

interface Run {
    /** By shared name of the item and kind of slot, when it is not as it was at the start. */
    readonly open: ReadonlyMap<string, { readonly slot: number; readonly stretches: readonly Stretch[] }>;
    /** By event, its place in the run. */
    readonly at: ReadonlyMap<number, number>;
    readonly length: number;
}

export function changesOfOpen(
    changes: readonly Found[],
    trees: Sides<readonly Node[]>,
    matching: Matching,
    sides: Sides<Side>,
): Effect[] {
    const [old, now] = [runOf(sides.old), runOf(sides.new)];
    if (!old || !now) return [];
    const touched = new Set(changes.flatMap(each => [...each.about]));
    /** What stayed where it was, with its place in both runs. */
    const stayed = [...allIn(trees.new)].flatMap(node => {
        const partner = matching.partner.get(node);
        if (!partner || matching.moved.has(partner) || !node.event || !partner.event || node.kind === 'wait') return [];
        const [was, is] = [old.at.get(partner.event.id), now.at.get(node.event.id)];
        return was === undefined || is === undefined ? [] : [{ node, was, is }];
    });
    const effects: Effect[] = [];
    for (const key of new Set([...now.open.keys(), ...old.open.keys()])) {
        const [item = ''] = key.split(' ');
        // Only what acts on a thing makes it stand open longer.
        if (!touched.has(item)) continue;
        const [was, is] = [old.open.get(key)?.stretches ?? [], now.open.get(key)?.stretches ?? []];
        const slot = now.open.get(key)?.slot ?? old.open.get(key)?.slot ?? NONE;
        const more = stayed.filter(each => within(is, each.is) && !within(was, each.was));
        const less = stayed.filter(each => !within(is, each.is) && within(was, each.was));
        if (more.length === 0 && less.length === 0) continue;
        // To the end: a finding says so.
        const cause = changes.find(
            each => each.about.includes(item) && each.nodes.old.length + each.nodes.new.length > 0,
        );
        const longer = more.length > 0;
        const [first, last] = [(longer ? more : less)[0], (longer ? more : less).at(-1)];
        const state = (longer ? is : was).find(
            each => first && each.from <= (longer ? first.is : first.was) && (longer ? first.is : first.was) < each.to,
        )?.state;
        const side = longer ? sides.new : sides.old;
        const own = longer ? slot : (old.open.get(key)?.slot ?? NONE);
        const name = nameIn(side.judged.machine, side.judged.machine.slots[own]?.item ?? NONE);
        const how = isSoNow(side.judged.machine, own, state ?? NONE);
        const end = longer && is.some(each => each.to >= now.length);
        const until = end ? 'the end of the card' : quoted(last?.node as Node);
        const span =
            first === last && !end
                ? `during ${quoted(first?.node as Node)}`
                : `from ${quoted(first?.node as Node)} to ${until}`;
        effects.push({
            cause,
            consequence: {
                ...plainConsequence,
                kind: 'open',
                effect: 'different',
                says: longer
                    ? `${name} is ${how} for longer: also ${span}.`
                    : `${name} is ${how} for less long: no longer ${span}.`,
                span: { old: null, new: first?.node.span ?? null },
            },
        });
    }
    return effects;
}

const isSoNow = (machine: Machine, slot: number, state: number): string =>
    stillSo(machine, slot, state)
        .replace(/^is still /, '')
        .replace(/^may still be /, 'perhaps ');

const within = (stretches: readonly Stretch[], at: number): boolean =>
    stretches.some(each => each.from <= at && at < each.to);

/** The plain run of the slowest movements. */
function runOf(side: Side): Run | undefined {
    const trace = side.judged.traces.plain[0];
    if (!trace) return undefined;
    const at = new Map<number, number>();
    for (const [n, visit] of trace.visits.entries()) if (!at.has(visit.event)) at.set(visit.event, n);
    return { open: openIn(trace, side), at, length: trace.visits.length };
}

function openIn(trace: Trace, side: Side): Map<string, { slot: number; stretches: Stretch[] }> {
    const { machine } = side.judged;
    const start = trace.visits[0]?.before;
    const places = new Map<number, number>();
    for (const [n, visit] of trace.visits.entries()) if (!places.has(visit.event)) places.set(visit.event, n);
    const open = new Map<string, { slot: number; stretches: Stretch[] }>();
    const since = new Map<number, { from: number; state: number }>();
    const key = (slot: number): string => {
        const owner = machine.slots[slot];
        return `${side.item(owner?.item ?? NONE)} ${owner?.kind}`;
    };
    const close = (slot: number, to: number): void => {
        const began = since.get(slot);
        if (!began) return;
        since.delete(slot);
        const known = open.get(key(slot)) ?? { slot, stretches: [] };
        known.stretches.push({ ...began, to });
        open.set(key(slot), known);
    };
    for (const change of trace.changes) {
        const owner = machine.slots[change.slot];
        const item = machine.items[owner?.item ?? NONE];
        if (!owner || !item || owner.kind === 'tag' || (item.nature !== 'operated' && owner.kind !== 'presence'))
            continue;
        const here = (places.get(change.event) ?? 0) + 1;
        close(change.slot, here);
        if (change.to !== start?.[change.slot]) since.set(change.slot, { from: here, state: change.to });
    }
    for (const slot of [...since.keys()]) close(slot, trace.visits.length);
    return open;
}
