import { cellsOf, type Program, runProgram } from '../conditions/program.js';
import { kindOf } from '../vocabulary/kinds/index.js';
import { type Circuit, circuitOf, type MovedCircuit } from './circuit.js';
import { type Item, type Machine, NONE } from './machine.js';

/** More rounds at one instant than this: the machine feeds itself. */
export const MOST_ROUNDS = 50;
/** More moments than this while one event lasts: it chatters, and nobody waits for it. */
const MOST_MOMENTS = 100_000;

/** Times are added up in many ways; this keeps 0.1 s and 0.7 s at 0.8 s. */
const instant = (seconds: number): number => Math.round(seconds * 1e6) / 1e6;

/** What fails, as the simulator knows it. One at a time. */
export type Fault =
    /** The item's state cell is held at this state. */
    | { readonly kind: 'held'; readonly item: number; readonly state: number }
    /** A breaker's contact is held open (0) or closed (1), wherever its knob is. */
    | { readonly kind: 'contact'; readonly item: number; readonly closed: 0 | 1 }
    /** A joint lets out although it is closed. */
    | { readonly kind: 'leaking'; readonly item: number }
    /** The times of a moved item are multiplied; `longest`: of its longest, else of its shortest. */
    | { readonly kind: 'pace'; readonly item: number; readonly factor: number; readonly longest: boolean }
    | { readonly kind: 'crossed'; readonly item: number; readonly other: number }
    /** machine.ownFailures[index]. */
    | { readonly kind: 'own'; readonly item: number; readonly index: number };

/** One change of one slot, as trace.ts describes it. */
export interface SlotChange {
    slot: number;
    from: number;
    to: number;
    time: number;
    event: number;
    cause: number;
    root: number;
}

/** A change as the cause of another: its index in the log, NONE where it lies before the log; and the event at its root. */
interface Cause {
    readonly index: number;
    readonly root: number;
}
interface Movement {
    readonly go: number;
    readonly to: number;
    readonly due: number;
    readonly startedBy: Cause | undefined;
    /** The settling in which it started. */
    readonly settling: number;
}

/** What a run notes besides changes. */
export interface Notes {
    /** Items whose movement started, during which event, and the event at the root of it. */
    readonly started: {
        readonly item: number;
        readonly to: number;
        readonly event: number;
        readonly root: number;
        readonly time: number;
    }[];
    /** Two movements of one item wanted at once: [item, first go, second go, event]. */
    readonly conflicts: (readonly [number, number, number, number])[];
    stuck: boolean;
}

/**
 * The machine in motion: settles after every change, moves what moves as time passes. Deterministic. Clone it to try something.
 * Times are seconds since the card began.
 */
export class Simulator {
    now = 0;
    /** Guaranteed time: stands still inside a `within`. */
    guaranteed = 0;
    cells: Int16Array;
    /** By slot, the guaranteed clock at its last change. */
    since: Float64Array;
    /** By cell, when it changed last (a count of changes, 0 for never), that change's index in the log and the event at its root. */
    private stamp: Int32Array;
    private logged: Int32Array;
    private roots: Int32Array;
    private count = 0;
    movements: (Movement | undefined)[];
    changes: SlotChange[];
    notes: Notes;
    event = NONE;
    fault: Fault | undefined;
    private circuit: Circuit;
    /** Which settling this is. */
    private settling = 0;
    /** Where actions have brought the slot that the failure holds. */
    private meant = NONE;
    private cellsCopy: Int16Array | undefined;
    private sinceCopy: Float64Array | undefined;

    constructor(
        readonly machine: Machine,
        readonly speed: 'slowest' | 'fastest',
    ) {
        this.circuit = circuitOf(machine);
        this.cells = new Int16Array(this.circuit.cells);
        this.since = new Float64Array(machine.slots.length);
        this.stamp = new Int32Array(this.circuit.cells);
        this.logged = new Int32Array(this.circuit.cells).fill(NONE);
        this.roots = new Int32Array(this.circuit.cells).fill(NONE);
        this.movements = this.circuit.moved.map(() => undefined);
        this.changes = [];
        this.notes = { started: [], conflicts: [], stuck: false };
        for (const [n, slot] of machine.slots.entries()) this.cells[n] = slot.normal;
        for (const [n, item] of machine.items.entries()) if (item.kind === 'breaker') this.setContact(n);
    }

    /** The same machine at the same moment. The log of changes starts anew; of causes before it only the root is kept. */
    clone(): Simulator {
        const copy = Object.create(Simulator.prototype) as Simulator;
        Object.assign(copy, this);
        copy.cells = this.cells.slice();
        copy.since = this.since.slice();
        copy.stamp = this.stamp.slice();
        copy.logged = new Int32Array(this.circuit.cells).fill(NONE);
        copy.roots = this.roots.slice();
        copy.movements = this.movements.slice();
        copy.changes = [];
        copy.notes = { started: [], conflicts: [], stuck: this.notes.stuck };
        copy.cellsCopy = undefined;
        copy.sinceCopy = undefined;
        return copy;
    }

