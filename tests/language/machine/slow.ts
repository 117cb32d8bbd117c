/**
 * A second machine, slow and simple, over things of its own: it goes from half second to half second, works everything out again and again until
 * nothing changes, and knows nothing of how the first one does it. It also writes its things down as equipment text.
 */
export type Test =
    | { readonly is: string; readonly state: string }
    | { readonly bare: string }
    | { readonly not: Test }
    | { readonly all: readonly Test[] }
    | { readonly any: readonly Test[] };

interface Thing {
    readonly name: string;
    /** The unit that it is in. */
    readonly unit?: string;
}
export interface Operated extends Thing {
    readonly kind: 'control' | 'breaker' | 'connector' | 'lead' | 'unit' | 'port' | 'area' | 'button' | 'stimulus';
    readonly states: readonly string[];
    readonly from?: readonly string[];
    /** Of a port. */
    readonly carries?: string;
    readonly wets?: string;
}
export interface Shown extends Thing {
    readonly kind: 'source' | 'light' | 'motor' | 'mark';
    readonly from?: readonly string[];
    readonly live?: Test;
    readonly shows?: readonly { readonly state: string; readonly when: Test }[];
    readonly otherwise?: string;
}
export interface Moved extends Thing {
    readonly kind: 'valve' | 'relay' | 'timer' | 'mechanism';
    readonly states: readonly string[];
    readonly from?: readonly string[];
    readonly goes: readonly {
        readonly to: string;
        readonly least: number;
        readonly most: number;
        readonly when?: Test;
    }[];
}
export type Any = Operated | Shown | Moved;

export type Broken =
    | { readonly how: 'stuck'; readonly name: string; readonly state: string }
    | { readonly how: 'tripped' | 'not-opening' | 'leaking' | 'slow' | 'early'; readonly name: string };

const isShown = (thing: Any): thing is Shown => ['source', 'light', 'motor', 'mark'].includes(thing.kind);
const isMoved = (thing: Any): thing is Moved => ['valve', 'relay', 'timer', 'mechanism'].includes(thing.kind);

export class SlowMachine {
    /** By name. '-': in none of its states. */
    readonly state = new Map<string, string>();
    readonly going = new Map<string, { go: number; due: number; since: number }>();
    now = 0;
    feedsItself = false;
    private turn = 0;
    private broken: Broken | undefined;

    constructor(
        private readonly things: readonly Any[],
        private readonly slowest: boolean,
    ) {
        for (const thing of things) {
            if (!isShown(thing)) this.state.set(thing.name, thing.states[0] as string);
            else this.state.set(thing.name, this.dark(thing));
        }
    }

    /** Until nothing moves; false where that never comes. */
    rest(): boolean {
        this.settle();
        for (let seconds = 0; this.going.size > 0; seconds++) {
            if (seconds > 5000 || this.feedsItself) return false;
            this.halfSecond();
        }
        this.now = 0;
        return !this.feedsItself;
    }

    set(name: string, state: string): void {
        this.state.set(name, state);
        this.settle();
    }

    wait(seconds: number): void {
        for (let n = 0; n < 2 * seconds && !this.feedsItself; n++) this.halfSecond();
    }

    break(broken: Broken): void {
        this.broken = broken;
        if (broken.how === 'stuck' && isMoved(this.thing(broken.name))) {
            this.going.delete(broken.name);
            this.state.set(broken.name, broken.state);
        }
        this.settle();
    }

    private halfSecond(): void {
        this.now += 0.5;
        if ([...this.going.values()].some(each => each.due <= this.now)) {
            this.arrive();
            this.settle();
        }
    }

    private settle(): void {
        this.turn++;
        for (let round = 0; round <= 50; round++) {
            this.look();
            if (this.stop()) continue;
            this.begin();
            if (!this.arrive()) return;
        }
        this.feedsItself = true;
    }

    /** What is shown, over and over until it says the same twice. */
    private look(): void {
        for (let before = ''; ; ) {
            for (const thing of this.things) {
                if (isShown(thing)) this.state.set(thing.name, this.shown(thing));
                else if (thing.kind === 'area' && this.isWetted(thing.name)) this.state.set(thing.name, 'WET');
            }
            const after = [...this.state.values()].join();
            if (after === before) return;
            before = after;
        }
    }

    private shown(thing: Shown): string {
        const { broken } = this;
        if (broken?.how === 'stuck' && broken.name === thing.name) return broken.state;
        if (!this.isThere(thing) || !(thing.from ?? []).every(each => this.isLive(each))) return this.dark(thing);
        if (thing.kind === 'source') return !thing.live || this.holds(thing.live) ? 'LIVE' : 'DEAD';
        if (!thing.shows) return thing.kind === 'motor' ? 'RUNNING' : 'ON';
        return thing.shows.find(each => this.holds(each.when))?.state ?? this.dark(thing);
    }

    private dark(thing: Shown): string {
        return thing.otherwise ?? { source: 'DEAD', light: 'OFF', motor: 'STOPPED', mark: '-' }[thing.kind];
    }

    private isWetted(area: string): boolean {
        return this.things.some(each => {
            if (isShown(each) || isMoved(each) || each.wets !== area || this.state.get(each.carries ?? '') !== 'LIVE')
                return false;
            const leaks = this.broken?.how === 'leaking' && this.broken.name === each.name;
            return leaks || this.state.get(each.name) === 'OPEN' || !this.isThere(each);
        });
    }

