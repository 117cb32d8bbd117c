import { describe, expect, it } from 'vitest';
import { compileMachine } from '../../../language/machine/compile.js';
import type { Machine } from '../../../language/machine/machine.js';
import { type Fault, Simulator } from '../../../language/machine/simulator.js';
import { parseProject } from '../../../language/names/project.js';
import { Random } from '../by-construction/random.js';
import { type Any, type Broken, type Moved, type Operated, SlowMachine, type Test, textOf } from './slow.js';

/** A few things of every sort, each of which may rest on those before it; what moves may rest on anything. */
function thingsOf(random: Random): Any[] {
    const things: Any[] = [];
    const units: string[] = [];
    const inside = () => (units.length > 0 && random.chance(0.3) ? { unit: random.pick(units) } : {});
    const add = (thing: Any): void => void things.push(thing);
    for (let n = 0; n < random.whole(1, 2); n++) {
        add({ kind: 'unit', name: `U${n}`, states: ['INSTALLED', 'REMOVED'], ...inside() });
        units.push(`U${n}`);
    }
    for (let n = 0; n < random.whole(2, 4); n++)
        add({
            kind: 'control',
            name: `C${n}`,
            states: random.pick([
                ['OFF', 'ON'],
                ['LOW', 'MID', 'TOP'],
            ]),
            ...inside(),
        });
    if (random.chance(0.5)) add({ kind: 'button', name: 'BTN', states: ['RELEASED', 'PRESSED'] });
    if (random.chance(0.3)) add({ kind: 'stimulus', name: 'HEAT', states: ['ABSENT', 'APPLIED'] });
    const movers = Array.from({ length: random.whole(1, 4) }, (_, n): Moved => {
        const kind = random.pick(['valve', 'relay', 'timer', 'mechanism'] as const);
        return {
            kind,
            name: `M${n}`,
            states:
                kind === 'relay' || kind === 'timer'
                    ? ['OPEN', 'CLOSED']
                    : random.pick([
                          ['IN', 'OUT'],
                          ['IN', 'HALF', 'OUT'],
                      ]),
            goes: [],
            ...inside(),
        };
    });

    /** What may be named now: what stands above, and everything that moves. */
    const test = (depth = 0): Test => {
        const one = random.next();
        if (depth < 2 && one < 0.15) return { not: test(depth + 1) };
        if (depth < 2 && one < 0.3) return { all: [test(depth + 1), test(depth + 1)] };
        if (depth < 2 && one < 0.45) return { any: [test(depth + 1), test(depth + 1)] };
        const of = random.pick([...things, ...movers]);
        const bare = [
            'breaker',
            'connector',
            'lead',
            'unit',
            'button',
            'stimulus',
            'source',
            'light',
            'motor',
            'relay',
            'timer',
        ];
        if (bare.includes(of.kind) && random.chance(0.5)) return { bare: of.name };
        return { is: of.name, state: random.pick(statesOf(of)) };
    };
    const feeds = (): string[] => {
        const able = [...things, ...movers].filter(each =>
            ['breaker', 'connector', 'lead', 'unit', 'source', 'light', 'motor', 'relay'].includes(each.kind),
        );
        return able.length === 0
            ? []
            : Array.from({ length: random.whole(0, 2) }, () => random.pick(able).name).filter(
                  (each, n, all) => all.indexOf(each) === n,
              );
    };
    for (let n = 0; n < random.whole(4, 9); n++) {
        const kind = random.pick(['breaker', 'connector', 'lead', 'source', 'light', 'motor', 'mark', 'port'] as const);
        const name = `X${n}`;
        if (kind === 'breaker') add({ kind, name, states: ['CLOSED', 'PULLED'], from: feeds(), ...inside() });
        else if (kind === 'connector')
            add({ kind, name, states: ['CONNECTED', 'DISCONNECTED'], from: feeds(), ...inside() });
        else if (kind === 'lead') add({ kind, name, states: ['DISCONNECTED', 'CONNECTED'] });
        else if (kind === 'source') add({ kind, name, live: test() });
        else if (kind === 'motor' || (kind === 'light' && random.chance(0.3)))
            add({ kind, name, from: feeds(), ...inside() });
        else if (kind === 'port') {
            const source = things.filter(each => each.kind === 'source').at(-1);
            if (!source) continue;
            add({ kind, name, states: ['CLOSED', 'OPEN'], carries: source.name, wets: `${name}-WET`, ...inside() });
            add({ kind: 'area', name: `${name}-WET`, states: ['DRY', 'WET'] });
        } else {
            const states = ['RED', 'BLUE', 'WHITE'];
            const shows = Array.from({ length: random.whole(1, 2) }, (_, at) => ({
                state: states[at] as string,
                when: test(),
            }));
            add({
                kind,
                name,
                ...(kind === 'light' ? { from: feeds() } : {}),
                shows,
                otherwise: random.pick(['WHITE', ...states.slice(0, shows.length)]),
                ...inside(),
            });
        }
    }
    const all = [...things, ...movers];
    things.push(...movers.splice(0));
    return all.map(each => {
        if (!('goes' in each)) return each;
        const time = () => random.pick([0, 0, 1, 2, 3, 5]);
        const goes = each.states.flatMap(to => {
            if (random.chance(0.15)) return [];
            const most = time();
            const least = random.chance(0.3) ? Math.max(Math.min(most, 1), most - 2) : most;
            return [{ to, least, most, when: test() }];
        });
        if (random.chance(0.5)) {
            const last = random.pick(each.states);
            const most = time();
            goes.push({ to: last, least: most, most, when: undefined as unknown as Test });
        }
        return { ...each, from: random.chance(0.4) ? feeds() : [], goes };
    });
}

