import type { Span } from '../findings/finding.js';
import type { Band } from '../machine/machine.js';
import type { Sentence } from '../vocabulary/sentences.js';

export type { Phrase, Sentence } from '../vocabulary/sentences.js';

/**
 * One card, lowered to plain data for one variant of the aircraft. Two halves joined by event key: the flow (what happens) and
 * the page (what is printed). Subtasks, `for each`, `do CARD` and repeats are expanded; the flow has no rings. Items, slots and places are indices into
 * the Machine of the same variant, roles into `roles`, steps into `steps`, events into `events`.
 */
export interface Plan {
    readonly card: string;
    readonly label: string;
    readonly file: string;
    readonly span: Span;
    readonly revision: string;
    readonly dated: string;
    readonly applies: string;
    readonly variant: Variant;
    readonly roles: readonly Role[];
    readonly tools: readonly Tool[];
    readonly spares: readonly Spare[];
    readonly materials: readonly Material[];
    readonly start: readonly Setting[];
    readonly finish: readonly Setting[];
    /** Cards that must be done before (`after CARD`). `leaves`: the states that such a card leaves, as far as this machine has the things. */
    readonly after: readonly { readonly card: string; readonly span: Span; readonly leaves: readonly Setting[] }[];
    /** Those cards, those that come before them, and so on. */
    readonly earlier: readonly string[];
    /** Cards expanded by `do`, once for each call. */
    readonly done: readonly DoneCard[];
    readonly steps: readonly Step[];
    /** Every event's `next` and `other` is greater than its own index. Event 0 is the entry. */
    readonly events: readonly Event[];
    readonly arms: readonly Arm[];
    readonly page: Page;
    readonly accepts: readonly Accept[];
    /** What could not be lowered, as sentences. Not empty: the card is not known. */
    readonly unknown: readonly string[];
}

export interface Variant {
    /** Modifications that the card mentions, in order of declaration, and whether the aircraft has them. */
    readonly modifications: readonly { readonly name: string; readonly label: string; readonly embodied: boolean }[];
}

export interface Role {
    readonly name: string;
    readonly label: string;
    readonly place: number;
    readonly independentOf: readonly number[];
    readonly span: Span;
}
export interface Tool {
    readonly name: string;
    readonly label: string;
    readonly range?: Band & { readonly unit: string };
    readonly span: Span;
}
export interface Material {
    readonly name: string;
    readonly label: string;
    readonly span: Span;
}
export interface Spare {
    readonly name: string;
    readonly label: string;
    readonly part: string;
    readonly forItems: readonly number[];
    readonly quantity: number;
    readonly span: Span;
}
/** `states` has several entries where the card must find out. `atLeast`: seconds in that state before the card, 0 where it does not say. */
export interface Setting {
    readonly item: number;
    readonly slot: number;
    readonly states: readonly number[];
    readonly atLeast: number;
    readonly span: Span;
}

export interface Step {
    readonly name: string;
    readonly label: string;
    readonly kind: 'step' | 'test';
    readonly of: readonly number[];
    /** Seconds, 0 where the card does not say: an estimate, never counted towards a minimum. */
    readonly takes: number;
    readonly span: Span;
    /** The header alone: where findings about the step stand. */
    readonly header: Span;
    /** "1", "2": position in this variant; a step of a card expanded by `do CARD` is "3.2" or the like. */
    readonly number: string;
    /** The step in which a card is done that this step is of; NONE for the card's own steps. */
    readonly within: number;
}

/**
 * A card done inside a step. Its steps are steps of this Plan (`within` says in which one they lie); its roles are those of this card with the same names.
 * At each event of `begin` its `start` must hold. At each event of `end` it owes `finish` and, for what that does not name, `start`, else
 * how the thing was at `begin`. Both events are joins: nothing happens there. A repeat makes several of them.
 */
export interface DoneCard {
    readonly card: string;
    readonly label: string;
    readonly span: Span;
    /** The calls that lead into it, its own the last. */
    readonly calls: readonly Call[];
    readonly start: readonly Setting[];
    readonly finish: readonly Setting[];
    readonly begin: readonly number[];
    readonly end: readonly number[];
    /** Cards that must be done before it, as it says itself; and those that come before them, and so on. */
    readonly after: readonly string[];
    readonly earlier: readonly string[];
}

export interface Accept {
    readonly code: string;
    /** Name as written after `for`, and the item where it is one; NONE otherwise. */
    readonly name: string;
    readonly item: number;
    readonly because: string;
    readonly span: Span;
    /** The step it stands in, NONE for the whole card. */
    readonly step: number;
}

/** How an event came to be in the card: the outermost call first. */
export interface Call {
    readonly name: string;
    readonly span: Span;
}

