import { NONE } from '../machine/machine.js';
import type { Fact, Facts } from './paths.js';

/** More events than this are not kept for one possibility: the first ones are enough to say where it came from. */
const MOST_EVENTS = 16;

export const START: readonly number[] = [NONE];

export function union(a: readonly number[], b: readonly number[]): readonly number[] {
    if (a === b) return a;
    const missing = b.filter(each => !a.includes(each));
    if (missing.length === 0) return a;
    return [...a, ...missing].sort((x, y) => x - y).slice(0, MOST_EVENTS);
}

/** Sorts, and makes one of possibilities that are alike: the later change counts, so that times stay guaranteed. */
export function normalised(facts: readonly Fact[]): Facts {
    if (facts.length < 2) return facts;
    const merged: Fact[] = [];
    for (const fact of facts) {
        const at = merged.findIndex(each => each.state === fact.state && each.tagged === fact.tagged);
        const other = merged[at];
        if (!other) merged.push(fact);
        else if (other !== fact) {
            merged[at] = {
                ...other,
                by: union(other.by, fact.by),
                tagBy: union(other.tagBy, fact.tagBy),
                since: Math.max(other.since, fact.since),
            };
        }
    }
    return merged.sort((a, b) => a.state - b.state || Number(a.tagged) - Number(b.tagged));
}

/** Both together; `later` is added to the clock readings of `b`, whose clock runs ahead of that of `a` by as much. */
export function joined(a: Facts, b: Facts, laterA: number, laterB: number): Facts {
    if (a === b) return a;
    const shift = (facts: Facts, later: number): Facts =>
        later === 0 ? facts : facts.map(each => ({ ...each, since: each.since - later }));
    return normalised([...shift(a, laterA), ...shift(b, laterB)]);
}

/** Those that are (or are not) in the state; undefined when there is none of them. */
export function kept(facts: Facts, test: (fact: Fact) => boolean): Facts | undefined {
    const left = facts.filter(test);
    if (left.length === facts.length) return facts;
    return left.length > 0 ? left : undefined;
}

export function maskOf(facts: Facts): number {
    let mask = 0;
    for (const each of facts) mask |= 1 << each.state;
    return mask;
}

export function byOf(facts: Facts, which: 'by' | 'tagBy' = 'by'): readonly number[] {
    let by = (facts[0] as Fact)[which];
    for (let n = 1; n < facts.length; n++) by = union(by, (facts[n] as Fact)[which]);
    return by;
}

/** Every possibility is in this state. */
export function surely(facts: Facts | undefined, state: number): boolean {
    return facts?.every(each => each.state === state) ?? false;
}

export function maybe(facts: Facts | undefined, state: number): boolean {
    return facts?.some(each => each.state === state) ?? false;
}
