import type { Finding, Fix } from '../../findings/finding.js';
import { calledFrom, didWhat, lineOf, placeName, roleName, ruleSays, thing } from '../../findings/phrases.js';
import { NONE } from '../../machine/machine.js';
import type { Clear } from '../../paths/paths.js';
import { placesOf } from '../../paths/people.js';
import { liesIn } from '../../paths/places.js';
import type { Event } from '../../plan/plan.js';
import { list, lowerFirst } from '../../vocabulary/sentences.js';
import type { Judged } from '../check.js';
import { fix, inCard, insertBefore, moveBefore, roleThere, statementInCard } from '../edits.js';
import { codeOf } from '../isolation/broken-rules.js';
import { aboutOf, type Ruling, rulings } from '../rulings.js';

/** A role acts, or sets something moving, without having been told from where hands may be. */
export function notTold(card: Judged): readonly Finding[] {
    const found = new Map<string, Finding>();
    for (const ruling of rulings(card)) {
        const { atom } = ruling.broken;
        if (codeOf(ruling) !== 'not-told' || atom.op !== 'told') continue;
        // All rules on one action share one clearance: one missing call is one finding.
        const key = `${ruling.event.key} ${atom.to} ${atom.from}`;
        if (!found.has(key)) found.set(key, finding(card, ruling, atom, key));
    }
    return [...found.values()];
}

type Told = { readonly to: number; readonly from: number };

function finding(card: Judged, ruling: Ruling, told: Told, key: string): Finding {
    const { machine, plan } = card;
    const { event, how, broken, rule } = ruling;
    const subject =
        how.kind === 'movement'
            ? `${thing(machine, how.item)} moves`
            : `${thing(machine, event.item)} is ${didWhat(event)}`;
    const who = event.role === NONE ? 'anybody' : `the ${lowerFirst(roleName(plan, event.role))}`;
    const from = placeName(machine, told.from);
    return {
        code: 'not-told',
        severity: 'error',
        span: event.span,
        card: plan.card,
        about: [...new Set([...aboutOf(card, ruling), machine.places[told.from]?.name ?? ''])],
        message: `${subject}, but nobody at ${from} has told ${who} that it is clear${reason(card, broken.clear)}.${ruleSays(rule)}`,
        related: [
            ...calledFrom(event),
            ...(broken.clear?.by ?? []).flatMap(each => {
                const cause = plan.events[each];
                return cause && cause !== event
                    ? [{ span: cause.span, message: because(broken.clear?.why) }, ...calledFrom(cause)]
                    : [];
            }),
            { span: rule.span, message: `Rule ${rule.name} stands here` },
        ],
        fixes: fixes(card, event, told),
        cause: key,
    };
}

/** What has taken the clearance away, as the end of a sentence. */
function reason(card: Judged, clear: Clear | undefined): string {
    const { plan } = card;
    const events = (clear?.by ?? []).flatMap(each => (each === NONE ? [] : [plan.events[each] as Event]));
    const lines = list([...new Set(events.map(each => `line ${lineOf(each)}`))].slice(0, 3));
    if (events.length === 0) return '';
    const roles = list([...new Set(events.map(each => roleName(plan, each.role)))]);
    switch (clear?.why) {
        case 'worked':
            return `: ${roles} worked there at ${lines} and nobody called since`;
        case 'came':
            return `: ${roles} came there at ${lines} and nobody called since`;
        case 'owes':
            return `: ${roles} worked there at ${lines} and has not called`;
        case 'spent':
            return `: what was called has been used up at ${lines}`;
        case 'test-over':
            return ': what was called was for the test before';
        default:
            return '';
    }
}

function because(why: Clear['why'] | undefined): string {
    switch (why) {
        case 'worked':
            return 'Worked there here';
        case 'came':
            return 'Came there here';
        case 'owes':
            return 'Worked there here, and has not called since';
        case 'spent':
            return 'Used up here';
        case 'test-over':
            return 'The test ends here';
        default:
            return 'Called here';
    }
}

/** A call just before: from the one who is there, and, where several have their hands there, from each. */
function fixes(card: Judged, event: Event, told: Told): readonly Fix[] {
    const { machine, plan, paths } = card;
    const state = paths.at[event.id];
    if (!state || event.role === NONE) return [];
    const there = plan.roles.flatMap((_, role) =>
        role !== event.role &&
        [...placesOf(state, role)].every(each => each !== NONE && liesIn(machine, each, told.from))
            ? [role]
            : [],
    );
    const busy = there.filter(role => (state.hands[role]?.size ?? 0) > 0);
    const found: Fix[] = [];
    const offer = (tellers: readonly number[], inner: boolean): void => {
        const name = (role: number): string | undefined =>
            inner ? roleThere(card, event, role) : plan.roles[role]?.name;
        const lines = tellers.map(each => `${name(each)}: tell ${name(event.role)} "Clear."`);
        if (tellers.length === 0 || tellers.some(each => !name(each)) || !name(event.role)) return;
        const span = inner ? event.statement : statementInCard(event);
        if (!inner && !inCard(card, span)) return;
        found.push(
            fix(`Let ${list(tellers.map(each => roleName(plan, each)))} call first`, insertBefore(card, span, lines)),
        );
    };
    for (const inner of event.calls.length > 0 ? [true, false] : [true]) {
        if (busy.length > 0) offer(busy, inner);
        for (const one of there) if (busy.length !== 1 || busy[0] !== one) offer([one], inner);
    }
    return [...found, ...calledThen(card, event, there)];
}

/** The call that comes too early or too late, moved to just before the act: a second one would leave the first without a use. */
function calledThen(card: Judged, event: Event, there: readonly number[]): readonly Fix[] {
    const { plan } = card;
    const calls = ({ calls }: Event): string => calls.map(each => `${each.span.file} ${each.span.offset}`).join(' ');
    const near = plan.events.filter(
        each =>
            each.kind === 'tell' &&
            each.to === event.role &&
            each.step === event.step &&
            there.includes(each.role) &&
            calls(each) === calls(event),
    );
    return [near.findLast(each => each.id < event.id), near.find(each => each.id > event.id)].flatMap(tell => {
        const edits = tell && moveBefore(card, tell.statement, event.statement);
        return edits ? [fix(`Move the call of line ${tell.span.line} to just before it`, ...edits)] : [];
    });
}
