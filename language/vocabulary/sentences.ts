/**
 * The words of the finished card: what a thing is called in a sentence, and the sentence of each verb. Nothing else in the
 * house writes an instruction. Sentences are short and in the imperative; values and states to look for have the role `expected`.
 */
import { type KindWord, kindOf } from './kinds/index.js';
import { readingExample } from './torque.js';

/** A stretch of a printed sentence. `expected` values and states stand out by weight. */
export interface Phrase {
    readonly text: string;
    readonly role: 'plain' | 'expected' | 'quote';
}
export type Sentence = readonly Phrase[];

export interface Named {
    readonly name: string;
    readonly label: string;
    readonly kind: KindWord;
}

/* ---- sentences as data ---- */

export const expected = (text: string): Phrase => ({ text, role: 'expected' });
export const quote = (text: string): Phrase => ({ text, role: 'quote' });

/** Puts plain words that stand next to each other together. */
export function sentence(...parts: readonly (string | Phrase)[]): Sentence {
    const phrases: Phrase[] = [];
    for (const part of parts) {
        const phrase: Phrase = typeof part === 'string' ? { text: part, role: 'plain' } : part;
        const last = phrases.at(-1);
        if (phrase.text === '') continue;
        if (phrase.role === 'plain' && last?.role === 'plain')
            phrases[phrases.length - 1] = { text: last.text + phrase.text, role: 'plain' };
        else phrases.push(phrase);
    }
    return phrases;
}

export const wordsOf = (said: Sentence): string => said.map(each => each.text).join('');

/** "A", "A and B", "A, B and C". */
export function list(words: readonly string[]): string {
    return words.length < 2 ? (words[0] ?? '') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
}

/** "A", "A or B", "A, B or C". */
export const listOr = (words: readonly string[]): string =>
    words.length < 2 ? (words[0] ?? '') : `${words.slice(0, -1).join(', ')} or ${words.at(-1)}`;

export const upperFirst = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** "Flight-deck operator" inside a sentence: "flight-deck operator". "HYD", "No. 2" and "A320" stay. */
export const lowerFirst = (text: string): string =>
    /^[A-Z][a-z]/.test(text) && !text.startsWith('No.') ? text.charAt(0).toLowerCase() + text.slice(1) : text;

/* ---- what a thing is called ---- */

/** Kinds whose number stands on the aircraft or in its manuals beside the label, and what such a number looks like: "panel 147BL", "bolt B1". */
const designators: ReadonlyMap<KindWord, RegExp> = new Map([
    ...(['panel', 'door', 'cover'] as const).map(kind => [kind, /^\d/] as const),
    ...(['connector', 'plug', 'fastener'] as const).map(kind => [kind, /^[A-Z]{0,3}-?\d+[A-Z]?$/] as const),
]);
/** Kinds whose label is what is written at them: "HYD 2 ISOLATION", never "the HYD 2 ISOLATION". */
const placarded: ReadonlySet<KindWord> = new Set(['control', 'button', 'light', 'gauge', 'horn']);

const hasSmallLetter = (text: string): boolean => /\p{Ll}/u.test(text);
/** "motor A", "detector 2", "connector P1": the last word says which one, so no article. */
const endsInDesignator = (text: string): boolean => / ([A-Z]|[A-Z-]*\d[\w-]*)$/.test(text);
const holdsWord = (text: string, word: string): boolean => text.split(/[\s,()]+/).includes(word);
/** "Hydraulic fluid, system specification": what stands behind the comma goes into brackets inside a sentence. */
const bracketed = (text: string): string => text.replace(/, (.*)$/, ' ($1)');

interface Called {
    readonly noun: string;
    readonly article: boolean;
}

/** A card names the same thing again and again. */
const known = new WeakMap<Named, Called>();

function called(item: Named): Called {
    let found = known.get(item);
    if (!found) {
        found = call(item);
        known.set(item, found);
    }
    return found;
}

function call(item: Named): Called {
    const label = item.label || item.name;
    if (item.kind === 'breaker')
        return { noun: label === item.name ? item.name : `${item.name} (${label})`, article: false };
    if (placarded.has(item.kind) && !hasSmallLetter(label)) return { noun: label, article: false };
    if (designators.get(item.kind)?.test(item.name) && !holdsWord(label, item.name)) {
        return { noun: `${label} ${item.name}`, article: /\s/.test(label) };
    }
    return { noun: label, article: !holdsWord(label, item.name) && !endsInDesignator(label) };
}

