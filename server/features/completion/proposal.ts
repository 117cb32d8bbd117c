/** One word that may be written next, the better the smaller its rank. */
export interface Proposal {
    readonly text: string;
    /** With places to fill in, for editors that have them. */
    readonly snippet?: string;
    readonly kind: 'keyword' | 'verb' | 'name' | 'state' | 'unit' | 'call' | 'role' | 'text' | 'act';
    readonly detail: string;
    readonly rank: number;
}
