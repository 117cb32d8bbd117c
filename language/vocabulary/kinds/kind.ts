/** How an item of a kind comes to be in a state. */
export type Nature =
    /** changes only by an action */
    | 'operated'
    /** gets wet from a joint, and is cleaned by an action */
    | 'wetted'
    /** moves by itself, and takes its time */
    | 'moved'
    /** follows at once from the other items */
    | 'shown';

export type KindWord =
    | 'breaker'
    | 'control'
    | 'button'
    | 'door'
    | 'port'
    | 'connector'
    | 'lead'
    | 'panel'
    | 'unit'
    | 'seal'
    | 'fastener'
    | 'plug'
    | 'lock'
    | 'pin'
    | 'cap'
    | 'cover'
    | 'chock'
    | 'area'
    | 'stimulus'
    | 'valve'
    | 'relay'
    | 'timer'
    | 'sensor'
    | 'mechanism'
    | 'level'
    | 'light'
    | 'gauge'
    | 'horn'
    | 'mark'
    | 'flow'
    | 'source'
    | 'motor';

/** A verb of a kind: `pull` brings a breaker to PULLED. Sentences: "Pull CB-217." and "pulled at line 61". */
export interface Verb {
    readonly word: string;
    readonly to: string;
    readonly past: string;
}

/** One entry of the vocabulary. Checks, simulator and renderer read it; none of them knows a kind by name where this can tell. */
export interface Kind {
    readonly word: KindWord;
    readonly plural: string;
    readonly nature: Nature;
    /** Normal first; 'declared' where the equipment lists them (`positions`, or what `shows` names). */
    readonly states: readonly string[] | 'declared';
    /** States without any `positions` or `shows` (a light without a block is ON when it is fed). */
    readonly states0?: readonly string[];
    /** States that nobody brings about: only a failure does. They come after the others. */
    readonly byFailure?: readonly string[];
    readonly verbs: readonly Verb[];
    /** INSTALLED and REMOVED are the states of the kind itself. Other physical items have that besides. */
    readonly isPresence: boolean;
    /** May be removed and installed besides its own states. */
    readonly physical: boolean;
    /** The state that a bare name in a condition means; undefined: a bare name is an error ("say which position"). */
    readonly bare?: string;
    /** In the state in which it works, as "off" is understood: off = in none of these. undefined: never off by its own state. */
    readonly on?: string;
    /** What becomes of a movement that is cut short. */
    readonly cutShort?: 'stays' | 'stops';
    /** The code of the check for an item of this kind that is not as found. */
    readonly left?: string;
    /** "is still pulled": how the state other than the reference reads in that message, by state. */
    readonly still: Readonly<Record<string, string>>;
    /** May hang a tag. */
    readonly tags: boolean;
    /** A person can look at it (everything but a level of the machine that only gauges tell). */
    readonly seen: boolean;
}
