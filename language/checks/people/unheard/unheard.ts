import type { Finding } from '../../../findings/finding.js';
import { calledFrom, placeName, roleName } from '../../../findings/phrases.js';
import { NONE } from '../../../machine/machine.js';
import { CLEAR, type PathState } from '../../../paths/paths.js';
import { placesOf } from '../../../paths/people.js';
import { liesIn } from '../../../paths/places.js';
import { conditionsOf, movementRules, pairsIn, ruleBook, rulesOnAction } from '../../../paths/rules.js';
import type { Event } from '../../../plan/plan.js';
import { lowerFirst } from '../../../vocabulary/sentences.js';
import type { Check, Judged } from '../../check.js';
import { codeOf } from '../../isolation/broken-rules.js';
import { rulings } from '../../rulings.js';

type Tell = Extract<Event, { kind: 'tell' }>;

/** A call that nobody hears, or on which nothing that is done depends. */
export const unheard: Check = {
    code: 'unheard',
    family: 'people',
    severity: 'error',
    title: 'A call that nobody hears, or that guards nothing',
    ofCard,
};

function ofCard(card: Judged): readonly Finding[] {
    const { plan, paths } = card;
    const byLine = new Map<string, Tell[]>();
    for (const event of plan.events) {
        if (event.kind !== 'tell' || !paths.at[event.id]) continue;
        const line = `${event.span.file} ${event.span.offset}`;
        byLine.set(line, [...(byLine.get(line) ?? []), event]);
    }
    if (byLine.size === 0) return [];
    const heeded = heededTells(card);
    const found: Finding[] = [];
    for (const tells of byLine.values()) {
        const lost = tells.flatMap(each => {
            const why = lostOn(card, each);
            return why ? [nobodyHears(card, each, why)] : [];
        });
        if (lost.length > 0) found.push(...lost);
        // What guards something in one call is needed, whatever it does in the others.
        else if (tells.every(each => !heeded.has(each.id) && !isMissed(card, each)))
            found.push(guardsNothing(card, tells[0] as Tell));
    }
    return found;
}

/** Why the call is lost: it goes to the one who calls, or to one who may be at no place. */
function lostOn(card: Judged, tell: Tell): string | undefined {
    const who = roleName(card.plan, tell.to);
    if (tell.to === tell.role) return `${who} calls to ${who} here. Name the one who is to hear it.`;
    const state = card.paths.at[tell.id];
    if (!state || tell.to === NONE || ![...placesOf(state, tell.to)].includes(NONE)) return undefined;
    return `Nobody hears this: ${who} is at no place. Say with "at" where the role is declared where it works.`;
}

/** By call, the pairs of places for which something that is done rests on it. */
function heededTells(card: Judged): ReadonlySet<number> {
    const { machine, plan, paths, traces } = card;
    const book = ruleBook(machine);
    const heeded = new Map<number, Set<number>>();
    const note = (state: PathState | undefined, actor: number, pairs: readonly number[]): void => {
        for (const pair of pairs) {
            const clear = state?.clear[pair * plan.roles.length + actor];
            if (clear?.level !== CLEAR || clear.why !== 'told') continue;
            for (const tell of clear.by) heeded.set(tell, (heeded.get(tell) ?? new Set()).add(pair));
        }
    };
    // Rules on what stands, and on tests, ask for it at any time and of anybody.
    const always = machine.rules.flatMap(({ body }) =>
        body.kind === 'before' ? [] : conditionsOf(body).flatMap(each => pairsIn(book, each)),
    );
    for (const event of plan.events) {
        const state = paths.at[event.id];
        if (!state) continue;
        for (const n of rulesOnAction(book, event, state))
            note(state, event.role, pairsIn(book, book.before[n]?.body.require ?? NEVER));
        if (always.length > 0) for (const role of plan.roles.keys()) note(state, role, always);
    }
    for (const { rule, start } of movementRules(book, plan, traces)) {
        const actor = plan.events[start.root]?.role ?? NONE;
        const pairs = pairsIn(book, book.before[rule]?.body.require ?? NEVER);
        for (const at of [start.root, start.event]) if (actor !== NONE) note(paths.at[at], actor, pairs);
    }
    // Where several are at the place, each may call for the same act: the one before the last counts as well.
    for (const [tell, pairs] of heeded) {
        const event = plan.events[tell];
        for (const pair of event?.kind === 'tell' ? pairs : []) {
            const before = paths.at[tell]?.clear[pair * plan.roles.length + (event as Tell).to];
            if (before?.level !== CLEAR || before.why !== 'told') continue;
            for (const each of before.by)
                if (plan.events[each]?.role !== event?.role)
                    heeded.set(each, (heeded.get(each) ?? new Set()).add(pair));
        }
    }
    const tells = new Set(heeded.keys());
    // Whoever has had hands there must have called before the call of another counts.
    for (const event of plan.events) {
        const hands = event.kind === 'tell' ? paths.at[event.id]?.hands[event.role] : undefined;
        if (!hands || hands.size === 0 || tells.has(event.id)) continue;
        for (const [later, pairs] of heeded) {
            if (later <= event.id || plan.events[later]?.role === event.role) continue;
            const from = [...pairs].map(each => book.pairs[each]?.from ?? NONE);
            if ([...hands.keys()].some(place => from.some(each => liesIn(machine, place, each)))) tells.add(event.id);
        }
    }
    return tells;
}

const NEVER = { op: 'or', of: [] } as const;

/** Something is done without the call that was perhaps meant, later or in the same step: that is told there, once. */
function isMissed(card: Judged, tell: Tell): boolean {
    const { machine, paths } = card;
    const stands = [...(paths.at[tell.id]?.stands[tell.role] ?? [])];
    return rulings(card).some(each => {
        const { atom } = each.broken;
        if (codeOf(each) !== 'not-told' || atom.op !== 'told') return false;
        if (each.event.id < tell.id && each.event.step !== tell.step) return false;
        return each.event.role === tell.to || stands.some(place => liesIn(machine, place, atom.from));
    });
}

const nobodyHears = (card: Judged, tell: Tell, message: string): Finding => ({
    ...about(card, tell),
    severity: 'error',
    message,
});

function guardsNothing(card: Judged, tell: Tell): Finding {
    const { machine, plan, paths } = card;
    const place = [...(paths.at[tell.id]?.stands[tell.role] ?? [])].find(each => each !== NONE) ?? NONE;
    const from = place === NONE ? '' : ` at ${placeName(machine, place)}`;
    return {
        ...about(card, tell),
        severity: 'information',
        message: `Nothing that ${lowerFirst(roleName(plan, tell.to))} does rests on this call: no rule of the equipment asks for a call from ${lowerFirst(roleName(plan, tell.role))}${from} before it, or another call has taken its place. If it guards something, write the rule; else it may go.`,
    };
}

function about(card: Judged, tell: Tell): Omit<Finding, 'message' | 'severity'> {
    const { plan } = card;
    return {
        code: 'unheard',
        span: tell.span,
        card: plan.card,
        about: [plan.roles[tell.role]?.name ?? '', plan.roles[tell.to]?.name ?? ''],
        related: calledFrom(tell),
        fixes: [],
        cause: `${tell.span.file} ${tell.span.offset}`,
    };
}
