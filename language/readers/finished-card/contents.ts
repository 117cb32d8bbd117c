import type { CardStatus, Status } from '../../findings/finding.js';
import type { FinishedCard } from './card.js';
import { sentenceOf } from './words.js';

/** One row of the index of cards. */
export interface Contents {
    /** The page of the card, "" where none could be made. */
    readonly href: string;
    readonly number: string;
    readonly title: string;
    readonly applies: string;
    readonly variant: readonly string[];
    /** "with M29-14": tells apart the pages of one card. */
    readonly variantShort: string;
    readonly revision: string;
    readonly date: string;
    readonly status: Status;
    readonly word: string;
    readonly why: string;
}

export function contentsOf(card: FinishedCard, href: string): Contents {
    const { number, title, applies, variant, variantShort, revision, date, status } = card;
    return {
        href,
        number,
        title,
        applies,
        variant,
        variantShort,
        revision,
        date,
        status: status.status,
        word: status.word,
        why: status.why,
    };
}

/** A card of which no page could be made still stands in the index. */
export function contentsWithoutPage(card: CardStatus): Contents {
    return {
        href: '',
        number: card.name,
        title: card.label,
        applies: '',
        variant: [],
        variantShort: '',
        revision: '',
        date: '',
        status: card.status,
        word: card.status === 'unknown' ? 'not known' : card.status,
        why: sentenceOf(card.why),
    };
}
