/**
 * A run of a Plan on a Machine. Plain data. Vectors hold one number a slot (the index of its state, or NONE) and are shared
 * between visits between which nothing changed: never write to one.
 */
export interface Trace {
    readonly kind: 'plain' | 'forced' | 'failure';
    /** All movements at their longest, or all at their shortest. */
    readonly speed: 'slowest' | 'fastest';
    /** Which of the states of `start with X is A or B`: by setting, the index of the state taken. */
    readonly choice: readonly number[];
    /** The arm that was forced, or NONE. */
    readonly arm: number;
    /** The failure in this run (index into the failures), or NONE. */
    readonly failure: number;
    readonly visits: readonly Visit[];
    readonly changes: readonly Change[];
    /** Before which event it stopped, where it stopped on the way: at the end of its block, or where others have been. NONE: it came to its end. */
    readonly next: number;
    readonly end: 'end' | 'stop' | 'leave-for' | 'failed-look' | 'exhausted' | 'arm-end' | 'stuck';
}

export interface Visit {
    readonly event: number;
    /** Seconds since the card began, before and after the event. */
    readonly time: number;
    readonly until: number;
    /** Guaranteed seconds before the event. */
    readonly guaranteed: number;
    readonly before: Vector;
    readonly after: Vector;
    /** By slot, the guaranteed clock at the last change as it was before the event; -Infinity: since before the card, at least as long as `start with ... for at least` says. */
    readonly since: Vector;
    /** The items in movement before the event, and where to. */
    readonly moving: readonly { readonly item: number; readonly to: number }[];
    /** Items whose movement started during the event (index into changes has the rest). */
    readonly started: readonly number[];
    /** By entry of `started`: the event at the root of it. */
    readonly startedBy: readonly number[];
    /** How a look or branch came out; undefined for other events and for a measure. */
    readonly met?: boolean;
    /** changes[firstChange .. lastChange) happened during the event. */
    readonly firstChange: number;
    readonly lastChange: number;
}

export type Vector = ArrayLike<number>;

/** One slot changed. The cause of a change by an action is the action; of any other, the last change among what it depends on. */
export interface Change {
    readonly slot: number;
    readonly from: number;
    readonly to: number;
    readonly time: number;
    /** The event during which it happened. */
    readonly event: number;
    /** Index of the change that brought it about, or NONE when the event itself did it. */
    readonly cause: number;
    /** The event at the root of the chain of causes. */
    readonly root: number;
}

/** The runs that checks read: one plain run for each state of `start with`, slowest first; one for each arm that no plain run takes. */
export interface Traces {
    readonly plain: readonly Trace[];
    readonly forced: readonly Trace[];
    /** By arm: how it is judged. `plain`: a plain run takes it. `failure`: a failure run. `measured`: the else of a measure. `forced`: only by force, so it is not judged. */
    readonly arms: readonly ('plain' | 'failure' | 'measured' | 'forced')[];
    /** Failure runs inside arms that no plain run takes, from the arm's entry on. */
    readonly inArms: readonly Trace[];
    /** False when a look of a plain run fails: then nothing may be concluded from failures. */
    readonly plainHolds: boolean;
}
