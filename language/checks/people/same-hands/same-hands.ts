import type { Finding } from '../../../findings/finding.js';
import { calledFrom, didWhat, lineOf, roleName, thing } from '../../../findings/phrases.js';
import { NONE } from '../../../machine/machine.js';
import { isIn } from '../../../paths/places.js';
import { handsOn, isAlreadySo } from '../../../paths/rules.js';
import type { Event } from '../../../plan/plan.js';
import type { Check, Judged } from '../../check.js';

/** One and the same role works on both of a pair that the equipment wants in different hands. */
export const sameHands: Check = {
    code: 'same-hands',
    family: 'people',
    severity: 'error',
    title: 'One role works on both of a pair that is for different hands',
    ofCard: card => card.machine.pairs.flatMap(pair => card.plan.roles.flatMap((_, role) => ofRole(card, pair, role))),
};

/** For the ways that lead to an event: on some of them the role has worked on the one, on some on the other; by which event. NONE: on none of them. */
interface Ways {
    readonly one: number;
    readonly other: number;
}

function ofRole(card: Judged, pair: readonly [number, number], role: number): readonly Finding[] {
    const { plan, paths } = card;
    const [a, b] = pair;
    const at: (Ways | undefined)[] = [{ one: NONE, other: NONE }];
    for (const event of plan.events) {
        const ways = at[event.id];
        at[event.id] = undefined;
        if (!ways || !paths.at[event.id]) continue;
        const onOne = worksOn(card, event, role, a);
        const onOther = worksOn(card, event, role, b);
        if (onOne && onOther) return [finding(card, role, [a, b], event, event)];
        if (onOne && ways.other !== NONE) return [finding(card, role, [b, a], plan.events[ways.other] as Event, event)];
        if (onOther && ways.one !== NONE) return [finding(card, role, [a, b], plan.events[ways.one] as Event, event)];
        const after: Ways = {
            one: onOne ? event.id : ways.one,
            other: onOther ? event.id : ways.other,
        };
        for (const next of new Set([event.next, event.other])) {
            if (next === NONE) continue;
            const there = at[next];
            at[next] = there
                ? {
                      one: there.one === NONE ? after.one : there.one,
                      other: there.other === NONE ? after.other : there.other,
                  }
                : after;
        }
    }
    return [];
}

/** The role has its hands on the thing or on something in it. Tags and letting go are no work. */
function worksOn(card: Judged, event: Event, role: number, item: number): boolean {
    const state = card.paths.at[event.id];
    if (event.role !== role || !state || event.kind === 'tag' || event.kind === 'keep-end') return false;
    return !isAlreadySo(event, state) && handsOn(event).some(each => isIn(card.machine, each, item));
}

function finding(card: Judged, role: number, [first, second]: readonly [number, number], before: Event, event: Event) {
    const { machine, plan } = card;
    const who = roleName(plan, role);
    return {
        code: 'same-hands',
        severity: 'error',
        span: event.span,
        card: plan.card,
        about: [plan.roles[role]?.name ?? '', machine.items[first]?.name ?? '', machine.items[second]?.name ?? ''],
        message:
            before === event
                ? `${who} works here on ${thing(machine, first)} and ${thing(machine, second)} alike, and the equipment pairs the two: like work on them is for different hands. Let somebody else do one of them.`
                : `${who} works here on ${thing(machine, second)}, and at line ${lineOf(before)} on ${thing(machine, first)}. The equipment pairs the two: like work on them is for different hands. Let somebody else do one of them.`,
        related: [
            ...calledFrom(event),
            ...(before === event
                ? []
                : [
                      { span: before.span, message: `${thing(machine, first)} is ${didWhat(before)} here` },
                      ...calledFrom(before),
                  ]),
        ],
        fixes: [],
        cause: `${first < second ? `${first} ${second}` : `${second} ${first}`} ${role}`,
    } satisfies Finding;
}
