import type { JudgedCard, Report } from '../../check.js';
import type { CardStatus, Finding } from '../../findings/finding.js';
import { NONE } from '../../machine/machine.js';
import type { Plan } from '../../plan/plan.js';
import { attributed, type Merged, merged } from './bringing.js';
import { classOf, kinds } from './classes.js';
import type { CardComparison, Change, Comparison, Consequence, Marks, Sides } from './comparison.js';
import { changesOfFailures } from './failures.js';
import type { Found } from './found.js';
import { marksOf, noMarks } from './marks.js';
import { matched } from './matching.js';
import { noRenames, renamesBetween, Side } from './names.js';
import { Interned, treeOf } from './nodes.js';
import { changesOfLines } from './of-card.js';
import { changesOfEquipment } from './of-equipment.js';
import { changesOfFindings } from './of-findings.js';
import { changesOfHead } from './of-head.js';
import { changesOfOpen } from './open.js';
import { changesOfTimes, type Effect, plainConsequence } from './times.js';
import { verdictOfAll, verdictOfCard } from './verdict.js';

export type Compared = Pick<Report, 'findings' | 'cards' | 'judged'>;

/** What becomes of the cards when the new texts take the place of the old ones. */
export function compare(old: Compared, now: Compared): Comparison {
    const unread = unreadable(old, now);
    if (unread) return { verdict: 'unknown', says: unread, cards: [], same: 0 };
    const cards: CardComparison[] = [];
    let same = 0;
    for (const { old: was, new: is } of pairsOf(old, now)) {
        const compared = was && is ? compareCard(was, is) : oneSided(was, is);
        if (compared.verdict === 'same') same++;
        else cards.push(compared);
    }
    const rank = ['unknown', 'worse', 'different', 'better', 'same'];
    cards.sort((a, b) => rank.indexOf(a.verdict) - rank.indexOf(b.verdict));
    return { ...verdictOfAll(cards, same), cards, same };
}

/** A side that does not parse is compared with nothing: what could not be read might be what changed. */
function unreadable(old: Compared, now: Compared): string {
    for (const [side, { findings }] of [
        ['old', old],
        ['new', now],
    ] as const) {
        const broken = findings.find(each => each.code === 'syntax');
        if (broken)
            return `Not known: the ${side} side does not parse (${broken.span.file}, line ${broken.span.line}: ${broken.message.replace(/\.$/, '')}).`;
    }
    return '';
}

/** One card on one side, in all its variants. */
interface Whole {
    readonly status: CardStatus;
    readonly variants: readonly JudgedCard[];
    readonly findings: readonly Finding[];
}

function wholes(side: Compared): Whole[] {
    return side.cards.map(status => {
        const variants = side.judged.filter(({ plan }) => plan.card === status.name && plan.file === status.file);
        const files = new Set(variants.flatMap(filesOf));
        const findings = side.findings.filter(
            each => each.card === status.name || (each.card === undefined && files.has(each.span.file)),
        );
        return { status, variants, findings };
    });
}

function filesOf({ plan, machine }: JudgedCard): string[] {
    const files = new Set([plan.file]);
    for (const event of plan.events) files.add(event.span.file);
    for (const each of [...machine.items, ...machine.places, ...machine.rules]) files.add(each.span.file);
    return [...files];
}

/** Cards of one name are one card; of several by one name those whose files are most alike. What is left is one card by its title. */
function pairsOf(old: Compared, now: Compared): Sides<Whole>[] {
    const [was, is] = [wholes(old), wholes(now)];
    const pairs: Sides<Whole>[] = [];
    const left = new Set(is);
    const open = new Set(was);
    const take = (fits: (one: Whole, two: Whole) => boolean): void => {
        for (const one of was) {
            if (!open.has(one)) continue;
            const others = [...left].filter(two => fits(one, two));
            const two = others.sort((a, b) => nearness(one, b) - nearness(one, a))[0];
            if (!two) continue;
            open.delete(one);
            left.delete(two);
            pairs.push({ old: one, new: two });
        }
    };
    const name = ({ status }: Whole): string => status.name;
    take((one, two) => name(one) === name(two) && one.status.file === two.status.file);
    take((one, two) => name(one) === name(two));
    take((one, two) => one.status.label !== '' && one.status.label === two.status.label);
    return [
        ...pairs,
        ...[...open].map(each => ({ old: each, new: null })),
        ...[...left].map(each => ({ old: null, new: each })),
    ];
}

