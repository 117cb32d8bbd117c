/**
 * What holds at an event over all paths that lead to it: joined where paths meet, in one pass, linear in the card.
 * `at[event]` is the state before the event, once the one who acts has come to where it is done; undefined where no path leads.
 */
export interface Paths {
    readonly at: readonly (PathState | undefined)[];
    /** The pairs of places that rules speak of with `told`. */
    readonly pairs: readonly Pair[];
}

/** `told to from from`. A rule that asks once for each test counts apart from one that asks each time. */
export interface Pair {
    readonly to: number;
    readonly from: number;
    readonly once: boolean;
}

/** Plain data, shared between events between which nothing changed: never write to it. */
export interface PathState {
    /** The least guaranteed seconds since the card began. */
    readonly clock: number;
    /** By slot that an action changes: what it may be. Undefined for what moves or shows by itself, and for tags, which are told with their breaker. */
    readonly facts: readonly (Facts | undefined)[];
    /** By slot that an action changes: the states it may be in, as a bit mask (bit n: state n). 0 for slots that only the machine changes. */
    readonly states: readonly number[];
    /** By slot: the events that may have changed it last; NONE stands for "as the card began". */
    readonly by: readonly (readonly number[])[];
    /** By role: the places where it may have its base, and where it may stand. NONE among them: at no place. */
    readonly base: readonly ReadonlySet<number>[];
    readonly stands: readonly ReadonlySet<number>[];
    /** By role: the places where it may have done hands-on work since it last told somebody, and the event. */
    readonly hands: readonly ReadonlyMap<number, number>[];
    /** By pair and role, at `pair * roles + role`: whether that role may act on what it was told. */
    readonly clear: readonly Clear[];
    /** Clearances by a tell that hold on every path: what `clear` says of them, role by role. */
    readonly told: readonly Clearance[];
    /** By item: one event for each role that may have worked on it or in it. */
    readonly worked: readonly (readonly number[])[];
}

/** What one slot may be. Sorted; never empty. */
export type Facts = readonly Fact[];

/** One possibility of one slot. */
export interface Fact {
    readonly state: number;
    /** A tag hangs on it, and the events that may have hung it or taken it off. */
    readonly tagged: boolean;
    readonly tagBy: readonly number[];
    /** The events that may have brought it to this state; NONE: as the card began. */
    readonly by: readonly number[];
    /** The clock when it came to this state, at the latest. */
    readonly since: number;
}

/** How far a role may act on what it was told about one pair of places. */
export interface Clear {
    readonly level: typeof NOT_CLEAR | typeof SPENT | typeof CLEAR;
    /** CLEAR: the tells, none where nobody is there. SPENT: the actions. NOT_CLEAR: what stands against it. */
    readonly by: readonly number[];
    readonly why: 'told' | 'nobody' | 'spent' | 'test-over' | 'worked' | 'came' | 'owes' | 'silent';
}
export const NOT_CLEAR = 0;
export const SPENT = 1;
export const CLEAR = 2;

/** Role `from` at place `fromPlace` told role `to`; on every path nobody there has worked since, and it is not spent. */
export interface Clearance {
    readonly from: number;
    readonly to: number;
    readonly fromPlace: number;
    /** The events (tells) that gave it. */
    readonly by: readonly number[];
}
