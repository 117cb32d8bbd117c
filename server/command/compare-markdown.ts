import {
    type CardComparison,
    type Change,
    type Comparison,
    type Consequence,
    kindWords,
} from '../../language/readers/comparison/index.js';
import { capital, classes, places, statusLine, tally, timesOf } from './compare-text.js';
import { plain } from './terminal.js';

/** More than this a comment on a pull request does not hold. */
const longest = 60_000;

/** A comparison as a comment on a pull request. */
export function compareMarkdown({ says, cards, same }: Comparison): string {
    const head = `**${escaped(says)}**\n`;
    const parts = cards.map(ofCard);
    const foot = cards.length > 0 ? `\n${escaped(tally(cards, same))}\n` : '';
    const shown: string[] = [];
    let size = head.length + foot.length;
    for (const part of parts) {
        if (size + part.length > longest) break;
        size += part.length;
        shown.push(part);
    }
    const left = parts.length - shown.length;
    const more =
        left > 0
            ? `\n${left} more ${left === 1 ? 'card differs' : 'cards differ'}; this is too much for one comment.\n`
            : '';
    return `${head}${shown.join('')}${more}${foot}`;
}

function ofCard(card: CardComparison): string {
    const title = card.label && card.label !== card.card ? ` ${card.label}` : '';
    const out = ['', `### ${escaped(`${card.card}${title}`)}`, ''];
    if (card.is !== 'on-both-sides' || card.verdict === 'unknown') out.push(escaped(card.says), '');
    const status = statusLine(card.status);
    if (status) out.push(escaped(status), '');
    for (const each of classes) {
        const changes = card.changes.filter(change => change.class === each);
        if (changes.length > 0) out.push(`#### ${capital(each)}`, '', ...changes.flatMap(ofChange), '');
    }
    if (card.consequences.length > 0) {
        if (card.changes.length > 0) out.push('#### Of the card as a whole', '');
        out.push(...card.consequences.map(each => `- ${ofConsequence(each)}`), '');
    }
    return out.join('\n');
}

function ofChange(change: Change): string[] {
    const notes = [change.only, timesOf(change)].filter(Boolean);
    const kind = change.class === 'safety' ? `${capital(kindWords(change.kind))}: ` : '';
    const more = notes.length > 0 ? ` (${notes.join(', ')})` : '';
    const where = [change.where, places(change.span)].filter(Boolean).join('; ');
    return [
        `- ${escaped(`${kind}${change.says}${more}`)}  `,
        `  <sub>${escaped(where)}</sub>`,
        ...change.consequences.map(each => `  - ${ofConsequence(each)}`),
    ];
}

function ofConsequence(each: Consequence): string {
    const word = each.effect === 'different' ? '' : `**${each.effect}:** `;
    return `${word}${escaped(`${each.says}${each.only ? ` (${each.only})` : ''}`)}`;
}

/** Text stays text: no markup, no link, nobody is called. */
export function escaped(text: string): string {
    return plain(text)
        .replace(/&/g, '&amp;')
        .replace(/</g, '&lt;')
        .replace(/>/g, '&gt;')
        .replace(/[\\`*_[\]|~]/g, '\\$&')
        .replace(/[@#]/g, each => (each === '@' ? '&#64;' : '&#35;'))
        .replace(/:\/\//g, '&#58;//');
}
