/**
 * What holds at an event over all paths that lead to it: joined where paths meet, in one pass, linear in the card.
 * `at[event]` is the state before the event; undefined where no path leads.
 */
export interface Paths {
    readonly at: readonly (PathState | undefined)[];
}

export interface PathState {
    /** By slot that an action changes: the states it may be in, as a bit mask (bit n: state n). 0 for slots that only the machine changes. */
    readonly states: ArrayLike<number>;
    /** By slot: the events that may have changed it last; NONE stands for "as the card began". */
    readonly by: readonly (readonly number[])[];
    /** By slot: the least guaranteed seconds that it has been as it is; what `start with ... for at least` says counts, else 0 before the card. */
    readonly atLeast: ArrayLike<number>;
    /** By role: places (bit mask over machine.places as a set of indices) where it may have its base, and where it may stand. */
    readonly base: readonly ReadonlySet<number>[];
    readonly stands: readonly ReadonlySet<number>[];
    /** Clearances that hold on every path: see people.ts. */
    readonly told: readonly Clearance[];
}

/** Role `from` at place `fromPlace` told role `to`; on every path nobody there has worked since, and it is not spent. */
export interface Clearance {
    readonly from: number;
    readonly to: number;
    readonly fromPlace: number;
    /** The events (tells) that gave it. */
    readonly by: readonly number[];
}