    /** Slots as they are now; shared until something changes. */
    snapshot(): Int16Array {
        this.cellsCopy ??= this.cells.slice(0, this.machine.slots.length);
        return this.cellsCopy;
    }

    sinceSnapshot(): Float64Array {
        this.sinceCopy ??= this.since.slice();
        return this.sinceCopy;
    }

    get isMoving(): boolean {
        return this.movements.some(each => each !== undefined);
    }

    moving(): { item: number; to: number }[] {
        const found: { item: number; to: number }[] = [];
        for (const [n, movement] of this.movements.entries())
            if (movement) found.push({ item: (this.circuit.moved[n] as MovedCircuit).item, to: movement.to });
        return found;
    }

    holds(program: Program): boolean {
        return runProgram(program, this.cells);
    }

    /** Puts a slot into a state without anything following yet; call `settle` after. Used for the start. */
    put(slot: number, state: number): void {
        this.cells[slot] = state;
        const owner = this.machine.slots[slot];
        if (owner && this.machine.items[owner.item]?.kind === 'breaker') this.setContact(owner.item);
    }

    /** Lets everything come to rest, then starts the clocks. False when it never does. */
    rest(): boolean {
        this.settle();
        for (let n = 0; n < 1000 && !this.notes.stuck; n++) {
            const due = this.nextDue();
            if (due === Infinity) {
                this.now = 0;
                this.guaranteed = 0;
                this.since.fill(0);
                this.stamp.fill(0);
                this.logged.fill(NONE);
                this.roots.fill(NONE);
                this.changes = [];
                this.notes.started.length = 0;
                this.sinceCopy = undefined;
                return true;
            }
            this.advanceTo(due);
        }
        this.notes.stuck = true;
        return false;
    }

    /** An action: brings the slot to the state, and lets everything follow that follows at once. */
    operate(slot: number, state: number): void {
        if (this.isHeld(slot)) {
            this.meant = state;
            return;
        }
        if (this.cells[slot] !== state) {
            this.change(slot, state, undefined);
            const owner = this.machine.slots[slot];
            if (owner && this.machine.items[owner.item]?.kind === 'breaker') this.setContact(owner.item);
        }
        this.settle();
    }

    /** Begins a failure: it holds from now on. */
    begin(fault: Fault): void {
        this.fault = fault;
        if (fault.kind === 'crossed') this.circuit = circuitOf(this.machine, { a: fault.item, b: fault.other });
        if (fault.kind === 'contact') this.setContact(fault.item);
        if (fault.kind === 'held') {
            const item = this.machine.items[fault.item] as Item;
            if (this.isHeld(item.slot)) this.meant = this.cells[item.slot] as number;
            if (item.nature !== 'shown') {
                const moved = this.circuit.moved.findIndex(each => each.item === fault.item);
                if (moved >= 0) this.movements[moved] = undefined;
                if (this.cells[item.slot] !== fault.state) this.change(item.slot, fault.state, undefined);
            }
        }
        this.settle();
    }

    /** A new part: failures of it and of what is in it are over. What it holds settles anew. */
    renew(item: number): void {
        const fault = this.fault;
        if (!fault) return;
        for (
            let at = fault.item, n = 0;
            at !== NONE && n <= this.machine.items.length;
            at = (this.machine.items[at] as Item).unit, n++
        ) {
            if (at !== item) continue;
            this.fault = undefined;
            this.circuit = circuitOf(this.machine);
            if (fault.kind === 'contact') this.setContact(fault.item);
            const { slot } = this.machine.items[fault.item] as Item;
            if (this.meant !== NONE && this.cells[slot] !== this.meant) this.change(slot, this.meant, undefined);
            this.meant = NONE;
            this.settle();
            return;
        }
    }

    /**
     * Lets time pass to `now + seconds`, arrivals included that are due at that very moment. `guaranteed`: counts towards minimum times.
     * `each` is called after every moment at which something was due; when it returns true, time stops there and the result is true.
     */
    pass(seconds: number, guaranteed: boolean, each?: () => boolean): boolean {
        const end = instant(this.now + seconds);
        for (let moments = 0; !this.notes.stuck; moments++) {
            const due = this.nextDue();
            if (due > end) break;
            if (moments > MOST_MOMENTS) this.notes.stuck = true;
            if (guaranteed) this.guaranteed = instant(this.guaranteed + due - this.now);
            this.advanceTo(due);
            if (each?.()) return true;
        }
        if (guaranteed) this.guaranteed = instant(this.guaranteed + end - this.now);
        this.now = end;
        return false;
    }

