import type { Finding } from './finding.js';

/** What stays the same of a finding when lines move. */
export const likenessOf = (finding: Finding): string =>
    `${finding.code}|${finding.card ?? ''}|${[...finding.about].sort().join(' ')}|${finding.only ?? ''}`;

/** How many findings there are of each likeness. */
export function likenesses(findings: readonly Finding[]): Map<string, number> {
    const counts = new Map<string, number>();
    for (const finding of findings) {
        const likeness = likenessOf(finding);
        counts.set(likeness, (counts.get(likeness) ?? 0) + 1);
    }
    return counts;
}
