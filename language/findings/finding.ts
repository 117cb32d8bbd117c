/**
 * What a check says. Plain data: survives `structuredClone`, holds no syntax node.
 */

/** A stretch of one file. Lines and columns are 1-based, columns in UTF-16 units, ends exclusive; offsets are 0-based UTF-16. */
export interface Span {
    readonly file: string;
    readonly offset: number;
    readonly end: number;
    readonly line: number;
    readonly column: number;
    readonly endLine: number;
    readonly endColumn: number;
}

export type Severity = 'error' | 'warning' | 'information';

export interface Related {
    readonly span: Span;
    readonly message: string;
}

/** One replacement. An insertion has `span.offset === span.end`. */
export interface Edit {
    readonly span: Span;
    readonly newText: string;
}

export interface Fix {
    readonly title: string;
    readonly edits: readonly Edit[];
}

/** `because` of the `accept` that covers a finding, and where that `accept` stands. */
export interface Acceptance {
    readonly because: string;
    readonly span: Span;
}

export interface Finding {
    /** A permanent kebab-case word out of the table of contents of the checks. */
    readonly code: string;
    readonly severity: Severity;
    readonly message: string;
    readonly span: Span;
    readonly related: readonly Related[];
    readonly fixes: readonly Fix[];
    /** The card, by name, that the finding speaks of; absent for findings about a text or an equipment. */
    readonly card?: string;
    /** Names that the finding is about: what `accept CODE for NAME` compares with. */
    readonly about: readonly string[];
    readonly accepted?: Acceptance;
    /** Set where not all variants of the card give the finding: "only before MOD", "only after MOD". */
    readonly only?: string;
    /** The event in which the first cause lies: findings of one code with one cause fold into the first. */
    readonly cause?: string;
}

/** Worst first. `unknown` is printed "not known". */
export type Status = 'unknown' | 'findings' | 'accepted' | 'clean';

export interface CardStatus {
    readonly name: string;
    readonly label: string;
    readonly file: string;
    readonly status: Status;
    /** One sentence; says what is not known where `status` is `unknown`. Empty for clean. */
    readonly why: string;
}
