import type { Span } from '../../language/findings/finding.js';
import type {
    CardComparison,
    Change,
    Comparison,
    Consequence,
    Sides,
} from '../../language/readers/comparison/index.js';

/** A comparison for a program. The shape is a promise: it changes only with `version`. */
export function compareJson({ verdict, says, cards, same }: Comparison): string {
    return `${JSON.stringify({ version: 1, verdict, says, same, cards: cards.map(ofCard) }, null, 2)}\n`;
}

function ofCard(card: CardComparison) {
    const { changes, consequences, status, marks: _, ...rest } = card;
    const of = (side: 'old' | 'new') => {
        const known = status[side];
        return known && { status: known.status, why: known.why, file: known.file };
    };
    return {
        ...rest,
        status: { old: of('old'), new: of('new') },
        changes: changes.map(ofChange),
        consequences: consequences.map(ofConsequence),
    };
}

function ofChange({ span, consequences, ...rest }: Change) {
    return { ...rest, only: rest.only || null, ...stretches(span), consequences: consequences.map(ofConsequence) };
}

function ofConsequence({ span, ...rest }: Consequence) {
    return { ...rest, only: rest.only || null, ...stretches(span) };
}

function stretches({ old, new: now }: Sides<Span>) {
    const stretch = (span: Span | null) =>
        span && {
            file: span.file,
            line: span.line,
            column: span.column,
            endLine: span.endLine,
            endColumn: span.endColumn,
        };
    return { old: stretch(old), new: stretch(now) };
}
