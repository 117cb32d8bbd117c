import { list } from '../../vocabulary/sentences.js';
import type { CardComparison, Change, Consequence, Verdict } from './comparison.js';

interface Judgement {
    readonly verdict: Verdict;
    readonly says: string;
}

type Unjudged = Omit<CardComparison, 'verdict' | 'says'>;

export function verdictOfCard(card: Unjudged): Judgement {
    if (card.is === 'removed') return { verdict: 'different', says: `Different: card ${card.card} is gone.` };
    const bad = reasons(card, 'worse');
    if (card.is === 'added') {
        const [worst] = bad;
        return worst
            ? { verdict: 'worse', says: ended(`Worse: card ${card.card} is new, and ${worst}`) }
            : { verdict: 'different', says: `Different: card ${card.card} is new.` };
    }
    if (bad[0]) return { verdict: 'worse', says: ended(`Worse: ${bad[0]}${moreErrors(card)}`) };
    const [good] = reasons(card, 'better');
    // What is not known might be worse.
    if (good && card.status.new?.status === 'unknown')
        return { verdict: 'different', says: ended(`Different: ${good}, but ${card.card} is still not known whole`) };
    if (good) return { verdict: 'better', says: ended(`Better: ${good}${besides(card)}`) };
    if (card.changes.length === 0 && card.consequences.length === 0 && !statusDiffers(card))
        return { verdict: 'same', says: `The same: nothing that ${card.card} says or does has changed.` };
    return { verdict: 'different', says: ended(`Different: ${whatDiffers(card)}`) };
}

export function verdictOfAll(cards: readonly CardComparison[], same: number): Judgement {
    const [first] = cards;
    if (!first)
        return {
            verdict: 'same',
            says:
                same === 0
                    ? 'The same: there is no card on either side.'
                    : 'The same: nothing that a card says or does has changed.',
        };
    const others = cards.length - 1;
    const alike = cards.filter(each => each.verdict === first.verdict).length - 1;
    const more =
        others === 0 ? '' : alike > 0 ? `, and ${alike} more ${first.verdict}` : `, and ${others} more changed`;
    // A sentence that names the card already needs no name before it.
    if (others === 0 && first.says.includes(first.card)) return { verdict: first.verdict, says: first.says };
    return { verdict: first.verdict, says: first.says.replace(/^([A-Z][a-z ]*):/, `$1 (${first.card}${more}):`) };
}

/** What speaks for the verdict, the gravest first, each as a clause without a full stop. */
function reasons(card: Unjudged, which: 'worse' | 'better'): string[] {
    const all: { change: Change | undefined; consequence: Consequence }[] = [
        ...card.changes.flatMap(change => change.consequences.map(consequence => ({ change, consequence }))),
        ...card.consequences.map(consequence => ({ change: undefined, consequence })),
    ];
    const of = (kind: Consequence['kind'], severity?: string): string[] =>
        all
            .filter(
                ({ consequence: each }) =>
                    each.kind === kind &&
                    each.effect === which &&
                    (severity === undefined || each.severity === severity),
            )
            .sort((a, b) => symptom(a.consequence) - symptom(b.consequence))
            .map(({ change, consequence }) => clause(change, consequence));
    const guards = card.changes.flatMap(change => {
        const guard = which === 'worse' ? change.lost : change.gained;
        const [follows] = change.consequences.filter(each => each.effect === which && each.kind !== 'time');
        const so = follows ? `, so ${clause(undefined, follows)}` : '';
        return guard ? [`${guarding(change, guard)}${notes(change)}${so}`] : [];
    });
    return [
        ...statusReasons(card, which),
        ...of('finding', 'error'),
        ...guards,
        ...of('time'),
        ...of('failure'),
        ...of('finding', 'warning'),
    ];
}

/** That a look comes out otherwise says that something is wrong, and little of what. */
const symptom = ({ code }: Consequence): number => (code === 'expectation-contradicted' ? 1 : 0);

function statusReasons(card: Unjudged, which: 'worse' | 'better'): string[] {
    const { old, new: now } = card.status;
    const became = which === 'worse' ? now : old;
    const was = which === 'worse' ? old : now;
    if (became?.status !== 'unknown' || was?.status === 'unknown') return [];
    return which === 'worse'
        ? [`${card.card} is no longer known whole, because ${became.why.replace(/\.$/, '')}`]
        : [`${card.card} is known whole again`];
}

const statusDiffers = ({ status }: Unjudged): boolean => status.old?.status !== status.new?.status;

/** What has come of it, and of what. */
function clause(change: Change | undefined, consequence: Consequence): string {
    const said = lowered(enough(bare(consequence)));
    const gone = consequence.kind === 'finding' && consequence.span.new === null;
    const what = gone ? `it is no longer so that ${said}` : said;
    const why = change ? `${clauseOf(change)}${notes(change)}, so ` : '';
    return `${why}${what}${change?.only === consequence.only ? '' : onlyOf(consequence)}`;
}

/** As it goes on after other words. */
const lowered = (text: string): string =>
    text.replace(
        /^(A|An|The|This|That|No|Nobody|Nothing|Every|Before|Between|With|In|On|At|After|What|Where|When) /,
        each => each.toLowerCase(),
    );

/** What is so, without why. */
const brief = (text: string): string => firstSentence(text).replace(/: .*$/, '');

