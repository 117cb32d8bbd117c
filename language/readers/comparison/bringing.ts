/** The variants of a card taken together, and which change brought what. */
import type { Finding, Span } from '../../findings/finding.js';
import type { Consequence } from './comparison.js';
import type { Found } from './found.js';
import type { FindingEffect } from './of-findings.js';
import type { Effect } from './times.js';

export interface OfVariant {
    readonly changes: readonly Found[];
    readonly effects: readonly Effect[];
    /** The modifications that the aircraft has. */
    readonly embodied: readonly string[];
}

export interface Merged {
    readonly found: Found;
    readonly key: string;
    readonly times: number;
    readonly also: readonly string[];
    readonly only: string;
    readonly consequences: readonly Consequence[];
}

const at = (span: Span | null): string => (span ? `${span.file}:${span.offset}:${span.end}` : '');

/** A line of a subtask is one line, however often it is done. What has no line is told by its words. */
function keyOf(found: Found): string {
    const lines = found.nodes.old.length + found.nodes.new.length > 0;
    return [found.how, found.kind, found.aspect, at(found.span.old), at(found.span.new), lines ? '' : found.says].join(
        '|',
    );
}

export function merged(variants: readonly OfVariant[]): Merged[] {
    const all = new Map<string, { found: Found; times: number; also: Set<string>; variants: Set<number> }>();
    for (const [n, { changes }] of variants.entries()) {
        const here = new Map<string, number>();
        for (const found of changes) {
            const key = keyOf(found);
            here.set(key, (here.get(key) ?? 0) + 1);
            const known = all.get(key);
            if (!known) all.set(key, { found, times: 1, also: new Set(), variants: new Set([n]) });
            else {
                known.variants.add(n);
                for (const name of found.about) if (!known.found.about.includes(name)) known.also.add(name);
            }
        }
        for (const [key, times] of here) {
            const known = all.get(key);
            if (known) known.times = Math.max(known.times, times);
        }
    }
    return [...all].map(([key, { found, times, also, variants: having }]) => ({
        key,
        found,
        times,
        also: [...also],
        only: onlyOn(having, variants),
        consequences: [],
    }));
}

/** "only after MOD", "" where all variants have it. */
function onlyOn(having: ReadonlySet<number>, all: readonly OfVariant[]): string {
    if (having.size === all.length) return '';
    const names = [...new Set(all.flatMap(each => each.embodied))];
    for (const name of names) {
        if (all.every(({ embodied }, n) => having.has(n) === embodied.includes(name))) return `only after ${name}`;
        if (all.every(({ embodied }, n) => having.has(n) !== embodied.includes(name))) return `only before ${name}`;
    }
    const one = (n: number): string =>
        names.map(name => `${all[n]?.embodied.includes(name) ? 'after' : 'before'} ${name}`).join(' and ');
    return `only ${[...having].map(one).join(', or ')}`;
}

export function attributed(
    changes: readonly Merged[],
    variants: readonly OfVariant[],
    findings: readonly FindingEffect[],
): { told: Merged[]; rest: Consequence[] } {
    const byKey = new Map(changes.map(each => [each.key, each]));
    const brought = new Map<string, Consequence[]>();
    const rest: Consequence[] = [];
    const add = (key: string | undefined, consequence: Consequence): void => {
        const list = key === undefined ? rest : (brought.get(key) ?? []);
        if (key !== undefined) brought.set(key, list);
        list.push(consequence);
    };
    const timed = new Map<string, { effect: Effect; key: string | undefined; having: Set<number> }>();
    for (const [n, { effects }] of variants.entries()) {
        for (const effect of effects) {
            const key = effect.cause && keyOf(effect.cause);
            const words = `${effect.consequence.kind}|${effect.consequence.says}|${key ?? ''}`;
            const known = timed.get(words);
            if (known) known.having.add(n);
            else
                timed.set(words, {
                    effect,
                    key: key !== undefined && byKey.has(key) ? key : undefined,
                    having: new Set([n]),
                });
        }
    }
    const single = soleCause(changes);
    for (const { effect, key, having } of timed.values()) {
        const { consequence } = effect;
        // A failure is told with the change that the finding about it stands under, where there is one.
        const by = key ?? (consequence.kind === 'failure' ? single?.key : undefined);
        add(by, { ...consequence, only: onlyOn(having, variants) });
    }
    for (const each of findings) {
        const cause = single ?? likeliest(changes, each, brought);
        add(cause?.key, each.consequence);
    }
    return {
        told: changes.map(each => ({ ...each, consequences: (brought.get(each.key) ?? []).sort(worstFirst) })),
        rest: rest.sort(worstFirst),
    };
}

/** Where one change alone can have done anything, it has done it. */
function soleCause(changes: readonly Merged[]): Merged | undefined {
    const able = changes.filter(each => each.found.kind !== 'record');
    return able.length === 1 ? able[0] : undefined;
}

/** The change that stands where the finding does, or speaks of the same things; none where two speak as much for it. */
function likeliest(
    changes: readonly Merged[],
    { finding, is }: FindingEffect,
    brought: ReadonlyMap<string, readonly Consequence[]>,
): Merged | undefined {
    const side = is === 'gone' ? 'old' : 'new';
    const scored = changes
        .map(each => ({ each, score: speaksFor(each, finding, side, brought.get(each.key) ?? []) }))
        .filter(({ score }) => score > 0)
        .sort((a, b) => b.score - a.score);
    const [first, second] = scored;
    return first && first.score !== second?.score ? first.each : undefined;
}

function speaksFor({ found }: Merged, finding: Finding, side: 'old' | 'new', brought: readonly Consequence[]): number {
    // Of two that speak of one thing, one that only calls it otherwise has done less.
    let score = found.how === 'renamed' || found.kind === 'wording' || found.kind === 'record' ? -0.5 : 0;
    const own = found.where === 'the head of the card' && found.about.length === 0 ? null : found.span[side];
    if (own && meets(own, finding.span)) score += 4;
    if (own && finding.related.some(each => meets(own, each.span))) score += 2;
    if (found.about.some(name => finding.about.includes(name))) score += 2;
    if (brought.some(each => each.kind === 'time' && each.span[side] && meets(each.span[side], finding.span)))
        score += 4;
    return score;
}

const meets = (a: Span, b: Span): boolean => a.file === b.file && a.offset < b.end && b.offset < a.end;

const weights: readonly Consequence['effect'][] = ['worse', 'better', 'different'];
const severities: readonly (Consequence['severity'] | 'none')[] = ['error', 'none', 'warning', 'information'];

const worstFirst = (a: Consequence, b: Consequence): number =>
    weights.indexOf(a.effect) - weights.indexOf(b.effect) ||
    severities.indexOf(a.severity ?? 'none') - severities.indexOf(b.severity ?? 'none');