    /** Time that has passed is found not to be guaranteed. */
    takeBack(seconds: number): void {
        this.guaranteed = instant(this.guaranteed - seconds);
        for (const [slot, since] of this.since.entries())
            if (since > this.guaranteed) this.since[slot] = this.guaranteed;
        this.sinceCopy = undefined;
    }

    /** Runs on until nothing moves, for what is still to come after the last event. */
    runOut(): void {
        for (let n = 0; n < 1000 && !this.notes.stuck; n++) {
            const due = this.nextDue();
            if (due === Infinity) return;
            this.advanceTo(due);
        }
    }

    /** The change that last touched any of these cells. */
    lastOf(cells: Iterable<number>): Cause | undefined {
        let latest = 0;
        let found = NONE;
        for (const cell of cells) {
            const stamp = this.stamp[cell] as number;
            if (stamp > latest) {
                latest = stamp;
                found = cell;
            }
        }
        return found === NONE ? undefined : { index: this.logged[found] as number, root: this.roots[found] as number };
    }

    /** Whether the slot has changed since the clocks started. */
    hasChanged(slot: number): boolean {
        return (this.stamp[slot] as number) > 0;
    }

    nextDue(): number {
        let due = Infinity;
        for (const movement of this.movements) if (movement && movement.due < due) due = movement.due;
        return due;
    }

    private advanceTo(time: number): void {
        this.now = time;
        this.arrive();
        this.settle();
    }

    /** All movements due now arrive together. */
    private arrive(): boolean {
        let any = false;
        for (const [n, movement] of this.movements.entries()) {
            if (!movement || movement.due > this.now) continue;
            this.movements[n] = undefined;
            this.change((this.circuit.moved[n] as MovedCircuit).slot, movement.to, movement.startedBy);
            any = true;
        }
        return any;
    }

    private settle(): void {
        this.settling++;
        for (let rounds = 0; rounds <= MOST_ROUNDS; rounds++) {
            if (this.show()) continue;
            if (this.cutShort()) continue;
            this.start();
            if (!this.arrive()) return;
        }
        this.notes.stuck = true;
    }

    /** One pass over everything that follows at once. True when a failure of its own has then changed what an action or a movement changes. */
    private show(): boolean {
        const fault = this.fault;
        for (const shown of this.circuit.shown) {
            const cells = this.cells;
            let state: number;
            if (shown.joints.length > 0 || this.machine.items[shown.item]?.nature === 'wetted') {
                state = cells[shown.slot] as number;
                for (const n of shown.joints) {
                    const joint = this.circuit.joints[n];
                    if (!joint) continue;
                    const source = this.machine.items[joint.source] as Item;
                    if (cells[source.slot] !== source.states.indexOf('LIVE')) continue;
                    if (runProgram(joint.off, cells) || (fault?.kind === 'leaking' && fault.item === joint.item))
                        state = 1;
                }
            } else if (shown.fed && !runProgram(shown.fed, cells)) {
                state = shown.unfed;
            } else {
                state = shown.else;
                for (const show of shown.shows) {
                    if (show.when && !runProgram(show.when, cells)) continue;
                    state = show.state;
                    break;
                }
            }
            if (fault) {
                if (fault.kind === 'held' && fault.item === shown.item) state = fault.state;
                else if (fault.kind === 'own') state = this.ownState(fault.index, shown.item, state);
            }
            if (cells[shown.slot] !== state) this.change(shown.slot, state, this.lastOf(shown.reads));
        }
        return fault?.kind === 'own' && this.forceOwn(fault.index);
    }

    private ownState(index: number, item: number, state: number): number {
        const own = this.machine.ownFailures[index];
        if (!own || own.changes !== item) return state;
        return !own.when || this.holds(this.circuit.compile(own.when)) ? own.state : state;
    }

    /** A failure of its own that changes what an action or a movement changes. */
    private forceOwn(index: number): boolean {
        const own = this.machine.ownFailures[index];
        const item = own && this.machine.items[own.changes];
        if (!own || !item || item.nature === 'shown' || item.nature === 'wetted') return false;
        const when = own.when && this.circuit.compile(own.when);
        if (when && !this.holds(when)) return false;
        const moved = this.circuit.moved.findIndex(each => each.item === own.changes);
        if (moved >= 0) this.movements[moved] = undefined;
        if (this.cells[own.slot] === own.state) return false;
        this.change(own.slot, own.state, when && this.lastOf(cellsOf(when)));
        if (item.kind === 'breaker') this.setContact(own.changes);
        return true;
    }