function statesOf(thing: Any): readonly string[] {
    if ('states' in thing) return thing.states;
    if (thing.kind === 'source') return ['DEAD', 'LIVE'];
    if (thing.shows) return [...thing.shows.map(each => each.state), thing.otherwise as string];
    return thing.kind === 'motor' ? ['STOPPED', 'RUNNING'] : ['OFF', 'ON'];
}

function brokenOf(random: Random, things: readonly Any[]): Broken {
    const { kind, name, ...thing } = random.pick(
        things.filter(
            each => !['control', 'unit', 'lead', 'button', 'stimulus', 'area', 'connector'].includes(each.kind),
        ),
    );
    if (kind === 'breaker') return { how: random.pick(['tripped', 'not-opening'] as const), name };
    if (kind === 'port') return { how: 'leaking', name };
    if ('goes' in thing && random.chance(0.5)) return { how: random.pick(['slow', 'early'] as const), name };
    return { how: 'stuck', name, state: random.pick(statesOf({ kind, name, ...thing } as Any)) };
}

function faultOf(machine: Machine, broken: Broken): Fault {
    const item = machine.itemIndex[broken.name] as number;
    switch (broken.how) {
        case 'stuck':
            return { kind: 'held', item, state: machine.items[item]?.states.indexOf(broken.state) as number };
        case 'tripped':
            return { kind: 'contact', item, closed: 0 };
        case 'not-opening':
            return { kind: 'contact', item, closed: 1 };
        case 'leaking':
            return { kind: 'leaking', item };
        case 'slow':
            return { kind: 'pace', item, factor: 2, longest: true };
        case 'early':
            return { kind: 'pace', item, factor: 0.5, longest: false };
    }
}

const tally = { rested: 0, restless: 0, stuck: 0, moved: 0, between: 0, wet: 0, broken: 0 };

function compare(seed: number): void {
    const random = new Random(seed);
    const things = thingsOf(random);
    const text = `equipment E "Equipment" { place Here "Here"\n${textOf(things)}\n}`;
    const project = parseProject([{ path: 'e.cotter', text }]);
    expect(
        project.findings.map(each => each.message),
        text,
    ).toEqual([]);
    const machine = compileMachine(project, project.equipments, new Set());
    expect(machine.unknown, text).toEqual([]);
    expect(machine.ring, text).toEqual([]);

    const speed = random.pick(['slowest', 'fastest'] as const);
    const slow = new SlowMachine(things, speed === 'slowest');
    const sim = new Simulator(machine, speed);
    const done: string[] = [`seed ${seed}, ${speed}`];
    const agree = (): void => {
        const states = (of: (name: string, item: Machine['items'][number]) => string) =>
            things.map(
                each =>
                    `${each.name} ${of(each.name, machine.items[machine.itemIndex[each.name] as number] as Machine['items'][number])}`,
            );
        const fast = states((_, { slot }) => machine.slots[slot]?.states[sim.cells[slot] as number] ?? '-');
        expect(fast, `${text}\n${done.join('\n')}`).toEqual(states(name => slow.state.get(name) as string));
        expect(
            sim
                .moving()
                .map(each => machine.items[each.item]?.name)
                .sort(),
            `${text}\n${done.join('\n')}`,
        ).toEqual([...slow.going.keys()].sort());
        expect(sim.now).toBe(slow.now);
        if (fast.some(each => each.endsWith(' -'))) tally.between++;
        if (fast.some(each => each.endsWith(' WET'))) tally.wet++;
    };
    const rests = slow.rest();
    expect(sim.rest(), `${text}\nseed ${seed}`).toBe(rests);
    if (!rests) {
        tally.restless++;
        return;
    }
    tally.rested++;
    agree();
    const operated = things.filter((each): each is Operated => 'states' in each && !('goes' in each));
    for (let n = 0; n < 25; n++) {
        if (n === 12 && random.chance(0.6)) {
            const broken = brokenOf(random, things);
            done.push(JSON.stringify(broken));
            slow.break(broken);
            sim.begin(faultOf(machine, broken));
            tally.broken++;
        } else if (random.chance(0.4)) {
            const seconds = random.whole(1, 7);
            done.push(`wait ${seconds}`);
            slow.wait(seconds);
            sim.pass(seconds, true);
        } else {
            const { name, states } = random.pick(operated);
            const state = random.pick(states);
            done.push(`${name} ${state}`);
            slow.set(name, state);
            const item = machine.items[machine.itemIndex[name] as number] as Machine['items'][number];
            sim.operate(item.slot, item.states.indexOf(state));
        }
        expect(sim.notes.stuck, `${text}\n${done.join('\n')}`).toBe(slow.feedsItself);
        if (slow.feedsItself) {
            tally.stuck++;
            return;
        }
        agree();
    }
    if (sim.changes.some(each => machine.items[machine.slots[each.slot]?.item as number]?.nature === 'moved'))
        tally.moved++;
}

describe('a machine and a slower, simpler one', () => {
    it('are in the same states after every action and every wait, on 600 random pieces of equipment', () => {
        for (let seed = 1; seed <= 600; seed++) compare(seed);
        // The comparison is worth something only where things do happen.
        expect(tally.rested).toBeGreaterThan(300);
        expect(tally.restless).toBeGreaterThan(10);
        expect(tally.stuck).toBeGreaterThan(0);
        expect(tally.moved).toBeGreaterThan(200);
        expect(tally.between).toBeGreaterThan(100);
        expect(tally.wet).toBeGreaterThan(100);
        expect(tally.broken).toBeGreaterThan(100);
    });
});
