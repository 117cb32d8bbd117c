import type { Span } from '../findings/finding.js';

export type FailureMode =
    | 'DEAD'
    | 'STUCK'
    | 'SLOW'
    | 'EARLY'
    | 'LEAKING'
    | 'OFF'
    | 'TRIPPED'
    | 'NOT-OPENING'
    | 'CROSSED'
    | 'OWN';

/** One part of the machine that fails in one way. Plain data. */
export interface Failure {
    readonly item: number;
    readonly mode: FailureMode;
    /** STUCK: the state. OWN: index into machine.ownFailures. CROSSED: the other connector. Else NONE. */
    readonly detail: number;
    /** "MB (motor B) is DEAD", "WITNESS (position mark) stuck at ACROSS". */
    readonly label: string;
    /** As an exercise writes it: DEAD, OFF, a state, or the label of a `fails`. */
    readonly word: string;
    readonly span: Span;
}

/** Why a failure is in the table: what the card disturbs, what a test names, or all others (they serve arms and exercises). */
export type FailureClass = 'disturbed' | 'tested' | 'other';

export interface FailureResult {
    readonly failure: Failure;
    readonly class: FailureClass;
    /** The event before which it begins. */
    readonly begins: number;
    /** Looks that fail along the plain run's path, in order; the first reveals it. Empty: masked. */
    readonly revealedBy: readonly number[];
}
