/** What the sheet calls lost, against the machine itself: with the thing taken away and everything else tried at random, it never comes about. */
import { describe, expect, test } from 'vitest';
import { type Item, type Machine, NONE } from '../../../language/machine/machine.js';
import { type Fault, Simulator } from '../../../language/machine/simulator.js';
import { isCarrier, Losses } from '../../../language/readers/equipment-sheet/losses.js';
import { Random } from '../by-construction/random.js';
import { filesOf, judgedOf, projects } from './sheets.js';

const machines = [...projects, filesOf('language/checks/isolation/**/good.cotter').slice(0, 1)]
    .flatMap(project => judgedOf(project))
    .filter(({ machine }) => machine.unknown.length === 0 && machine.ring.length === 0);

/** Taking it away for good. */
function faultOf(item: Item, index: number): Fault | undefined {
    if (item.kind === 'breaker') return { kind: 'contact', item: index, closed: 0 };
    if (item.kind === 'source') return { kind: 'held', item: index, state: item.states.indexOf('DEAD') };
    if (item.kind === 'motor') return { kind: 'held', item: index, state: item.states.indexOf('STOPPED') };
    if (item.kind === 'connector') return { kind: 'held', item: index, state: item.states.indexOf('DISCONNECTED') };
    return undefined;
}

/** By slot, every state seen while controls, breakers, plugs and parts are worked at random. */
function wander(machine: Machine, fault: Fault | undefined, seed: number): ReadonlyMap<number, ReadonlySet<number>> {
    const chance = new Random(seed);
    const next = (): number => chance.next();
    const seen = new Map(machine.items.map(item => [item.slot, new Set<number>()]));
    const sim = new Simulator(machine, 'slowest');
    sim.rest();
    if (fault) sim.begin(fault);
    const operated = machine.items.flatMap(item => (item.nature === 'operated' ? [item.slot] : []));
    for (let n = 0; n < 400; n++) {
        const slot = operated[Math.floor(next() * operated.length)];
        if (slot !== undefined && !(fault && 'item' in fault && machine.items[fault.item]?.slot === slot)) {
            // Plugs and parts mostly as they should be: where half of them are off nothing ever moves.
            const { item, states, normal } = machine.slots[slot] as Machine['slots'][number];
            const often = machine.items[item]?.kind === 'control' ? 0 : 0.8;
            sim.operate(slot, next() < often ? normal : Math.floor(next() * states.length));
        }
        for (const item of machine.items) seen.get(item.slot)?.add(sim.cells[item.slot] as number);
        sim.pass(next() < 0.5 ? 3 : 90, true);
        for (const item of machine.items) seen.get(item.slot)?.add(sim.cells[item.slot] as number);
    }
    return seen;
}

describe.each(machines.map(each => [`${each.name} ${each.modifications.map(m => m.embodied)}`, each.machine] as const))(
    '%s',
    (_, machine) => {
        const losses = new Losses(machine);

        test('what is possible is all that random handling ever brings about', () => {
            const seen = wander(machine, undefined, 1);
            for (const [index, item] of machine.items.entries()) {
                if (item.nature !== 'moved' && item.kind !== 'source') continue;
                for (const state of seen.get(item.slot) ?? [])
                    if (
                        state !== NONE &&
                        state !== item.normal &&
                        !(item.kind === 'source' && state === item.states.indexOf('DEAD'))
                    )
                        expect(losses.sound[index]?.states.has(state), `${item.name} ${item.states[state]}`).toBe(true);
            }
        });

        test('what is lost with a thing never comes about without it', () => {
            for (const [index, item] of machine.items.entries()) {
                const fault = isCarrier(item) ? faultOf(item, index) : undefined;
                if (!fault) continue;
                const { less } = losses.without(index);
                const seen = wander(machine, fault, index + 2);
                for (const [other, now] of less) {
                    const lost = machine.items[other] as Item;
                    if (lost.kind !== 'source' && lost.kind !== 'motor' && lost.nature !== 'moved') continue;
                    const bare = lost.kind === 'source' ? 'LIVE' : lost.kind === 'motor' ? 'RUNNING' : '';
                    for (const [state, word] of lost.states.entries()) {
                        const gone =
                            bare === word
                                ? !now.live
                                : lost.nature === 'moved' &&
                                  !now.states.has(state) &&
                                  losses.sound[other]?.states.has(state) &&
                                  state !== lost.normal;
                        if (gone)
                            expect(
                                [...(seen.get(lost.slot) ?? [])],
                                `${item.name} takes away ${lost.name} ${word}`,
                            ).not.toContain(state);
                    }
                }
            }
        });
    },
);

test('the sample: each motor is lost with its own breaker, and what is not called lost can come about', () => {
    const machine = machines.find(each => each.name === 'Hyd2')?.machine as Machine;
    const losses = new Losses(machine);
    const at = (name: string): number => machine.itemIndex[name] as number;
    const lostWith = (name: string): string[] =>
        [...losses.without(at(name)).less.keys()].map(n => machine.items[n]?.name ?? '');
    expect(lostWith('CB-217')).toEqual(['MA']);
    expect(lostWith('CB-218')).toEqual(['MB']);
    expect(lostWith('ESS')).toEqual(expect.arrayContaining(['CB-217', 'CB-218', 'MA', 'MB', 'VLV', 'HYD2', 'STREAM']));
    const seen = wander(machine, { kind: 'contact', item: at('CB-217'), closed: 0 }, 7);
    const valve = machine.items[at('VLV')] as Item;
    for (const state of [0, 1]) expect([...(seen.get(valve.slot) ?? [])]).toContain(state);
});