/** The first sentence, and the next one where the first is too short to say what it means. */
function enough(text: string): string {
    const first = firstSentence(text);
    const next = firstSentence(text.slice(first.length + 1).trim());
    // Where it was done stands with the finding.
    return first.length < 60 && next && !/ at line \d/.test(next)
        ? `${first}: ${next.replace(/^(It|A|The|This) /, each => each.toLowerCase())}`
        : first;
}

/** In how many places, and on which aircraft. */
function notes(change: Change): string {
    const also = change.also.length > 0 ? ` (also for ${list(change.also)})` : '';
    return `${change.times > 1 ? ` in ${change.times} places${also}` : ''}${onlyOf(change)}`;
}

/** "the hold “...” is gone", "a look is lost: step “...” is gone". */
function guarding(change: Change, guard: string): string {
    const words = clauseOf(change);
    if (change.how !== 'added' && change.how !== 'removed') return words;
    if (words.startsWith('the ')) return words;
    if (guard === 'look' && words.startsWith('“')) return `the look ${words}`;
    return `a ${guard} is ${change.how === 'removed' ? 'lost' : 'added'}: ${words}`;
}

const onlyOf = ({ only }: { readonly only: string }): string => (only ? ` (${only})` : '');

/** Without the word before the colon that says whether a finding is new. */
const bare = ({ kind, says }: Consequence): string =>
    kind === 'finding' ? says.replace(/^(New|Gone) \w+(, accepted)?: /, '') : says;

/** Up to the first full stop that ends a sentence: not that of "No. 2", and none in quotes. */
export function firstSentence(text: string): string {
    let quotes = 0;
    for (let at = 0; at < text.length; at++) {
        const each = text.charAt(at);
        if (each === '“') quotes++;
        else if (each === '”') quotes--;
        else if (
            each === '.' &&
            quotes === 0 &&
            /^\.($| [A-Z“])/.test(text.slice(at, at + 3)) &&
            !/\bNo$/.test(text.slice(0, at))
        )
            return text.slice(0, at);
    }
    return text;
}

/** "“Close CB-217.” is gone". */
export function clauseOf(change: Change): string {
    const said = firstSentence(change.says);
    const [, word, what] = /^(Gone|New): (.*)$/.exec(said) ?? [];
    const is = word && what ? `${what} is ${word === 'Gone' ? 'gone' : 'new'}` : said;
    return is
        .replace(/^(Hold|Warning|Caution|Note|Stop) (?=“)/, (_, kind: string) => `the ${kind.toLowerCase()} `)
        .replace(
            /^(Step|Rule|Test|Person|Tool|Spare|Material|Condition|Like|What|The|New|Gone|Now|No) (?!\.)/,
            (_, start: string) => `${start.toLowerCase()} `,
        );
}

/** Safety that has changed besides what is better. */
function besides(card: Unjudged): string {
    const other = card.changes.filter(
        each => each.class === 'safety' && !each.gained && !each.consequences.some(one => one.effect === 'better'),
    );
    return other[0]
        ? `; besides, ${clauseOf(other[0])}${other.length > 1 ? `, and ${other.length - 1} more` : ''}`
        : '';
}

function whatDiffers(card: Unjudged): string {
    const [first] = card.changes;
    if (first) {
        const others = card.changes.length - 1;
        const more = others > 0 ? `, and ${others} more ${others === 1 ? 'change' : 'changes'}` : '';
        const found = [...card.changes.flatMap(each => each.consequences), ...card.consequences].some(
            each => each.kind === 'finding',
        );
        const which =
            first.class === 'safety'
                ? `safety (${kindWords(first.kind)})${found ? '' : ', and no check tells whether it is right'}`
                : `only ${list([...new Set(card.changes.map(each => each.class))])}`;
        return `${which}: ${clauseOf(first)}${notes(first)}${more}`;
    }
    const [consequence] = card.consequences;
    if (consequence) return firstSentence(consequence.says).replace(/^./, each => each.toLowerCase());
    const word = (each: string | undefined): string => (each === 'unknown' ? 'not known' : (each ?? 'not there'));
    return `its status is ${word(card.status.new?.status)}; it was ${word(card.status.old?.status)}`;
}

/** How many new errors there are besides the one that is told. */
function moreErrors(card: Unjudged): string {
    const errors = [...card.changes.flatMap(each => each.consequences), ...card.consequences]
        .filter(each => each.kind === 'finding' && each.effect === 'worse' && each.severity === 'error')
        .sort((a, b) => symptom(a) - symptom(b));
    if (errors.length < 2) return '';
    // What is wrong in another way is named; of the same kind there is only more.
    const other = errors.slice(1).find(each => each.code !== errors[0]?.code && symptom(each) === 0);
    const more = errors.length - (other ? 2 : 1);
    const count = `${more} more new ${more === 1 ? 'error' : 'errors'}`;
    if (!other) return `, and ${count}`;
    return `; also, ${lowered(brief(bare(other)))}${more > 0 ? `, and ${count}` : ''}`;
}

/** The kind as a heading would say it. */
export const kindWords = (kind: Change['kind']): string =>
    kind === 'indication'
        ? 'expected indication'
        : kind === 'told'
          ? 'who is told'
          : kind === 'role'
            ? 'who does it'
            : kind;

/** A sentence in quotes has its own full stop. */
const ended = (sentence: string): string => (/[.?!]’?”$/.test(sentence) ? sentence : `${sentence}.`);
