import type { CardStatus } from '../../findings/finding.js';
import type { Sentence } from '../../vocabulary/sentences.js';

/** The sheet of one equipment on one aircraft, for the engineer who approves the text. Plain data; html/ makes a page of it. */
export interface EquipmentSheet {
    readonly name: string;
    readonly label: string;
    readonly file: string;
    readonly digest: string;
    readonly uses: readonly Other[];
    readonly usedBy: readonly Other[];
    /** "Modification 29-14 is embodied." */
    readonly variant: readonly string[];
    /** "with M29-14": tells apart the pages of one equipment. */
    readonly variantShort: string;
    readonly status: SheetStatus;
    readonly caution: string;
    readonly foot: readonly string[];
    readonly notApproved: string;
    readonly places: readonly Line[];
    readonly items: readonly ItemGroup[];
    readonly feeds: Feeds;
    readonly breakers: readonly BreakerRow[];
    readonly losses: readonly LossRow[];
    readonly shared: readonly SharedRow[];
    readonly behaviour: readonly Behaviour[];
    readonly rules: readonly RuleRow[];
    readonly pairs: readonly string[];
    readonly failures: readonly FailureRow[];
    readonly unsaid: readonly Unsaid[];
}

export interface Other {
    readonly name: string;
    readonly label: string;
}

export interface SheetStatus {
    readonly status: CardStatus['status'];
    readonly word: string;
    readonly why: string;
    /** What is not known, then what the checks say of this text: a sentence each, with the line. */
    readonly said: readonly string[];
}

/** A line that does not hold for every aircraft says first for which. */
export interface Line {
    readonly name: string;
    /** "Only with Modification 29-14.", or nothing. */
    readonly only: string;
    readonly sentence: Sentence;
}

export interface ItemGroup {
    readonly place: string;
    readonly kinds: readonly { readonly kind: string; readonly items: readonly ItemRow[] }[];
}

export interface ItemRow {
    readonly name: string;
    readonly label: string;
    readonly only: string;
    readonly states: readonly string[];
    /** "" where it follows from other things and none is written. */
    readonly normal: string;
    /** Not written: the first of its states is taken. */
    readonly normalTaken: boolean;
    /** Torque, thread, what it holds, carries and wets, what is measured and inspected. */
    readonly facts: readonly string[];
}

export interface Feeds {
    readonly nodes: readonly FeedNode[];
    readonly edges: readonly FeedEdge[];
    /** The same in words, one fed item a row. */
    readonly rows: readonly FeedRow[];
}

export interface FeedNode {
    readonly name: string;
    readonly label: string;
    readonly kind: string;
    /** The equipment in which it stands, where it is another one. */
    readonly of: string;
}

export interface FeedEdge {
    readonly from: string;
    readonly to: string;
    /** `feed`: written with `from`. `asks`: what it does asks whether the other one is live, made or running. */
    readonly kind: 'feed' | 'asks';
}

export interface FeedRow {
    readonly name: string;
    readonly label: string;
    readonly kind: string;
    readonly only: string;
    readonly from: readonly string[];
    readonly asks: readonly string[];
}

export interface BreakerRow {
    readonly name: string;
    readonly label: string;
    readonly only: string;
    readonly place: string;
    readonly grid: string;
    readonly from: string;
    readonly rated: string;
    readonly wire: string;
    readonly lost: string;
    /** Anything rests on it at all. */
    readonly rests: boolean;
}

/** What is lost with one source, connector, relay, motor or unit. */
export interface LossRow {
    readonly name: string;
    readonly label: string;
    readonly kind: string;
    readonly lost: string;
    /** Anything rests on it at all. */
    readonly rests: boolean;
}

/** Things of which one is enough, and what takes all of them away at once. */
export interface SharedRow {
    readonly alternatives: string;
    /** "so that the isolation valve goes SHUT or OPEN". */
    readonly serves: string;
    readonly lostWith: readonly string[];
}

export interface Behaviour {
    readonly name: string;
    readonly only: string;
    readonly sentences: readonly Sentence[];
}

export interface RuleRow {
    readonly name: string;
    readonly only: string;
    readonly sentence: Sentence;
    readonly because: string;
}

export interface FailureRow {
    readonly name: string;
    readonly label: string;
    readonly only: string;
    readonly modes: readonly Sentence[];
    /** What may be otherwise when it fails, and can be looked at. */
    readonly seenAt: readonly string[];
    /** How many more there are. */
    readonly more: number;
}

/** One kind of thing that could have been written and is not. */
export interface Unsaid {
    readonly what: string;
    /** What is taken instead. */
    readonly taken: string;
    readonly things: readonly string[];
}
