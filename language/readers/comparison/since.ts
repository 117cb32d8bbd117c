import type { CardComparison, Class, Comparison, Marks } from './comparison.js';
import { noMarks } from './marks.js';

/** What a finished card says of what has changed since a revision. */
export interface Since {
    readonly revision: string;
    /** The verdict, or that there is nothing to say. */
    readonly says: string;
    readonly changes: readonly {
        readonly class: Class;
        readonly says: string;
        readonly where: string;
        readonly only: string;
        readonly times: number;
    }[];
    readonly marks: Marks;
}

export function sinceOf(comparison: Comparison, card: string, file: string, revision: string): Since {
    const of = (each: CardComparison): boolean => each.card === card && each.status.new?.file === file;
    const found = comparison.cards.find(of);
    if (comparison.verdict === 'unknown' && !found)
        return { revision, says: comparison.says, changes: [], marks: noMarks };
    if (!found)
        return { revision, says: 'Nothing that this card says or does has changed.', changes: [], marks: noMarks };
    if (found.is === 'added') return { revision, says: 'This card is new.', changes: [], marks: noMarks };
    const changes = found.changes.map(({ class: of, says, where, only, times }) => ({
        class: of,
        says,
        where,
        only,
        times,
    }));
    return { revision, says: found.says, changes, marks: found.marks };
}
