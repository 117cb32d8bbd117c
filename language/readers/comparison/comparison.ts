import type { CardStatus, Severity, Span } from '../../findings/finding.js';

/** What a change to a project does to its cards. Plain data. */
export interface Comparison {
    readonly verdict: Verdict;
    /** One sentence: the verdict with the one thing that decided it. */
    readonly says: string;
    /** Cards that differ, or of which not everything is known; the worst first. */
    readonly cards: readonly CardComparison[];
    /** How many cards stand on both sides and are the same. */
    readonly same: number;
}

/** Worst first. `unknown`: a side cannot be read whole, so nothing is said of it. */
export type Verdict = 'unknown' | 'worse' | 'different' | 'better' | 'same';

export interface CardComparison {
    readonly card: string;
    readonly label: string;
    readonly is: 'on-both-sides' | 'added' | 'removed';
    readonly verdict: Verdict;
    readonly says: string;
    readonly status: Sides<CardStatus>;
    /** Sum of what the steps take. */
    readonly minutes: Sides<number>;
    readonly persons: Sides<number>;
    readonly changes: readonly Change[];
    /** Those of which it is not known which change brought them. */
    readonly consequences: readonly Consequence[];
    readonly marks: Marks;
}

/** What of the new card prints otherwise than before: what has bars in its margin. */
export interface Marks {
    /** Keys of events whose lines differ, are new, stand elsewhere, or stand next to what is gone. */
    readonly keys: readonly string[];
    /** Places of alerts, as `placeOf` writes them. */
    readonly alerts: readonly string[];
    /** Numbers of steps whose heading differs. */
    readonly steps: readonly string[];
    /** Parts of the head: "roles", "tools", "spares", "materials", "breakers", "start", "finish". */
    readonly parts: readonly string[];
}

export interface Sides<T> {
    readonly old: T | null;
    readonly new: T | null;
}

export type Class = 'safety' | 'work' | 'record' | 'wording';

/** The kinds of class `safety`, and the three other classes. */
export type Kind =
    | 'wait'
    | 'hold'
    | 'isolation'
    | 'breaker'
    | 'rule'
    | 'behaviour'
    | 'warning'
    | 'torque'
    | 'limit'
    | 'indication'
    | 'role'
    | 'told'
    | 'order'
    | Exclude<Class, 'safety'>;

export type How = 'added' | 'removed' | 'changed' | 'moved' | 'renamed';

/** What a card has of, and should not lose. */
export type Guard = 'hold' | 'warning' | 'look';

export interface Change {
    readonly class: Class;
    readonly kind: Kind;
    readonly how: How;
    /** One sentence, in the words of the card. */
    readonly says: string;
    /** "step 4, Motor A alone", "equipment Hyd2", "" for the head of the card. */
    readonly where: string;
    readonly span: Sides<Span>;
    /** In how many calls of a subtask, rows and passes the card is reached by it. */
    readonly times: number;
    /** Names of other things that it is about in some of them. */
    readonly also: readonly string[];
    /** "only after MOD" where not all aircraft of the card are reached; "" otherwise. */
    readonly only: string;
    readonly lost: Guard | null;
    readonly gained: Guard | null;
    /** Names of the things that it is about. */
    readonly about: readonly string[];
    readonly consequences: readonly Consequence[];
}

export interface Consequence {
    readonly kind: 'finding' | 'time' | 'open' | 'failure' | 'minutes' | 'persons';
    readonly effect: 'worse' | 'better' | 'different';
    readonly says: string;
    readonly only: string;
    /** Of a finding: which, and how grave. */
    readonly code: string | null;
    readonly severity: Severity | null;
    /** Where: in the old text for what is gone, else in the new one. */
    readonly span: Sides<Span>;
}