/** "CB-217 (HYD 2 ISOL VALVE MOTOR A)", "HYD 2 ISOLATION", "the bleed port", "the inboard wheel-well panel 147BL". */
export function thing(item: Named): string {
    const { noun, article } = called(item);
    return article ? `the ${noun}` : noun;
}

/** The same without an article. */
export const noun = (item: Named): string => called(item).noun;

/** A role, a place, a tool or a material in a sentence, by its label: "the flight-deck operator". */
export function the(label: string): string {
    const words = bracketed(lowerFirst(label));
    return endsInDesignator(words) ? words : `the ${words}`;
}

/* ---- texts with references ---- */

/** Before a name these already are the article. */
const determiner = /(^|[\s(“"])(the|a|an|this|each|every|its|new|old|no)\s+$/i;

/** Puts names into a text: `parts` has one entry more than `names`. */
export function fill(
    parts: readonly string[],
    names: readonly { readonly noun: string; readonly thing: string }[],
): string {
    let text = parts[0] ?? '';
    for (const [index, each] of names.entries()) {
        const words = determiner.test(text) ? each.noun : each.thing;
        text += /(^|[.!?]\s+)$/.test(text) ? upperFirst(words) : words;
        text += parts[index + 1] ?? '';
    }
    return text;
}

/* ---- the sentence of each verb ---- */

/** "connectors P1 and P2" where each is called by its kind and a designator; else one after the other. */
function things(items: readonly Named[]): string {
    const kind = items[0]?.kind;
    const start = `${kind} `;
    const nouns = items.map(noun);
    const alike =
        items.length > 1 &&
        items.every(each => each.kind === kind) &&
        nouns.every(each => /^\S+ \S+$/.test(each) && each.startsWith(start) && endsInDesignator(each));
    if (!kind || !alike) return list(items.map(thing));
    return `${kindOf(kind).plural} ${list(nouns.map(each => each.slice(start.length)))}`;
}
const order = (words: string) => (items: readonly Named[]) => `${words} ${things(items)}`;

/** Verbs of one word on one or more things, without the stop at the end. */
const orders: Readonly<Record<string, (items: readonly Named[]) => string>> = {
    pull: order('Pull'),
    close: order('Close'),
    open: order('Open'),
    disconnect: order('Disconnect'),
    connect: order('Connect'),
    remove: order('Remove'),
    clean: order('Clean'),
    apply: order('Apply'),
    tag: order('Tag'),
    untag: items => `Take the ${items.length > 1 ? 'tags' : 'tag'} off ${things(items)}`,
};

export function sayOperate(verb: string, items: readonly Named[], tag: boolean): Sentence {
    const words = (orders[verb] ?? order(upperFirst(verb)))(items);
    return sentence(words, tag ? `, and tag ${items.length > 1 ? 'them' : 'it'}.` : '.');
}

export interface With {
    readonly label: string;
    readonly is: 'spare' | 'material' | 'tool';
    /** Of a spare: the very thing that is installed new, not something that goes in with it. */
    readonly same?: boolean;
}

export function sayInstall(items: readonly Named[], fresh: boolean, with_: readonly With[]): Sentence {
    const what = fresh ? list(items.map(each => `a new ${noun(each)}`)) : things(items);
    const same = with_.filter(each => each.same).map(({ label }) => `spare: ${lowerFirst(label)}`);
    const means = with_
        .filter(each => !each.same)
        .map(({ label, is }) => {
            const words = bracketed(lowerFirst(label));
            return is === 'spare' ? `a new ${words}` : is === 'material' ? words : the(label);
        });
    return sentence(
        `Install ${what}`,
        same.length > 0 ? ` (${same.join('; ')})` : '',
        means.length > 0 ? ` with ${list(means)}.` : '.',
    );
}

export const saySet = (item: Named, state: string): Sentence =>
    sentence(`Set ${thing(item)} to `, expected(state), '.');

export const sayPress = (item: Named, time: string): Sentence =>
    time ? sentence(`Press ${thing(item)} and hold it for ${time}.`) : sentence(`Press ${thing(item)}.`);

export const sayEnsure = (item: Named, state: string, tag: boolean): Sentence =>
    sentence(`Make sure that ${thing(item)} is `, expected(state), tag ? ' and tagged.' : '.');

/** Followed by what is done meanwhile. */
export const sayKeep = (item: Named, state: string, atMost: string): Sentence =>
    sentence(
        `Hold ${thing(item)} `,
        item.kind === 'button' ? '' : 'at ',
        item.kind === 'button' ? 'pressed' : expected(state),
        ` for at most ${atMost}. Meanwhile:`,
    );

/** At the end of what is done meanwhile. */
export const sayRelease = (item: Named, state: string): Sentence =>
    item.kind === 'button'
        ? sentence(`Release ${thing(item)}.`)
        : sentence(`Return ${thing(item)} to `, expected(state), '.');

export const sayClear = (place: string): Sentence => sentence(`Clear ${the(place)} of tools and material.`);
export const sayLeave = (place: string): Sentence => sentence(`Make sure that nobody is in ${the(place)}.`);
export const sayGo = (place: string): Sentence => sentence(`Go to ${the(place)}.`);
export const sayTell = (role: string, words: string): Sentence => sentence(`Tell ${the(role)}: `, quote(`“${words}”`));

export function sayTorque(item: Named, limits: string, tool: string, extension: string): Sentence {
    const means = [...(tool ? [the(tool)] : []), ...(extension ? [`an extension of ${extension}`] : [])];
    return sentence(
        `Torque ${thing(item)}`,
        limits ? ' to ' : '',
        limits ? expected(limits) : '',
        means.length > 0 ? ` with ${list(means)}.` : '.',
    );
}

/**
 * With an extension the wrench shows less than the fastener gets, and how much less depends on the length of the wrench in the
 * hand, which the card cannot know. The rule: FAA AC 43.13-1B, chapter 7; vocabulary/torque.ts computes it.
 */
export function sayReading(limits: string, extension: string): string {
    const example = readingExample(limits, extension);
    return (
        `Keep the extension in line with the wrench. Reading to set = ${limits ? 'limits' : 'torque'} × L ÷ (L + ${extension}), ` +
        `where L is the length of the wrench from its drive to the middle of its grip${example ? ` (for example, ${example})` : ''}.`
    );
}

/** How long a look may take, in the words of the card; empty where it does not say. */
export interface Timing {
    readonly within: string;
    readonly for: string;
    readonly after: string;
}

const check = (timing: Timing): string => (timing.after ? `After ${timing.after}, check that ` : 'Check that ');
const end = (timing: Timing): string =>
    timing.within ? ` within ${timing.within}.` : timing.for ? ` for ${timing.for}.` : '.';

export const saySee = (item: Named, state: string, timing: Timing): Sentence =>
    sentence(check(timing), thing(item), timing.for ? ' stays ' : ' is ', expected(state), end(timing));

export const sayRead = (item: Named, limits: string, timing: Timing): Sentence =>
    sentence(check(timing), thing(item), ' reads ', expected(limits), end(timing));

export const sayMeasure = (item: Named, what: string, limits: string): Sentence =>
    sentence(`Measure the ${what} of ${thing(item)}. Limits: `, expected(limits), '.');

export const sayIf = (item: Named, state: string): Sentence => sentence(`If ${thing(item)} is `, expected(state), ':');
export const sayWait = (time: string): Sentence => sentence(`Wait ${time}.`);
/** `where`: "step 2", "line 2.4". After the last pass nothing more is written. */
export const sayRepeat = (where: string, times: number): Sentence =>
    sentence(`Go back to ${where}. Do this at most ${timesInWords(times)}; if that does not help, stop.`);
const timesInWords = (times: number): string => ['never', 'once', 'twice'][times] ?? `${times} times`;
export const sayLeaveFor = (card: string, label: string): Sentence =>
    sentence(`Leave this card. Continue with ${label && label !== card ? `${card} (${label})` : card}.`);

/** A condition before the start or at the end: "HYD 2 ELEC PUMP is OFF." */
export function saySetting(item: Named, states: readonly string[], atLeast: string): Sentence {
    const all = states.flatMap((state, index) => [
        index > 0 ? (index === states.length - 1 ? ' or ' : ', ') : '',
        expected(state),
    ]);
    return sentence(
        upperFirst(thing(item)),
        atLeast ? ' has been ' : ' is ',
        ...all,
        atLeast ? ` for at least ${atLeast}.` : '.',
    );
}

/** "proves motor A and the isolation valve". */
export const sayProves = (items: readonly Named[]): string =>
    items.length > 0 ? `proves ${list(items.map(thing))}` : '';

/** "Modification 29-14: position lamp added" is called "Modification 29-14". */
export const modificationWords = (name: string, label: string): string => label.split(':')[0]?.trim() || name;

/** "Only with Modification 29-14 and without Modification 29-20." */
export function sayOnly(
    limits: readonly { readonly name: string; readonly label: string; readonly embodied: boolean }[],
): string {
    const words = limits.map(
        each => `${each.embodied ? 'with' : 'without'} ${modificationWords(each.name, each.label)}`,
    );
    return words.length > 0 ? `Only ${list([...new Set(words)])}.` : '';
}