    /** True where something has stopped half way. */
    private stop(): boolean {
        let stopped = false;
        for (const thing of this.things) {
            const going = this.going.get(thing.name);
            if (!going || !isMoved(thing)) continue;
            const best = this.best(thing);
            const same = best >= 0 && thing.goes[best]?.to === thing.goes[going.go]?.to;
            if (best === going.go || (same && this.drives(thing, going.go))) continue;
            this.going.delete(thing.name);
            const stays = thing.kind === 'relay' || thing.kind === 'timer';
            if (going.since === this.turn || stays || this.state.get(thing.name) === '-') continue;
            this.state.set(thing.name, '-');
            stopped = true;
        }
        return stopped;
    }

    private begin(): void {
        for (const thing of this.things) {
            if (!isMoved(thing) || this.going.has(thing.name) || this.isStuck(thing)) continue;
            const go = this.best(thing);
            const way = thing.goes[go];
            if (!way || way.to === this.state.get(thing.name)) continue;
            let seconds = this.slowest ? way.most : way.least;
            if (this.broken?.name === thing.name && this.broken.how === 'slow') seconds = 2 * way.most;
            if (this.broken?.name === thing.name && this.broken.how === 'early') seconds = way.least / 2;
            this.going.set(thing.name, { go, due: this.now + seconds, since: this.turn });
        }
    }

    private arrive(): boolean {
        const due = [...this.going].filter(([, going]) => going.due <= this.now);
        for (const [name, { go }] of due) {
            this.state.set(name, (this.thing(name) as Moved).goes[go]?.to as string);
            this.going.delete(name);
        }
        return due.length > 0;
    }

    private isStuck(thing: Any): boolean {
        return this.broken?.how === 'stuck' && this.broken.name === thing.name;
    }

    /** The way that it is driven, -1 for none. */
    private best(thing: Moved): number {
        const first = thing.goes.findIndex((go, n) => go.when && this.drives(thing, n));
        if (first >= 0) return first;
        // In what is off, only what drops out by itself goes its other way.
        return this.isThere(thing) || thing.kind === 'relay' || thing.kind === 'timer'
            ? thing.goes.findIndex(go => !go.when)
            : -1;
    }

    private drives(thing: Moved, go: number): boolean {
        const when = thing.goes[go]?.when;
        return (
            when !== undefined &&
            this.isThere(thing) &&
            (thing.from ?? []).every(each => this.isLive(each)) &&
            this.holds(when)
        );
    }

    private holds(test: Test): boolean {
        if ('not' in test) return !this.holds(test.not);
        if ('all' in test) return test.all.every(each => this.holds(each));
        if ('any' in test) return test.any.some(each => this.holds(each));
        if ('bare' in test) return this.isLive(test.bare);
        if (this.thing(test.is).kind === 'breaker' && test.state === 'CLOSED') return this.isClosed(test.is);
        return this.state.get(test.is) === test.state;
    }

    private isClosed(breaker: string): boolean {
        if (this.broken?.name === breaker && this.broken.how === 'tripped') return false;
        if (this.broken?.name === breaker && this.broken.how === 'not-opening') return true;
        return this.state.get(breaker) === 'CLOSED';
    }

    private isLive(name: string): boolean {
        const thing = this.thing(name);
        if (isShown(thing)) {
            const state = this.state.get(name);
            return thing.kind === 'source' ? state === 'LIVE' : state !== this.dark(thing);
        }
        if (!this.isThere(thing)) return false;
        if (isMoved(thing)) return this.state.get(name) === 'CLOSED';
        const made = {
            breaker: 'CLOSED',
            connector: 'CONNECTED',
            lead: 'CONNECTED',
            unit: 'INSTALLED',
            button: 'PRESSED',
            stimulus: 'APPLIED',
        }[thing.kind as string];
        const on = thing.kind === 'breaker' ? this.isClosed(name) : this.state.get(name) === made;
        return on && (thing.from ?? []).every(each => this.isLive(each));
    }

    /** Itself, and every unit around it, in place. */
    private isThere(thing: Any): boolean {
        if (thing.kind === 'unit' && this.state.get(thing.name) !== 'INSTALLED') return false;
        return thing.unit === undefined || this.isThere(this.thing(thing.unit));
    }

    private thing(name: string): Any {
        return this.things.find(each => each.name === name) as Any;
    }
}

export function textOf(things: readonly Any[]): string {
    return things.map(lineOf).join('\n');
}

function lineOf(thing: Any): string {
    const words = [thing.kind, thing.name, '"thing"'];
    if (thing.kind !== 'source') words.push(thing.unit ? `in ${thing.unit}` : 'at Here');
    if ((thing.kind === 'control' || isMoved(thing)) && 'states' in thing)
        words.push(`positions ${thing.states.join(', ')}`);
    if ('from' in thing && thing.from?.length) words.push(`from ${thing.from.join(', ')}`);
    if ('carries' in thing && thing.carries) words.push(`carries ${thing.carries} wets ${thing.wets}`);
    if (isShown(thing) && thing.live) words.push(`live when ${said(thing.live)}`);
    if (isShown(thing) && thing.shows)
        words.push(
            '{',
            ...thing.shows.map(each => `shows ${each.state} when ${said(each.when)}`),
            `shows ${thing.otherwise} otherwise`,
            '}',
        );
    if (isMoved(thing)) words.push('{', ...thing.goes.map(wayOf), '}');
    return words.join(' ');
}

function wayOf({ to, least, most, when }: Moved['goes'][number]): string {
    const time = most === 0 ? '' : least === most ? ` in ${most} s` : ` in ${least} to ${most} s`;
    return `goes ${to}${time} ${when ? `when ${said(when)}` : 'otherwise'}`;
}

function said(test: Test): string {
    if ('not' in test) return `not (${said(test.not)})`;
    if ('all' in test) return `(${test.all.map(said).join(' and ')})`;
    if ('any' in test) return `(${test.any.map(said).join(' or ')})`;
    return 'bare' in test ? test.bare : `${test.is} is ${test.state}`;
}