function nearness(one: Whole, two: Whole): number {
    const [a, b] = [one, two].map(each => each.status.file.split('/').reverse()) as [string[], string[]];
    let n = 0;
    while (n < a.length && a[n] === b[n]) n++;
    return n;
}

function oneSided(was: Whole | null, is: Whole | null): CardComparison {
    const { status, variants, findings } = (is ?? was) as Whole;
    const plan = variants[0]?.plan;
    const sides = <T>(value: T): Sides<T> => ({ old: was ? value : null, new: is ? value : null });
    const effects = is ? changesOfFindings([], findings, name => name) : [];
    const card: Omit<CardComparison, 'verdict' | 'says'> = {
        card: status.name,
        label: status.label,
        is: is ? 'added' : 'removed',
        status: sides(status),
        minutes: sides(plan ? minutesOf(plan) : 0),
        persons: sides(plan ? plan.roles.length : 0),
        changes: [],
        consequences: effects.map(each => each.consequence),
        marks: noMarks,
    };
    return { ...card, ...verdictOfCard(card) };
}

function compareCard(was: Whole, is: Whole): CardComparison {
    const pairs = variantPairs(was, is);
    const perVariant = pairs.map(({ old, new: now }) => ({
        ...(sameText(old, now) ? { changes: [], effects: [], marks: noMarks } : compareVariant(old, now)),
        embodied: embodiedIn(now.plan),
    }));
    const changes = merged(perVariant);
    const [one, two] = [was.variants[0], is.variants[0]];
    const renames = one && two ? renamesBetween(one, two) : noRenames;
    const findings = changesOfFindings(was.findings, is.findings, name => renames.items.get(name) ?? name);
    const { told, rest } = attributed(changes, perVariant, findings);
    const minutes = { old: one ? minutesOf(one.plan) : null, new: two ? minutesOf(two.plan) : null };
    const persons = { old: one ? one.plan.roles.length : null, new: two ? two.plan.roles.length : null };
    const card: Omit<CardComparison, 'verdict' | 'says'> = {
        card: is.status.name,
        label: is.status.label,
        is: 'on-both-sides',
        status: { old: was.status, new: is.status },
        minutes,
        persons,
        changes: told.map(changeOf).sort(byWeight),
        consequences: [...rest, ...effort(minutes, persons)],
        marks: allMarks(perVariant.map(each => each.marks)),
    };
    // What is not known of a text is the same of the same text.
    const asItWas = pairs.length > 0 && pairs.every(({ old, new: now }) => sameText(old, now));
    const unknown = asItWas ? '' : notWhole(was, 'old') || notWhole(is, 'new');
    return unknown ? { ...card, verdict: 'unknown', says: unknown } : { ...card, ...verdictOfCard(card) };
}

const sameText = (old: JudgedCard, now: JudgedCard): boolean =>
    old.digest() === now.digest() && embodiedIn(old.plan).join() === embodiedIn(now.plan).join();

const embodiedIn = (plan: Plan): string[] =>
    plan.variant.modifications.filter(each => each.embodied).map(each => each.name);

/** Parts that could not be taken in might be what changed. */
function notWhole({ status, variants }: Whole, side: string): string {
    const why = variants.flatMap(({ plan, machine }) => [...plan.unknown, ...machine.unknown])[0];
    if (variants.length === 0 || why !== undefined)
        return `Not known: ${status.name} is not known whole on the ${side} side: ${(why ?? status.why).replace(/\.$/, '')}.`;
    return '';
}

