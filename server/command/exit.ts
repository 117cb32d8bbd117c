import type { Judgement } from '../workspace/judge.js';

/** What the command ends with, always one of these. */
export const Exit = {
    /** Clean, or all findings accepted; information does not count. */
    clean: 0,
    /** A warning, an error, or a card about which not everything is known. */
    findings: 1,
    /** Wrong use, or a file that could not be read. */
    misuse: 2,
} as const;

export type Exit = (typeof Exit)[keyof typeof Exit];

/** Ends the command with one line on standard error. */
export class Misuse extends Error {}

export function exitOf({ findings, cards }: Judgement): Exit {
    const open = findings.some(finding => finding.severity !== 'information' && !finding.accepted);
    // What a card draws on may be wrong in a file that was not asked for.
    return open || cards.some(card => card.status === 'unknown' || card.status === 'findings')
        ? Exit.findings
        : Exit.clean;
}
