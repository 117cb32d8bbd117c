import type { Condition } from '../conditions/condition.js';
import type { Span } from '../findings/finding.js';
import type { KindWord, Nature } from '../vocabulary/kinds/index.js';

/** "In none of its states": a valve that stopped between positions, an unfed gauge. */
export const NONE = -1;

/**
 * The equipment of one card in one variant, compiled to plain data.
 * A *slot* is one memory cell with a small number of states. An item has a state slot, and, where they apply, a presence slot
 * (INSTALLED, REMOVED; the state slot itself for kinds whose states are those) and a tag slot (NO-TAG, TAGGED).
 */
export interface Machine {
    readonly items: readonly Item[];
    readonly places: readonly Place[];
    readonly slots: readonly Slot[];
    readonly rules: readonly Rule[];
    readonly ownFailures: readonly OwnFailure[];
    /** Pairs of items: like work on both by different hands. */
    readonly pairs: readonly (readonly [number, number])[];
    readonly itemIndex: Readonly<Record<string, number>>;
    readonly placeIndex: Readonly<Record<string, number>>;
    /** Shown items, sources and areas in order of dependence: one pass settles them. */
    readonly order: readonly number[];
    /** Items in a ring of shown items that depend on themselves; a machine with such a ring cannot be run. */
    readonly ring: readonly number[];
    /** What could not be compiled, as sentences. Not empty: every card that uses it is not known. */
    readonly unknown: readonly string[];
    /** Names of the equipments that it is made from. */
    readonly equipments: readonly string[];
}

export interface Slot {
    readonly item: number;
    readonly kind: 'state' | 'presence' | 'tag';
    readonly states: readonly string[];
    readonly normal: number;
}

export interface Place {
    readonly name: string;
    readonly label: string;
    /** The place that it lies in, or NONE. */
    readonly within: number;
    /** Items (panels, doors) that must be off before anybody reaches it. */
    readonly behind: readonly number[];
    readonly span: Span;
    readonly equipment: string;
    /** As for an item. */
    readonly only?: string;
}

/** A band in seconds or, for a gauge, in the base unit of its dimension (vocabulary/units). Ends may be infinite. */
export interface Band {
    readonly low: number;
    readonly high: number;
    /** As written: "2,900 to 3,100 psi". */
    readonly text: string;
}

export interface Item {
    readonly name: string;
    readonly label: string;
    readonly kind: KindWord;
    readonly nature: Nature;
    readonly states: readonly string[];
    readonly normal: number;
    /** `normal` is written; else it is the first of the states. */
    readonly normalGiven?: boolean;
    /** Its own place or that of the unit that it is in; NONE where nothing says. */
    readonly place: number;
    /** The item that it is in, or NONE. */
    readonly unit: number;
    readonly slot: number;
    /** NONE where it cannot be removed. */
    readonly presence: number;
    /** NONE where no tag can hang. */
    readonly tag: number;
    /** Runs or lights only when each of these is live or made. */
    readonly feeds: readonly number[];
    /** The source whose content this joint holds back, or NONE. */
    readonly carries: number;
    /** The area that this joint wets, or NONE. */
    readonly wets: number;
    readonly holds: readonly number[];
    readonly shows: readonly Show[];
    readonly goes: readonly Go[];
    /** `live when`, `true` where a source says nothing. */
    readonly live?: Condition;
    readonly grid?: string;
    readonly thread?: string;
    readonly rated?: { readonly amperes: number; readonly text: string };
    readonly wire?: { readonly gauge: number; readonly text: string };
    readonly torque?: Band & { readonly unit: string };
    readonly keyed: boolean;
    readonly inspected: boolean;
    readonly measured: readonly { readonly what: string; readonly band: Band }[];
    readonly span: Span;
    readonly equipment: string;
    /** The modifications that it stands under, as "with M29-14" or "without M29-14". */
    readonly only?: string;
}

/** The first that holds wins. `when` absent: otherwise. */
export interface Show {
    readonly state: number;
    /** What a gauge shows; a gauge's `state` is the index of its band. */
    readonly band?: Band;
    readonly when?: Condition;
    readonly span: Span;
}

export interface Go {
    readonly to: number;
    /** Seconds. */
    readonly min: number;
    readonly max: number;
    /** The time as written: "55 to 65 s"; absent: at once. */
    readonly time?: string;
    /** Absent: otherwise, that is when no other `goes` of the item holds. */
    readonly when?: Condition;
    readonly span: Span;
}

export interface OwnFailure {
    /** The item whose failure it is. */
    readonly item: number;
    readonly label: string;
    /** The item that it changes, and into what, and while what holds (absent: always). */
    readonly changes: number;
    readonly slot: number;
    readonly state: number;
    readonly band?: Band;
    readonly when?: Condition;
    readonly span: Span;
    readonly equipment?: string;
    readonly only?: string;
}

export type Trigger =
    | { readonly kind: 'work'; readonly item: number }
    | { readonly kind: 'verb'; readonly verb: string; readonly item: number }
    | { readonly kind: 'moves'; readonly item: number };

export type RuleBody =
    | { readonly kind: 'before'; readonly triggers: readonly Trigger[]; readonly require: Condition }
    | { readonly kind: 'while'; readonly when: Condition; readonly require: Condition }
    | { readonly kind: 'never'; readonly never: Condition }
    | { readonly kind: 'test'; readonly item: number; readonly require: Condition }
    | { readonly kind: 'end-of-test'; readonly item: number; readonly require: Condition }
    | {
          readonly kind: 'keep';
          readonly item: number;
          readonly state: number;
          readonly atMost: number;
          readonly rest: number;
          readonly times: number;
          readonly longRest: number;
      };

export interface Rule {
    readonly name: string;
    readonly body: RuleBody;
    /** The hazard, in the words of the equipment; empty where none is given. */
    readonly because: string;
    readonly span: Span;
    readonly equipment: string;
    /** As for an item. */
    readonly only?: string;
    /** The condition as a sentence of labels: "CB-217 (HYD 2 ISOL VALVE MOTOR A) is PULLED and ...". */
    readonly says: string;
}
