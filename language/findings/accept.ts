import type { Accept, Plan } from '../plan/plan.js';
import type { Finding, Span } from './finding.js';

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
