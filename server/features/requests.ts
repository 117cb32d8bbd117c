/** The server's own requests, one place for both sides. Plain data over the wire. */
import { RequestType } from 'vscode-jsonrpc';
import type { Location, Position, Range } from 'vscode-languageserver-types';
import type { Severity, Status } from '../../language/findings/finding.js';

/** The finished card that stands beside the text. */
export interface CardParams {
    readonly uri: string;
    /** The card by name; the first in the file where it is left out. */
    readonly card?: string;
    /** Modifications that the aircraft has, of those the card mentions; the first variant where it is left out. */
    readonly embodied?: readonly string[];
    /** The page as it is printed: without lines of the text and without findings in its margin. */
    readonly forPaper?: boolean;
}

export interface CardAnswer {
    readonly card: string;
    readonly title: string;
    /** The whole page. Lines of the text stand in `data-line` (1-based) where they are of this file. */
    readonly html: string;
    /** One entry for each variant: the modifications that the aircraft has, and the words for it. */
    readonly variants: readonly { readonly embodied: readonly string[]; readonly says: string }[];
    readonly variant: number;
    readonly cards: readonly string[];
    readonly status: Status;
    readonly says: string;
    /** The text cannot be read whole: this is what could be read of it. A client keeps the page that it has and says so. */
    readonly isBroken: boolean;
    readonly notes: readonly CardNote[];
}

/** A finding, for the margin of the card at the line that it concerns. */
export interface CardNote {
    readonly code: string;
    readonly severity: Severity;
    readonly message: string;
    readonly accepted: boolean;
    /** 1-based, in this file; 0 where it stands in another file. */
    readonly line: number;
    readonly location: Location;
}

export const cardRequest = new RequestType<CardParams, CardAnswer | null, void>('cotter/card');

export interface OpenHereParams {
    readonly uri: string;
    readonly position: Position;
    readonly card?: string;
    /** Which call of a subtask is meant, by its number in `calls`. */
    readonly call?: number;
}

export interface OpenHereAnswer {
    readonly card: string;
    readonly title: string;
    /** The step of the card, with its number. */
    readonly step: string;
    readonly range: Range;
    readonly calls: readonly string[];
    readonly call: number;
    readonly says: string;
    readonly places: readonly {
        readonly place: string;
        readonly things: readonly {
            readonly name: string;
            readonly label: string;
            readonly now: string;
            readonly asFound: string;
            readonly tag: string;
            readonly by: readonly { readonly says: string; readonly location: Location }[];
        }[];
    }[];
    readonly waysOut: readonly { readonly says: string; readonly leaves: string; readonly location: Location }[];
    /** The whole as a sheet to print or hand over: a page of its own. */
    readonly sheet: string;
}

export const openHereRequest = new RequestType<OpenHereParams, OpenHereAnswer | null, void>('cotter/openHere');

export interface CompareParams {
    readonly uri: string;
    /** A revision in git: HEAD, a branch, a commit. */
    readonly revision: string;
}

export interface CompareAnswer {
    /** Of the project, whose files `old` names by path; empty where there is none. */
    readonly root: string;
    readonly verdict: 'unknown' | 'worse' | 'different' | 'better' | 'same';
    readonly says: string;
    readonly cards: readonly {
        readonly card: string;
        readonly label: string;
        readonly says: string;
        readonly changes: readonly {
            readonly class: 'safety' | 'work' | 'record' | 'wording';
            readonly says: string;
            readonly where: string;
            /** In the text of the revision, its path from the root of the project. */
            readonly old: { readonly path: string; readonly range: Range } | null;
            readonly now: Location | null;
            readonly consequences: readonly string[];
        }[];
        readonly consequences: readonly string[];
    }[];
}

export const compareRequest = new RequestType<CompareParams, CompareAnswer, void>('cotter/compare');

/** One word on a file and its reason, the same as on the finished card and at the command. */
export interface StatusParams {
    readonly uri: string;
}

export interface StatusAnswer {
    /** The worst of its cards; for a file without one, of its findings. */
    readonly status: Status;
    readonly says: string;
    readonly cards: readonly { readonly name: string; readonly says: string }[];
}

export const statusRequest = new RequestType<StatusParams, StatusAnswer | null, void>('cotter/status');
