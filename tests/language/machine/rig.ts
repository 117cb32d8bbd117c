/** A machine in motion from equipment text alone, handled by the names of things. */
import { compileMachine } from '../../../language/machine/compile.js';
import type { Machine } from '../../../language/machine/machine.js';
import { type Fault, Simulator } from '../../../language/machine/simulator.js';
import { parseProject } from '../../../language/names/project.js';

export function machineOf(parts: string): Machine {
    const project = parseProject([
        { path: 'e.cotter', text: `equipment E "Equipment" { place Here "Here"\n${parts}\n}` },
    ]);
    if (project.findings.length > 0) throw new Error(project.findings.map(each => each.message).join('\n'));
    return compileMachine(project, project.equipments, new Set());
}

export class Rig {
    readonly machine: Machine;
    readonly sim: Simulator;
    /** Whether it came to rest. */
    readonly rests: boolean;

    constructor(parts: string, start: Readonly<Record<string, string>> = {}, speed: 'slowest' | 'fastest' = 'slowest') {
        this.machine = machineOf(parts);
        this.sim = new Simulator(this.machine, speed);
        for (const [name, state] of Object.entries(start)) this.sim.put(...this.slot(name, state));
        this.rests = this.sim.rest();
    }

    item(name: string): number {
        return this.machine.itemIndex[name] as number;
    }

    private slot(name: string, state: string): [number, number] {
        const item = this.machine.items[this.item(name)] as Machine['items'][number];
        for (const slot of [item.slot, item.presence]) {
            const found = this.machine.slots[slot]?.states.indexOf(state) ?? -1;
            if (found >= 0) return [slot, found];
        }
        throw new Error(`${name} has no state ${state}`);
    }

    set(name: string, state: string): this {
        this.sim.operate(...this.slot(name, state));
        return this;
    }

    wait(seconds: number): this {
        this.sim.pass(seconds, true);
        return this;
    }

    fail(fault: Fault): this {
        this.sim.begin(fault);
        return this;
    }

    /** "V SHUT>OPEN @4", in the order in which it happened. */
    get log(): string[] {
        return this.sim.changes.map(({ slot, from, to, time }) => {
            const { item, states } = this.machine.slots[slot] as Machine['slots'][number];
            return `${this.machine.items[item]?.name} ${states[from] ?? '-'}>${states[to] ?? '-'} @${time}`;
        });
    }

    /** "-": in none of its states. */
    is(name: string): string {
        const { slot } = this.machine.items[this.item(name)] as Machine['items'][number];
        return this.machine.slots[slot]?.states[this.sim.cells[slot] as number] ?? '-';
    }
}
