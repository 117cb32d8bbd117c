import type { Span, Status } from '../../findings/finding.js';
import type { Sentence } from '../../plan/plan.js';

/** One card in one variant, as it is printed: every word of the page, and nothing about how it looks. */
export interface FinishedCard {
    readonly number: string;
    readonly title: string;
    /** "T84, serial numbers 101 and on". */
    readonly applies: string;
    /** "With Modification 29-14 (position lamp added)", one for each modification that the card mentions. */
    readonly variant: readonly string[];
    /** The same by name, for the head of every page: "with M29-14". */
    readonly variantShort: string;
    readonly revision: string;
    /** "1 October 2026". */
    readonly date: string;
    /** "About 85 minutes, three persons". */
    readonly effort: string;
    readonly minutes: number;
    readonly status: CardState;
    /** What somebody writes at the head of the card. */
    readonly blanks: readonly Blank[];
    readonly caution: string;
    /** The short form of the caution; `foot` has the lines at the foot of every printed page, whose head has number and revision. */
    readonly notApproved: string;
    readonly foot: readonly string[];
    readonly before: readonly Condition[];
    readonly persons: readonly Person[];
    readonly tools: readonly Tool[];
    readonly spares: readonly Spare[];
    readonly materials: readonly Material[];
    readonly breakers: readonly Breaker[];
    /** Alerts of the whole card. */
    readonly alerts: readonly Alert[];
    readonly steps: readonly Step[];
    readonly after: readonly Condition[];
    /** What the card leaves otherwise than found, "" where it leaves nothing: a clean card has none. */
    readonly leftOpen: string;
    readonly accepted: readonly Accepted[];
    /** Who signs at the end, and what each writes there. */
    readonly signatures: readonly string[];
    readonly signatureBlanks: readonly string[];
}

export interface CardState {
    readonly status: Status;
    /** "not known", "findings", "accepted", "clean". */
    readonly word: string;
    readonly why: string;
    /** What could not be worked out, as sentences. */
    readonly unknown: readonly string[];
}

/** What somebody writes by hand. */
export interface Blank {
    readonly label: string;
    /** Printed behind the blank: "s". */
    readonly unit: string;
    /** Printed beside the blank: "4.2 to 4.8 N·m". */
    readonly limits: string;
}

export interface Condition {
    readonly sentence: Sentence;
}

export interface Person {
    readonly label: string;
    readonly place: string;
    /** "independent of Technician and Flight-deck operator", or "". */
    readonly independent: string;
}
export interface Tool {
    readonly label: string;
    readonly range: string;
}
export interface Spare {
    readonly label: string;
    readonly part: string;
    readonly quantity: number;
    readonly goesIn: string;
}
export interface Material {
    readonly label: string;
}
export interface Breaker {
    readonly place: string;
    readonly grid: string;
    readonly name: string;
    readonly label: string;
    /** The lines that pull and close it. */
    readonly pulled: readonly string[];
    readonly closed: readonly string[];
}
export interface Accepted {
    readonly code: string;
    readonly name: string;
    readonly because: string;
}

export interface Alert {
    readonly kind: 'warning' | 'caution' | 'note';
    readonly sentence: Sentence;
    readonly only: string;
    readonly span: Span;
}

export interface Step {
    readonly number: string;
    readonly title: string;
    /** "Only with Modification 29-14.", or "". */
    readonly only: string;
    readonly takes: string;
    /** "proves motor A", or "". */
    readonly proves: string;
    readonly lines: readonly Line[];
    /** Alerts that stand after the last line. */
    readonly closing: readonly Alert[];
}

/** Above a line: where a step of a card done inside this step begins, or where such a card ends. */
export interface Heading {
    readonly kind: 'step' | 'end';
    /** The number of the card done, and its revision, "" where it gives none. */
    readonly card: string;
    readonly revision: string;
    readonly title: string;
    readonly only: string;
    readonly takes: string;
    readonly proves: string;
    /** Alerts after the last line above it. */
    readonly closing: readonly Alert[];
}

export interface Line {
    /** "3.1"; "3.4a" in a block under 3.4, "3.4a1" in a block under that. */
    readonly number: string;
    readonly kind: 'act' | 'look' | 'torque' | 'wait' | 'hold' | 'branch' | 'keep' | 'stop' | 'leave-for' | 'repeat';
    readonly headings: readonly Heading[];
    /** In the order warning, caution, note. */
    readonly alerts: readonly Alert[];
    /** Who acts, "" where nobody does. */
    readonly by: string;
    /** "Only with Modification 29-14.", or "". */
    readonly only: string;
    readonly sentence: Sentence;
    readonly blanks: readonly Blank[];
    /** How often one may go back from here, each time ticked instead of initialled; 0 elsewhere. */
    readonly passes: number;
    /** The lines for which a tell clears the way. */
    readonly clears: readonly Cleared[];
    /** What is otherwise than found where the card is left here: "CB-217 and CB-218 pulled and tagged, ..."; "" elsewhere. */
    readonly open: string;
    /** What moves by itself and is not as found there: "isolation valve perhaps moving to SHUT"; "" elsewhere. */
    readonly moved: string;
    readonly blocks: readonly Block[];
    readonly keys: readonly string[];
    readonly span: Span;
}

export interface Cleared {
    readonly number: string;
    readonly sentence: Sentence;
}

export interface Block {
    readonly kind: 'if-not' | 'then' | 'otherwise' | 'while';
    readonly lines: readonly Line[];
    readonly closing: readonly Alert[];
    /** "Then go on with 1.7." where an "If not" does not leave the card, "Then release START." after what is held; "" elsewhere. */
    readonly onward: string;
}