/** Each new variant with the old one that is like it in the modifications that both sides know, and the other way round. */
function variantPairs(was: Whole, is: Whole): { old: JudgedCard; new: JudgedCard }[] {
    const agree = (a: Plan, b: Plan): boolean =>
        a.variant.modifications.every(one => {
            const other = b.variant.modifications.find(each => each.name === one.name);
            return !other || other.embodied === one.embodied;
        });
    const pairs: { old: JudgedCard; new: JudgedCard }[] = [];
    const met = new Set<JudgedCard>();
    for (const now of is.variants) {
        const old = was.variants.find(each => agree(each.plan, now.plan));
        if (!old) continue;
        met.add(old);
        pairs.push({ old, new: now });
    }
    for (const old of was.variants) {
        const now = met.has(old) ? undefined : is.variants.find(each => agree(old.plan, each.plan));
        if (now) pairs.push({ old, new: now });
    }
    return pairs;
}

function allMarks(all: readonly Marks[]): Marks {
    const union = (of: (each: Marks) => readonly string[]): string[] => [...new Set(all.flatMap(of))];
    return {
        keys: union(each => each.keys),
        alerts: union(each => each.alerts),
        steps: union(each => each.steps),
        parts: union(each => each.parts),
    };
}

function compareVariant(old: JudgedCard, now: JudgedCard): { changes: Found[]; effects: Effect[]; marks: Marks } {
    const interned = new Interned();
    const sides = { old: new Side(old, renamesBetween(old, now)), new: new Side(now, noRenames) };
    const [one, two] = [treeOf(sides.old, interned), treeOf(sides.new, interned)];
    const trees = { old: [...one.alerts, ...one.steps], new: [...two.alerts, ...two.steps] };
    const matching = matched(trees.old, trees.new, sides, interned);
    const lines = changesOfLines(trees.old, trees.new, matching, sides);
    const changes = [...lines, ...changesOfHead(sides), ...changesOfEquipment(sides)];
    const effects = [
        ...changesOfTimes(lines, trees, matching, sides),
        ...changesOfOpen(lines, trees, matching, sides),
        ...changesOfFailures(sides),
    ];
    return { changes, effects, marks: marksOf(trees, matching, sides, changes) };
}

function changeOf({ found, times, also, only, consequences }: Merged): Change {
    const { kind, how, says, where, span, lost, gained, about } = found;
    return { class: classOf(kind), kind, how, says, where, span, times, also, only, lost, gained, about, consequences };
}

function byWeight(a: Change, b: Change): number {
    const bad = (each: Change): number => (each.consequences.some(one => one.effect === 'worse') ? 0 : 1);
    return bad(a) - bad(b) || kinds.indexOf(a.kind) - kinds.indexOf(b.kind);
}

/** What the steps take, in minutes. Where a step does not say, the steps of a card done in it may. */
export function minutesOf(plan: Plan): number {
    const inside = (outer: number): number =>
        plan.steps.reduce(
            (sum, step, n) => (step.within === outer ? sum + (step.takes > 0 ? step.takes : inside(n)) : sum),
            0,
        );
    return Math.round(inside(NONE) / 60);
}

function effort(minutes: Sides<number>, persons: Sides<number>): Consequence[] {
    const found: Consequence[] = [];
    const say = (kind: 'minutes' | 'persons', { old, new: now }: Sides<number>, one: string, many: string): void => {
        if (old === null || now === null || old === now) return;
        const much = `${Math.abs(now - old)} ${Math.abs(now - old) === 1 ? one : many} ${now > old ? 'more' : kind === 'minutes' ? 'less' : 'fewer'}`;
        found.push({
            ...plainConsequence,
            kind,
            effect: 'different',
            says: `The card takes ${much}: ${now}, not ${old}.`,
        });
    };
    say('minutes', minutes, 'minute', 'minutes');
    say('persons', persons, 'person', 'persons');
    return found;
}