/** What an argument of a call, or an entry of a row, stands for. `index`: of an item, role, tool, spare, material or place; NONE for a position. */
export interface Argument {
    readonly is: 'item' | 'role' | 'tool' | 'spare' | 'material' | 'place' | 'word' | 'nothing';
    readonly index: number;
    readonly text: string;
}

export type Verb = string;

interface Common {
    readonly id: number;
    /** Survives unrelated edits: step, call path, verb, item, ordinal, joined by "/"; later passes of a repeat end in "#2". */
    readonly key: string;
    /** The whole statement, or the name of the item where a statement makes several events. */
    readonly span: Span;
    /** The statement that made it. */
    readonly statement: Span;
    readonly calls: readonly Call[];
    readonly step: number;
    /** NONE for what nobody does (a wait). */
    readonly role: number;
    /** The item that is acted on or looked at, or NONE. */
    readonly item: number;
    /** Where it is done: the item's place, or the place named. NONE: anywhere. */
    readonly place: number;
    /** The event after it; NONE for a way out. */
    readonly next: number;
    /** Where a failed look or an untrue `if` goes; NONE where there is none: then the card says no more. */
    readonly other: number;
    /**
     * Seconds that surely pass on the way to `next`: `wait`, `for`, `after`, a button held. A look that fails has surely taken no more than its `after`.
     */
    readonly guaranteed: number;
    /** Pass of a repeat, 0 the first time. */
    readonly pass: number;
}

/** Met: `see` when `item` is in `state`; `read` when the band shown lies in `limits`; `measure` is outside the Machine. */
export interface LookEvent extends Common {
    readonly kind: 'look';
    readonly look: 'see' | 'read' | 'measure';
    readonly slot: number;
    readonly state: number;
    readonly limits?: Band;
    /** Seconds; NONE where the look does not say. */
    readonly within: number;
    readonly for: number;
    readonly after: number;
    readonly record: boolean;
    readonly hasElse: boolean;
    /** For measure: what is measured. */
    readonly what: string;
}

export type Event =
    /**
     * pull, close, set, install ...: brings `slot` to `state`. `ensure`: acts only if it is not so. `verb` is the verb it performs in either case.
     * Closing a breaker takes its tag off: the event says so by its verb and item, there is no event `untag` for it.
     */
    | (Common & {
          readonly kind: 'operate';
          readonly verb: Verb;
          readonly slot: number;
          readonly state: number;
          readonly ensure: boolean;
          /** `install new`. */
          readonly fresh: boolean;
          /** Spares and materials named after `with`, by index. */
          readonly spares: readonly number[];
          readonly materials: readonly number[];
      })
    /** Hangs or takes off a tag; `slot` is the tag slot. */
    | (Common & { readonly kind: 'tag'; readonly verb: 'tag' | 'untag'; readonly slot: number; readonly state: number })
    /** Pressed, held for `guaranteed` seconds, released. */
    | (Common & { readonly kind: 'press'; readonly slot: number; readonly pressed: number; readonly released: number })
    /** Held by hand from here to the `keep-end` of the same `keep`; there it goes to `released` (for a control: what it was before, else its normal; the lowering picks `released`). */
    | (Common & {
          readonly kind: 'keep-start';
          readonly keep: number;
          readonly slot: number;
          readonly state: number;
          readonly atMost: number;
      })
    | (Common & { readonly kind: 'keep-end'; readonly keep: number; readonly slot: number; readonly state: number })
    | LookEvent
    /** `if role sees item is state`: `next` when it is so, `other` when not. */
    | (Common & { readonly kind: 'branch'; readonly slot: number; readonly state: number })
    | (Common & { readonly kind: 'wait' })
    | (Common & { readonly kind: 'tell'; readonly to: number; readonly text: string })
    | (Common & { readonly kind: 'go' })
    /** clear: tools and material out of `place`; leave: people out. */
    | (Common & { readonly kind: 'clear'; readonly verb: 'clear' | 'leave' })
    /** A prose action; `refs` are the items named in it, or, where it names neither an item nor a place, the item that the role last worked on in the step. */
    | (Common & { readonly kind: 'prose'; readonly text: string; readonly refs: readonly number[] })
    | (Common & {
          readonly kind: 'torque';
          readonly limits?: Band & { readonly unit: string };
          readonly tool: number;
          /** Metres, NONE where there is none. */
          readonly extension: number;
      })
    | (Common & { readonly kind: 'hold'; readonly text: string; readonly refs: readonly number[] })
    /** First and last event of each step; the kind of step is in `steps`. */
    | (Common & { readonly kind: 'step-start' | 'step-end' })
    /** Where ways meet again; nothing happens. */
    | (Common & { readonly kind: 'join' })
    | (Common & { readonly kind: 'stop'; readonly text: string })
    /** `start`: what the other card starts with, as far as this machine has it. */
    | (Common & { readonly kind: 'leave-for'; readonly card: string; readonly start: readonly Setting[] })
    /** `repeat` with no pass left: like a failed look without `else`. */
    | (Common & { readonly kind: 'exhausted' })
    | (Common & { readonly kind: 'end' });

