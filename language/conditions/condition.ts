/**
 * Conditions as plain data, compiled once. Item, slot, state and place are indices into the Machine that holds the condition.
 * `told`, `someone` and `nobody` speak of people: only rules have them, and only Paths can answer them.
 */
export type Condition =
    /** The slot is in this state. `contact`: a breaker's electrical contact rather than its knob (TRIPPED is not CLOSED, NOT-OPENING is). */
    | {
          readonly op: 'is';
          readonly item: number;
          readonly slot: number;
          readonly state: number;
          readonly contact: boolean;
      }
    /** A bare name: live, running, made, contact closed, installed. */
    | { readonly op: 'live'; readonly item: number }
    /** The slot has been in this state for at least so many seconds of guaranteed time. */
    | {
          readonly op: 'held';
          readonly item: number;
          readonly slot: number;
          readonly state: number;
          readonly contact: boolean;
          readonly seconds: number;
      }
    | { readonly op: 'told'; readonly to: number; readonly from: number; readonly onceForEachTest: boolean }
    | { readonly op: 'someone'; readonly place: number }
    | { readonly op: 'nobody'; readonly place: number }
    | { readonly op: 'not'; readonly of: Condition }
    | { readonly op: 'and'; readonly of: readonly Condition[] }
    | { readonly op: 'or'; readonly of: readonly Condition[] };
