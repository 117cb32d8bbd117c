import type { CardStatus } from '../../language/findings/finding.js';

/** One word and a reason, the same everywhere. */
export function statusSaid({ status, why }: Pick<CardStatus, 'status' | 'why'>): string {
    const word = status === 'unknown' ? 'not known' : status;
    return why ? `${word}: ${why}` : word;
}