/** A branch of `if`, or an `else` block. */
export interface Arm {
    /** The look or branch that it hangs on. */
    readonly event: number;
    readonly side: 'else' | 'then' | 'otherwise';
    /** The first event in it. An empty arm has `entry === join`. */
    readonly entry: number;
    /** Where it falls through to; NONE where it always leaves the card. */
    readonly join: number;
    /** Arms of the same source line (in several calls or passes) share this: file and offset. */
    readonly source: string;
    readonly span: Span;
    /** The else of a `measure`: forced, and counts as judged. */
    readonly measured: boolean;
}

/* ---- the page ---- */

export interface Page {
    readonly steps: readonly PageStep[];
    /** "BATTERY is ON." */
    readonly start: readonly Sentence[];
    readonly finish: readonly Sentence[];
    /** Alerts that stand in the card outside any step. */
    readonly alerts: readonly PageLine[];
    /** Breakers that the card pulls, in order of place and grid, for the table on the card. */
    readonly breakers: readonly {
        readonly item: number;
        readonly place: string;
        readonly grid: string;
        readonly name: string;
        readonly label: string;
    }[];
}

export interface PageStep {
    readonly step: number;
    readonly number: string;
    readonly title: string;
    /** "Only with Modification 29-14." where the whole step is limited. */
    readonly only: string;
    readonly takes: string;
    /** "proves motor A and isolation valve"; empty for a step. */
    readonly proves: string;
    readonly lines: readonly PageLine[];
}

interface LineCommon {
    /** Keys of the first-pass events that the line stands for. */
    readonly keys: readonly string[];
    readonly span: Span;
    readonly calls: readonly Call[];
    /** "Only with Modification 29-14." where the line is limited; empty otherwise. */
    readonly only: string;
}
interface ActLine extends LineCommon {
    readonly by: number;
    readonly sentence: Sentence;
}

export type PageLine =
    | (LineCommon & {
          readonly kind: 'alert';
          readonly alert: 'warning' | 'caution' | 'note';
          readonly sentence: Sentence;
      })
    /** One sentence: "Pull CB-217 (HYD 2 ISOL VALVE MOTOR A) and CB-218 (...), and tag them." */
    | (ActLine & { readonly kind: 'act' })
    /** Torque and recorded looks have blanks; `limits` is printed beside the blank. */
    | (ActLine & {
          readonly kind: 'look';
          readonly record: boolean;
          readonly limits: string;
          readonly timed: boolean;
          readonly ifNot: readonly PageLine[] | null;
      })
    /** `extension`: "4 in", "" where there is none. */
    | (ActLine & { readonly kind: 'torque'; readonly limits: string; readonly extension: string })
    | (LineCommon & { readonly kind: 'wait'; readonly seconds: number; readonly sentence: Sentence })
    | (ActLine & { readonly kind: 'hold' })
    | (ActLine & {
          readonly kind: 'branch';
          readonly then: readonly PageLine[];
          readonly otherwise: readonly PageLine[];
      })
    /** Held by hand while `lines` are done. */
    | (ActLine & { readonly kind: 'keep'; readonly lines: readonly PageLine[] })
    /** A subtask or one row of a `for each`; printed flat, the title for whoever wants it. */
    | (LineCommon & {
          readonly kind: 'group';
          readonly title: string;
          /** The subtask, "" for a row of a `for each`. */
          readonly callee: string;
          readonly args: readonly Argument[];
          readonly lines: readonly PageLine[];
      })
    /** A card done inside a step. */
    | (LineCommon & {
          readonly kind: 'card';
          readonly card: string;
          readonly revision: string;
          readonly lines: readonly PageLine[];
      })
    /** A step of such a card. */
    | (LineCommon & {
          readonly kind: 'step';
          readonly step: number;
          readonly title: string;
          readonly takes: string;
          readonly proves: string;
          readonly lines: readonly PageLine[];
      })
    /** `step` from its start, at most `times` further passes. What it is called on the page, who numbers the page knows. */
    | (LineCommon & { readonly kind: 'repeat'; readonly step: number; readonly times: number })
    | (LineCommon & { readonly kind: 'stop' | 'leave-for'; readonly sentence: Sentence });