    /**
     * Cuts short the movements whose condition no longer holds, and those that another one wins over. True when that changed a state. What started
     * at this very moment has not moved yet.
     */
    private cutShort(): boolean {
        let changed = false;
        for (const [n, moved] of this.circuit.moved.entries()) {
            const movement = this.movements[n];
            if (!movement || this.isStill(moved.item)) continue;
            const wanted = this.wanted(moved);
            const own = moved.goes[movement.go];
            if (wanted === movement.go) continue;
            if (moved.goes[wanted]?.to === movement.to && own?.when && runProgram(own.when, this.cells)) continue;
            this.movements[n] = undefined;
            if (movement.settling === this.settling) {
                const started = this.notes.started;
                started.splice(
                    started.findLastIndex(each => each.item === moved.item),
                    1,
                );
            } else if (!moved.stays && this.cells[moved.slot] !== NONE) {
                this.change(moved.slot, NONE, this.lastOf(own?.reads ?? []));
                changed = true;
            }
        }
        return changed;
    }

    /** Starts the movements whose condition holds. */
    private start(): void {
        for (const [n, moved] of this.circuit.moved.entries()) {
            if (this.movements[n] || this.isStill(moved.item)) continue;
            const wanted = this.wanted(moved);
            const go = moved.goes[wanted];
            if (!go || this.cells[moved.slot] === go.to) continue;
            const cause = this.lastOf(go.reads);
            const due = instant(this.now + this.time(moved.item, go));
            this.movements[n] = { go: wanted, to: go.to, due, startedBy: cause, settling: this.settling };
            const root = cause?.root ?? this.event;
            this.notes.started.push({ item: moved.item, to: go.to, event: this.event, root, time: this.now });
        }
    }

    /** Index of the first `goes` that holds, else of the `otherwise`, else NONE. Two that hold at once are noted. */
    private wanted(moved: MovedCircuit): number {
        const otherwise = moved.goes.findIndex(go => !go.when);
        // In a removed unit nothing drives it: a relay drops out, a valve stays where it is.
        if (moved.inPlace && !runProgram(moved.inPlace, this.cells)) return moved.stays ? otherwise : NONE;
        let wanted = NONE;
        for (const [n, go] of moved.goes.entries()) {
            if (!go.when || !runProgram(go.when, this.cells)) continue;
            if (wanted === NONE) wanted = n;
            else if (moved.goes[wanted]?.to !== go.to && this.notes.conflicts.length < 50)
                this.notes.conflicts.push([moved.item, wanted, n, this.event]);
        }
        return wanted === NONE ? otherwise : wanted;
    }

    private time(item: number, go: { readonly min: number; readonly max: number }): number {
        const fault = this.fault;
        if (fault?.kind === 'pace' && fault.item === item) return fault.factor * (fault.longest ? go.max : go.min);
        return this.speed === 'slowest' ? go.max : go.min;
    }

    private isStill(item: number): boolean {
        const fault = this.fault;
        if (!fault) return false;
        if (fault.kind === 'held') return fault.item === item;
        if (fault.kind !== 'own') return false;
        const own = this.machine.ownFailures[fault.index];
        return own?.changes === item && (!own.when || this.holds(this.circuit.compile(own.when)));
    }

    /** Held by the failure: actions do not change it. */
    private isHeld(slot: number): boolean {
        const fault = this.fault;
        return (
            fault?.kind === 'held' &&
            (this.machine.items[fault.item] as Item).slot === slot &&
            kindOf((this.machine.items[fault.item] as Item).kind).nature === 'operated'
        );
    }

    private setContact(item: number): void {
        const fault = this.fault;
        const cell = this.circuit.contact(item);
        const closed =
            fault?.kind === 'contact' && fault.item === item
                ? fault.closed
                : this.cells[(this.machine.items[item] as Item).slot] === 0
                  ? 1
                  : 0;
        if (this.cells[cell] === closed) return;
        this.cells[cell] = closed;
        const slot = (this.machine.items[item] as Item).slot;
        this.stamp[cell] = this.stamp[slot] as number;
        this.logged[cell] = this.logged[slot] as number;
        this.roots[cell] = this.roots[slot] as number;
    }

    private change(slot: number, to: number, cause: Cause | undefined): void {
        const root = cause ? cause.root : this.event;
        this.stamp[slot] = ++this.count;
        this.logged[slot] = this.changes.length;
        this.roots[slot] = root;
        this.changes.push({
            slot,
            from: this.cells[slot] as number,
            to,
            time: this.now,
            event: this.event,
            cause: cause?.index ?? NONE,
            root,
        });
        this.cells[slot] = to;
        this.since[slot] = this.guaranteed;
        this.cellsCopy = undefined;
        this.sinceCopy = undefined;
    }
}
