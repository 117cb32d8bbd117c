import type { CardStatus, Span } from '../../language/findings/finding.js';
import {
    type CardComparison,
    type Change,
    type Class,
    type Comparison,
    type Consequence,
    kindWords,
    type Sides,
} from '../../language/readers/comparison/index.js';
import { count, plain, type Style } from './terminal.js';
import { statusWords } from './text.js';

export const classes: readonly Class[] = ['safety', 'work', 'record', 'wording'];

const colours: Record<Comparison['verdict'], Parameters<Style>[0]> = {
    unknown: ['bold', 'red'],
    worse: ['bold', 'red'],
    different: 'bold',
    better: ['bold', 'green'],
    same: ['bold', 'green'],
};

/** A comparison for a person: the verdict, then card by card the changes by class, each with what it brings. */
export function compareText({ verdict, says, cards, same }: Comparison, style: Style): string {
    const out = [style(colours[verdict], plain(says))];
    for (const card of cards) out.push('', ...ofCard(card, style));
    if (cards.length > 0) out.push('', style('bold', tally(cards, same)));
    return `${out.join('\n')}\n`;
}

function ofCard(card: CardComparison, style: Style): string[] {
    const title = card.label && card.label !== card.card ? ` ${card.label}` : '';
    const out = [style('bold', plain(`${card.card}${title}`))];
    if (card.is !== 'on-both-sides' || card.verdict === 'unknown') out.push(`  ${plain(card.says)}`);
    const status = statusLine(card.status);
    if (status) out.push(`  ${plain(status)}`);
    for (const each of classes) {
        const changes = card.changes.filter(change => change.class === each);
        if (changes.length > 0)
            out.push(`  ${style('bold', capital(each))}`, ...changes.flatMap(change => ofChange(change, style)));
    }
    if (card.consequences.length > 0) {
        const many = card.changes.length > 0;
        if (many) out.push(`  ${style('bold', 'Of the card as a whole')}`);
        out.push(...card.consequences.map(each => ofConsequence(each, '    ', style)));
    }
    return out;
}

function ofChange(change: Change, style: Style): string[] {
    const notes = [change.only, timesOf(change)].filter(Boolean);
    const kind = change.class === 'safety' ? `${kindWords(change.kind)}: ` : '';
    const more = notes.length > 0 ? ` (${notes.join(', ')})` : '';
    return [
        `    ${plain(`${kind}${change.says}${more}`)}`,
        `      ${style('dim', plain([change.where, places(change.span)].filter(Boolean).join('; ')))}`,
        ...change.consequences.map(each => ofConsequence(each, '      ', style)),
    ];
}

function ofConsequence(each: Consequence, indent: string, style: Style): string {
    const word = each.effect === 'different' ? '' : `${style(colours[each.effect], each.effect)}: `;
    return `${indent}> ${word}${plain(`${each.says}${each.only ? ` (${each.only})` : ''}`)}`;
}

/** "in 2 places, also for CB-217". */
export const timesOf = ({ times, also }: Change): string =>
    times > 1 ? `in ${times} places${also.length > 0 ? `, also for ${also.join(', ')}` : ''}` : '';

/** "a.cotter:12", with where it stood before where that is another line. */
export function places({ old, new: now }: Sides<Span>): string {
    const at = (span: Span): string => `${span.file}:${span.line}`;
    if (old && now) return at(old) === at(now) ? at(now) : `${at(now)}, before ${at(old)}`;
    return old ? `before ${at(old)}` : now ? at(now) : '';
}

export function statusLine({ old, new: now }: Sides<CardStatus>): string {
    const said = ({ status, why }: CardStatus): string => `${statusWords[status]}${why ? ` (${why})` : ''}`;
    if (!now) return '';
    if (!old) return `Status: ${said(now)}.`;
    return old.status === now.status && old.why === now.why ? '' : `Status: ${said(now)}; it was ${said(old)}.`;
}

export function tally(cards: readonly CardComparison[], same: number): string {
    const word = (each: CardComparison): string =>
        each.is === 'added'
            ? 'new'
            : each.is === 'removed'
              ? 'gone'
              : each.verdict === 'unknown'
                ? 'not known'
                : each.verdict;
    const words = ['not known', 'worse', 'different', 'better', 'new', 'gone'].flatMap(each => {
        const many = cards.filter(card => word(card) === each).length;
        return many > 0 ? [`${many} ${each}`] : [];
    });
    return `${count(cards.length + same, 'card')}: ${[...words, ...(same > 0 ? [`${same} the same`] : [])].join(', ')}.`;
}

export const capital = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1);
