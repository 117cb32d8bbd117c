/**
 * The prose of a card as far as a machine can read it: where a sentence ends, how long it is, and what begins an
 * instruction. The limits and the way of counting are those of ASD-STE100 (Simplified Technical English), Issue 9.
 */
import { unitOf } from './units.js';

/** Most words in a sentence that instructs (rule 5.1), and in one that informs (6.x and 5.5). */
export const mostWords = { step: 20, note: 25 } as const;

/** A point after these ends no sentence. */
const abbreviations = /(?:^|[\s(])(?:No|Nos|Fig|Figs|max|min|approx|dia|ref|e\.g|i\.e|vs|St)\.$/i;

/** The sentences of a text. A colon ends one too; text in quotation marks and brackets stays with its sentence. */
export function sentencesOf(text: string): string[] {
    const found: string[] = [];
    let from = 0;
    for (const { index, 0: end } of text.matchAll(/[.!?:]["”)\]]*(?=\s|$)/g)) {
        const stop = index + end.length;
        if (abbreviations.test(text.slice(from, index + 1))) continue;
        // A small letter goes on with the sentence, but not after a colon.
        if (end[0] !== ':' && /^\s+\p{Ll}/u.test(text.slice(stop))) continue;
        found.push(text.slice(from, stop).trim());
        from = stop;
    }
    found.push(text.slice(from).trim());
    return found.filter(each => /[\p{L}\d]/u.test(each));
}

/**
 * How many words a sentence has. What stands in brackets is a sentence of its own; a placard ("HYD 2 ISOLATION") is one word, and
 * so is a number with its unit; hyphens join.
 */
export function countWords(sentence: string): number {
    const words = sentence
        .replace(/\([^()]*\)/g, ' ')
        .split(/\s+/)
        .map(each => each.replace(/^[^\p{L}\d°%]+|[^\p{L}\d°%]+$/gu, ''))
        .filter(each => /[\p{L}\d%]/u.test(each));
    let count = 0;
    for (const [n, word] of words.entries()) {
        const before = words[n - 1] ?? '';
        if (isPlacard(word) && isPlacard(before) && (/\p{Lu}{2}/u.test(word) || /\p{Lu}{2}/u.test(before))) continue;
        if (isNumber(before) && unitOf(word)) continue;
        count++;
    }
    return count;
}

const isPlacard = (word: string): boolean => /^[\p{Lu}\d][\p{Lu}\d./&+-]*$/u.test(word);
const isNumber = (word: string): boolean => /^-?\d[\d,.]*$/.test(word);

/** Verbs that are nothing else at this place. */
const onlyVerbs = `adjust attach detach disassemble disconnect discard ensure examine fasten inspect install loosen lubricate obey refit reinstall remove retighten tighten unfasten unscrew untag verify wear`;
/** Verbs that are also a thing or how a thing is: "dry", "drain", "tag". */
const alsoOthers = `add align apply bleed blow blank bond cap carry charge check clamp clean clear close connect cool cover cut drain dry
empty fill fit flush grease heat hold insert keep level lift lock lower make mark measure move oil open paint place plug polish position
press protect pull push put raise read record refer release repeat replace return rinse rotate run seal secure select set show slide
start stop support switch tag tape test torque touch turn use vent wait wash wipe wire write`;

const setOf = (words: string): ReadonlySet<string> => new Set(words.split(/\s+/));
const only = setOf(onlyVerbs);
const also = setOf(alsoOthers);
/** Verbs that begin an action and nothing that is told apart from it: "Look that ...", "Stand at ...". */
const openers = setOf('ask call do get give go let look see stand stay take tell watch');

/** What can follow a verb as the thing that it is done to. */
const object = String.raw`(?:the|a|an|it|them|its|their|all|each|both|every|any|this|these|those|new|another|until|that|\d[\d,.]*|[A-Z][A-Z\d-]*\d[A-Z\d-]*)\b`;

/** "If the seat is dirty, clean it.": the condition is taken away. */
const withoutCondition = (sentence: string): string =>
    sentence.replace(/^(?:if|when|while|before|after|until|unless|where|as soon as|once)\b[^,]*,\s*/i, '');

/** The verb with which the sentence instructs, or undefined where it informs. */
export function instructs(sentence: string): string | undefined {
    const said = withoutCondition(sentence.replace(/^["“(]+/, '')).replace(/^(?:please|always|then|now)\s+/i, '');
    if (/^(?:do not|don't|never)\s+\p{L}/iu.test(said)) return said.split(/\s+/).slice(0, 2).join(' ');
    const [, first = '', rest = ''] = /^([\p{L}-]+)\s*(.*)$/u.exec(said) ?? [];
    const word = first.toLowerCase();
    if (only.has(word) && !/^before (?:flight|start)/i.test(rest)) return first;
    if (word === 'make' && /^sure\b/.test(rest)) return 'Make sure';
    return also.has(word) && new RegExp(`^(?:not )?${object}`).test(rest) ? first : undefined;
}

/** Said to be done together. */
const together = /\b(?:at the same time|while|together|simultaneously|as you)\b/i;

/** The second instruction of a sentence that gives two, from its verb on; undefined where it gives one. */
export function secondInstruction(sentence: string): string | undefined {
    const said = withoutCondition(sentence);
    const opening = (/^[\p{L}-]+/u.exec(said)?.[0] ?? '').toLowerCase();
    const begins = only.has(opening) || also.has(opening) || openers.has(opening);
    // What is held or kept goes on while the other is done.
    if (!begins || opening === 'hold' || opening === 'keep' || together.test(said)) return undefined;
    const pattern = /(?:;|\b(?:and|then))\s+(?:(?:then|also)\s+)?([a-z-]+)\s+/g;
    for (let match = pattern.exec(said); match; match = pattern.exec(said)) {
        const [whole, word = ''] = match;
        const rest = said.slice(match.index + whole.length);
        if (only.has(word) || (also.has(word) && new RegExp(`^${object}`).test(rest)))
            return `${word} ${rest}`.replace(/[.!?]$/, '');
        // The word may itself come before the next "and".
        pattern.lastIndex = match.index + 1;
    }
    return undefined;
}

const stopWords =
    setOf(`the a an and or but not no nor if when while before after until unless where it its is are was were be been being
can could may might must shall should will would do does did to of in on at by for from with without into onto off out up down as that this these those
there then than so such each every any all both other only also he she they them their his her who which what how near keep make sure`);

/** The words of a text that say what it is about, each once, without the endings of "moves" and "moved". */
export function contentWords(text: string): ReadonlySet<string> {
    const words = text.toLowerCase().match(/[\p{L}\d-]+/gu) ?? [];
    return new Set(words.filter(each => !stopWords.has(each)).map(each => each.replace(/(?<=..)(?:es|ed|s|e)$/, '')));
}
