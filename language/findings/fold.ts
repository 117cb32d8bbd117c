import type { Finding, Related, Severity } from './finding.js';

/** The variants that a card is checked in: by variant, the modifications that the aircraft has. */
export type Embodied = ReadonlySet<string>;

const RANK: Readonly<Record<Severity, number>> = { error: 0, warning: 1, information: 2 };

/** By file, line, column, then code. */
export function inOrder(a: Finding, b: Finding): number {
    const one = a.span;
    const two = b.span;
    return (
        compare(one.file, two.file) ||
        one.offset - two.offset ||
        RANK[a.severity] - RANK[b.severity] ||
        compare(a.code, b.code) ||
        compare(a.message, b.message)
    );
}

const compare = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

/**
 * One cause, one finding: of one card in one variant, findings of one code with the same cause fold into the first, and so do findings of one code at
 * one place of the text that differ only in the call. What was folded stays to be found among the related places.
 */
export function fold(findings: readonly Finding[]): Finding[] {
    const byCause = new Map<string, number>();
    const byCall = new Map<string, number>();
    const kept: Finding[] = [];
    for (const finding of findings) {
        const cause = finding.cause === undefined ? undefined : `${finding.code} ${finding.cause}`;
        const calls = callsOf(finding);
        const place = calls && `${finding.code} ${finding.span.file} ${finding.span.offset} ${finding.span.end}`;
        const into = (cause === undefined ? undefined : byCause.get(cause)) ?? (place ? byCall.get(place) : undefined);
        const first = into === undefined ? undefined : kept[into];
        if (first && into !== undefined) {
            kept[into] = { ...first, about: union(first.about, finding.about), related: withRelated(first, finding) };
            continue;
        }
        if (cause !== undefined) byCause.set(cause, kept.length);
        if (place) byCall.set(place, kept.length);
        kept.push(finding);
    }
    return kept;
}

/** The calls that a finding names, as one word; empty for a finding outside any call. */
function callsOf(finding: Finding): string {
    return finding.related
        .filter(each => each.message.endsWith('is called here'))
        .map(each => each.span.offset)
        .join(' ');
}

function withRelated(first: Finding, other: Finding): Related[] {
    const related = [...first.related];
    const add = (each: Related): void => {
        const same = (one: Related): boolean =>
            one.span.file === each.span.file && one.span.offset === each.span.offset;
        if (!related.some(same) && !(each.span.file === first.span.file && each.span.offset === first.span.offset))
            related.push(each);
    };
    add({ span: other.span, message: other.message });
    for (const each of other.related) add(each);
    return related;
}

const union = (a: readonly string[], b: readonly string[]): string[] => [...new Set([...a, ...b])];

/** The same finding in several variants is one; where not all have it, `only` says which do. */
export function mergeVariants(
    byVariant: readonly { readonly embodied: Embodied; readonly findings: readonly Finding[] }[],
): Finding[] {
    const merged = new Map<string, { finding: Finding; variants: Set<number> }>();
    for (const [n, { findings }] of byVariant.entries()) {
        for (const finding of findings) {
            const key = `${finding.code} ${finding.card ?? ''} ${finding.span.file} ${finding.span.offset} ${finding.span.end} ${finding.cause ?? finding.message}`;
            const known = merged.get(key);
            if (known) known.variants.add(n);
            else merged.set(key, { finding, variants: new Set([n]) });
        }
    }
    return [...merged.values()].map(({ finding, variants }) =>
        variants.size === byVariant.length
            ? finding
            : {
                  ...finding,
                  only: describe(
                      variants,
                      byVariant.map(each => each.embodied),
                  ),
              },
    );
}

/** "after M29-14", "before M29-14", or the combinations one by one. */
function describe(having: ReadonlySet<number>, all: readonly Embodied[]): string {
    const names = union(
        all.flatMap(each => [...each]),
        [],
    );
    for (const name of names) {
        if (all.every((embodied, n) => having.has(n) === embodied.has(name))) return `after ${name}`;
        if (all.every((embodied, n) => having.has(n) !== embodied.has(name))) return `before ${name}`;
    }
    return [...having]
        .map(n => names.map(name => `${all[n]?.has(name) ? 'after' : 'before'} ${name}`).join(' and '))
        .join(', or ');
}
