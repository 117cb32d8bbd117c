/**
 * A card between the syntax tree and the Plan: every name resolved, every subtask and `for each` expanded, every `where`
 * decided. flow.ts makes the flow of it, page.ts the page; neither looks at the tree.
 */
import type { Span } from '../findings/finding.js';
import type { Sentence } from '../vocabulary/sentences.js';
import type { Argument, Call, Event } from './plan.js';

type Without<T, K extends PropertyKey> = T extends unknown ? Omit<T, K> : never;

/** An event that does not yet know where it stands in the flow. */
export type Draft = Without<Event, 'id' | 'next' | 'other' | 'pass'>;
export type DraftOf<K extends Event['kind']> = Extract<Draft, { kind: K }>;

interface Common {
    readonly span: Span;
    readonly calls: readonly Call[];
    readonly only: string;
}

/** One statement. `drafts` in order. */
export type Line =
    | (Common & { readonly kind: 'alert'; readonly alert: 'warning' | 'caution' | 'note'; readonly sentence: Sentence })
    | (Common & {
          readonly kind: 'act';
          readonly by: number;
          readonly sentence: Sentence;
          readonly drafts: readonly Draft[];
      })
    | (Common & {
          readonly kind: 'torque';
          readonly by: number;
          readonly sentence: Sentence;
          /** As written. */
          readonly extension: string;
          readonly draft: DraftOf<'torque'>;
      })
    | (Common & {
          readonly kind: 'hold';
          readonly by: number;
          readonly sentence: Sentence;
          readonly draft: DraftOf<'hold'>;
      })
    | (Common & { readonly kind: 'wait'; readonly sentence: Sentence; readonly draft: DraftOf<'wait'> })
    | LookLine
    | BranchLine
    | KeepLine
    | (Common & {
          readonly kind: 'group';
          readonly title: string;
          /** The subtask, "" for a row of a `for each`. */
          readonly callee: string;
          readonly args: readonly Argument[];
          readonly lines: readonly Line[];
      })
    | StepLine
    | CardLine
    | (Common & {
          readonly kind: 'stop' | 'leave-for';
          readonly sentence: Sentence;
          readonly draft: DraftOf<'stop' | 'leave-for'>;
      })
    | RepeatLine;

export type LookLine = Common & {
    readonly kind: 'look';
    readonly by: number;
    readonly sentence: Sentence;
    readonly draft: DraftOf<'look'>;
    readonly limits: string;
    readonly timed: boolean;
    readonly otherwise: Arm | null;
    readonly join: () => Draft;
};

/** `otherwise` is an empty arm where the card has none. */
export type BranchLine = Common & {
    readonly kind: 'branch';
    readonly by: number;
    readonly sentence: Sentence;
    readonly draft: DraftOf<'branch'>;
    readonly then: Arm;
    readonly otherwise: Arm;
    readonly join: () => Draft;
};

export interface Arm {
    readonly span: Span;
    readonly lines: readonly Line[];
}

/** `release` makes a `keep-end`: the one at the brace, or one more for a way out inside. */
export type KeepLine = Common & {
    readonly kind: 'keep';
    readonly by: number;
    readonly sentence: Sentence;
    readonly draft: DraftOf<'keep-start'>;
    /** Key of the `keep-end` at the brace. */
    readonly released: string;
    readonly release: (atBrace: boolean) => Draft;
    readonly lines: readonly Line[];
};

/** A step of the card, or of a card done inside a step. */
export type StepLine = Common & {
    readonly kind: 'step';
    readonly step: number;
    readonly start: Draft;
    readonly end: Draft;
    readonly lines: readonly Line[];
};

/** A card done inside a step. `done` is its place in `Plan.done`. */
export type CardLine = Common & {
    readonly kind: 'card';
    readonly done: number;
    readonly card: string;
    readonly revision: string;
    readonly begin: Draft;
    readonly end: Draft;
    readonly lines: readonly Line[];
};

/** `step` is repeated from its start, `times` further passes; then `draft` (exhausted). */
export type RepeatLine = Common & {
    readonly kind: 'repeat';
    readonly step: number;
    readonly times: number;
    readonly draft: DraftOf<'exhausted'>;
};
