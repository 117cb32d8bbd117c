import type { Expected, Filled } from '../../../language/grammar/expected.js';
import { NONE } from '../../../language/machine/machine.js';
import { reach } from '../../../language/paths/places.js';
import { kindOf } from '../../../language/vocabulary/kinds/index.js';
import type { Proposal } from './proposal.js';
import { actorOf, filledIn, type Situation } from './situation.js';

/** Verbs in the order in which writers need them. */
const verbs =
    'see set tell close pull remove install disconnect connect open read ensure clean torque press measure clear keep go apply tag untag leave'.split(
        ' ',
    );
/** What begins a part of a card, in the order of a card's head. */
const heads = 'step test uses applies revision role tool spare material start finish after where accept warning'.split(
    ' ',
);
/** Of these a card has one. */
const once = new Set(['uses', 'applies', 'revision', 'start', 'finish']);
/** Kinds in the order in which an equipment is written: from where things are and what feeds them to what can be seen. */
const kinds =
    'place panel door control button source breaker relay unit connector lead seal fastener lock pin cap cover plug chock level sensor timer motor mechanism valve port area stimulus light gauge horn mark flow fails pair rule where'.split(
        ' ',
    );
/** Words that continue a line, the likeliest first; on a new line they come last. */
const continuing =
    'is to and or when for otherwise at from require normal positions in with within of on carries wets new told not live rated wire grid torque keyed holds behind range part quantity independent dated takes else record after moves because uses inspected measured thread most least as plays'.split(
        ' ',
    );

export function keyword(
    situation: Situation,
    { word: text, type, filled }: Extract<Expected, { kind: 'keyword' }>,
): Proposal[] {
    if (!/^[a-z]/.test(text))
        return text === '{' ? [{ text, kind: 'keyword', detail: 'opens the block', rank: 35 }] : [];
    const verb = verbs.indexOf(text);
    const isVerb = verb >= 0 && actorOf(filled) !== undefined && /:\s*$/.test(situation.line);
    if (isVerb) return [{ text, kind: 'verb', detail: '', rank: 20 + verbRank(situation, text, verb) }];
    // Words that no card should hold: what the grammar reads only to say that it is wrong.
    if (type === 'UnknownAction' || text === 'meanwhile') return [];
    const rank = isTrigger(type) ? triggerRank(situation, text) : wordRank(situation, text, type, filled);
    return [{ text, kind: 'keyword', detail: '', rank }];
}

const isTrigger = (type: string): boolean => type === 'VerbTrigger' || type === 'WorkTrigger';

/** What begins something comes first where something begins, what continues a line comes first on it. */
function wordRank(situation: Situation, text: string, type: string, filled: Filled | undefined): number {
    const { isStart, recent } = situation;
    const follows = continuing.indexOf(text);
    if (!isStart) {
        // A condition begins with a name more often than with a word, but one of these is often due.
        if (['told', 'someone', 'nobody', 'not'].includes(text))
            return /require\s*$/.test(situation.line)
                ? 10 + ['told', 'not', 'someone', 'nobody'].indexOf(text) / 100
                : 10.45;
        if (text === 'new') return 9;
        return follows >= 0 ? 3 + follows / 100 : 40 + kinds.indexOf(text) / 100;
    }
    const kind = kinds.indexOf(text);
    const last = filledIn(filled, 'Item', 'kind')?.word;
    const isOfEquipment = type === 'Item' || ['Place', 'Rule', 'Fails', 'Pair', 'WhereParts'].includes(type);
    if (isOfEquipment) return 20 + kindRank(text, kind, lastKind(situation, last), recent);
    const head = heads.indexOf(text);
    if (head >= 0 && !['Alert', 'Accept', 'WhereStatements'].includes(type)) {
        const isThere = once.has(text) && recent.has(text);
        const hasSteps = /^\s*(step|test) /m.test(situation.at.document.getText().slice(0, situation.offset));
        // Steps come after the head of the card, and then only steps.
        const isStep = text === 'step' || text === 'test';
        return 21 + head / 100 + (isThere ? 1 : 0) + (isStep !== hasSteps ? 0.5 : 0);
    }
    return follows >= 0 ? 45 + follows / 100 : 22;
}

/** What the last line of an equipment is: where it is no item, the word that it begins with. */
function lastKind({ at, here }: Situation, item: string | undefined): string | undefined {
    const before = at.document.getText().slice(0, here.from);
    const starts = [...before.matchAll(/^[ \t]*(?:where .*\{[ \t]*)?([a-z]+)/gm)].map(each => each[1] ?? '');
    return starts.findLast(each => kinds.includes(each)) ?? item;
}

/** The same again, then what comes next in the order of an equipment, and between them what was written lately. */
function kindRank(text: string, kind: number, last: string | undefined, recent: ReadonlyMap<string, number>): number {
    const from = last === undefined ? -1 : kinds.indexOf(last);
    const ahead = kind >= from ? kind - from : kinds.length + kind - from;
    const age = recent.get(text);
    return Math.min(ahead, age === undefined ? 99 : 1 + age / 6) / 100;
}

/** Rules speak of the verbs that suit the things of the equipment; after a comma, of the same verb again. */
function triggerRank({ line, project, standing }: Situation, text: string): number {
    const again = /\b([a-z]+) [\w-]+,\s*$/.exec(line)?.[1];
    if (text === again) return 7;
    const there = [...project.scopes.visibleFrom(standing)].some(({ node }) => {
        const { kind } = node as { kind?: string };
        if (node.$type !== 'Item' || kind === undefined) return false;
        if (text === 'set') return kind === 'control';
        if (text === 'press') return kind === 'button';
        return kindOf(kind).verbs.some(each => each.word === text);
    });
    const order = 'work set remove open connect close install press apply torque disconnect pull clean measure'.split(
        ' ',
    );
    return (there || text === 'work' ? 8 : 11) + order.indexOf(text) / 100;
}

/** What this role can do something with, here, comes before what it cannot. */
function verbRank(situation: Situation, text: string, order: number): number {
    const { card, last, here } = situation;
    const role = actorOf(here.expected[0]?.filled);
    if (!card || !last || role === undefined) return order / 100;
    const { machine, plan, paths } = card;
    const state = paths.at[last.id];
    const index = plan.roles.findIndex(each => each.name === role);
    if (!state || index < 0) return order / 100;
    const fits = machine.items.some(
        item =>
            (text === 'set'
                ? item.kind === 'control'
                : text === 'press'
                  ? item.kind === 'button'
                  : kindOf(item.kind).verbs.some(each => each.word === text)) &&
            (item.place === NONE || reach(machine, state, index, item.place).ok),
    );
    const needsItem = !['see', 'tell', 'read', 'clear', 'go', 'measure', 'keep', 'ensure', 'torque', 'leave'].includes(
        text,
    );
    return order / 100 + (fits || !needsItem ? 0 : 1);
}
