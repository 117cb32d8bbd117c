import { nearest } from '../grammar/nearest.js';
import type { Accept, Plan } from '../plan/plan.js';
import type { Finding, Severity, Span } from './finding.js';

/** Codes that nothing accepts: a text that cannot be read, or an acceptance that is itself wrong. */
const NEVER: ReadonlySet<string> = new Set(['syntax', 'unknown-name', 'duplicate-name', 'accept-unused', 'not-judged']);

const contains = (outer: Span, inner: Span): boolean =>
    outer.file === inner.file && outer.offset <= inner.offset && inner.end <= outer.end;

/**
 * Marks the findings that an `accept` of the card covers. In a step it covers findings that stand in the step, or that come about through a call in it; in the card, with
 * `for`, those about that name anywhere.
 * @returns the findings, and the `accept`s that cover none.
 */
export function acceptFindings(plan: Plan, findings: readonly Finding[]): { findings: Finding[]; unused: Accept[] } {
    const used = new Set<Accept>();
    const marked = findings.map(finding => {
        if (NEVER.has(finding.code)) return finding;
        const accept = plan.accepts.find(each => covers(plan, each, finding));
        if (!accept) return finding;
        used.add(accept);
        return { ...finding, accepted: { because: accept.because, span: accept.span } };
    });
    return { findings: marked, unused: plan.accepts.filter(each => !used.has(each)) };
}

function covers(plan: Plan, accept: Accept, finding: Finding): boolean {
    if (accept.code !== finding.code) return false;
    if (accept.name !== '' && !finding.about.includes(accept.name)) return false;
    const step = plan.steps[accept.step];
    if (!step) return accept.name !== '';
    return [finding.span, ...finding.related.map(each => each.span)].some(span => contains(step.span, span));
}

/** What to say of each `accept` that accepts nothing in any variant that has it. `unused`: by variant, those that accept nothing there. */
export function unusedAccepts(
    plans: readonly Plan[],
    unused: readonly (readonly Accept[])[],
    severity: Severity,
    codes: readonly string[],
): Finding[] {
    const all = new Map<number, { accept: Accept; card: string }>();
    for (const plan of plans)
        for (const accept of plan.accepts) all.set(accept.span.offset, { accept, card: plan.card });
    const used = new Set(
        plans.flatMap((plan, n) =>
            plan.accepts.filter(each => !unused[n]?.includes(each)).map(each => each.span.offset),
        ),
    );
    return [...all]
        .filter(([offset]) => !used.has(offset))
        .map(([offset, { accept, card }]) => {
            return {
                code: 'accept-unused',
                severity,
                span: accept.span,
                card,
                related: [],
                about: [accept.code],
                fixes: [{ title: 'Delete it', edits: [{ span: accept.span, newText: '' }] }],
                message: whyUnused(accept, codes),
                cause: `accept ${offset}`,
            };
        });
}

function whyUnused({ code, step, name }: Accept, codes: readonly string[]): string {
    if (!codes.includes(code)) {
        const meant = nearest(code, codes);
        return `There is no check named ${code}, so nothing is accepted.${meant ? ` Did you mean ${meant}?` : ''}`;
    }
    if (NEVER.has(code)) return `${code} cannot be accepted: accepting would make nothing known. Mend what it reports.`;
    if (step < 0 && name === '') return `Outside a step, accept needs "for": say which thing ${code} is accepted for.`;
    return `Nothing here gives ${code}${name ? ` for ${name}` : ''} any more, so there is nothing to accept. Delete it.`;
}
