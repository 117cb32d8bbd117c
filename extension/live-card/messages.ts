/** What the live card and its page say to each other. */

/** To the page. */
export type ToPage =
    | {
          readonly kind: 'show';
          /** Style and body of the finished card's own page. */
          readonly style: string;
          readonly body: string;
          readonly card: string;
          readonly cards: readonly string[];
          readonly variants: readonly string[];
          readonly variant: number;
          readonly says: string;
          readonly locked: boolean;
          /** Why the page is not what the text says now; empty where it is. */
          readonly old: string;
          readonly words: Words;
          readonly state: Remembered;
      }
    /** The page stays; only this is new. */
    | { readonly kind: 'old'; readonly old: string; readonly says: string }
    /** The text shows this line at its top, and the cursor stands there; 1-based. */
    | { readonly kind: 'at'; readonly top: number; readonly cursor: number };

/** To the editor. */
export type FromPage =
    | { readonly kind: 'ready' }
    | { readonly kind: 'go'; readonly line: number }
    /** The reader has moved the page: this line of the text is at its top. */
    | { readonly kind: 'scrolled'; readonly line: number }
    | { readonly kind: 'card'; readonly card: string }
    | { readonly kind: 'variant'; readonly variant: number }
    | { readonly kind: 'lock'; readonly locked: boolean };

/** Kept by the editor over a restart. */
export interface Remembered {
    readonly uri: string;
    readonly card?: string | undefined;
    readonly embodied?: readonly string[] | undefined;
    readonly locked: boolean;
}

/** Of the page's own controls, in the reader's language. */
export interface Words {
    readonly card: string;
    readonly variant: string;
    readonly lock: string;
    readonly unlock: string;
}
