import type { Finding, Fix } from '../../../findings/finding.js';
import { calledFrom, changedHere, didWhat, lineOf, roleName, thing } from '../../../findings/phrases.js';
import { NONE } from '../../../machine/machine.js';
import { isAlreadySo } from '../../../paths/rules.js';
import type { Event } from '../../../plan/plan.js';
import { kindOf } from '../../../vocabulary/kinds/index.js';
import type { Check, Judged } from '../../check.js';
import { fix, insertBefore, itemThere, laterInBlock, moveBefore, replace, roleThere, written } from '../../edits.js';

/** A tag is taken off by another than hung it, or what hangs under it is operated with the tag on. */
export const tagRemovedByAnother: Check = {
    code: 'tag-removed-by-another',
    family: 'isolation',
    severity: 'error',
    title: 'A tag is taken off by another than hung it, or not at all before the control is used',
    ofCard: card => card.plan.events.flatMap(event => [...byAnother(card, event), ...underTag(card, event)]),
};

/** The events that may have hung the tag that hangs there now. */
function hungBy(card: Judged, event: Event): readonly Event[] {
    const { machine, plan, paths } = card;
    const facts = paths.at[event.id]?.facts[machine.items[event.item]?.slot ?? NONE] ?? [];
    const by = new Set(facts.flatMap(each => (each.tagged ? each.tagBy : [])));
    return [...by].flatMap(each => plan.events[each] ?? []);
}

/** Closing a breaker takes its tag off. */
function takesOff(card: Judged, event: Event): boolean {
    const item = card.machine.items[event.item];
    if (event.kind === 'tag') return event.verb === 'untag';
    return (
        event.kind === 'operate' &&
        item?.kind === 'breaker' &&
        event.slot === item.slot &&
        item.states[event.state] === kindOf('breaker').on
    );
}

function byAnother(card: Judged, event: Event): readonly Finding[] {
    const { plan } = card;
    if (!takesOff(card, event)) return [];
    const other = hungBy(card, event).find(each => each.role !== event.role);
    if (!other) return [];
    const hand = roleName(plan, other.role);
    return [
        finding(
            card,
            event,
            other,
            `${thing(card.machine, event.item)} is ${didWhat(event)} by the ${roleName(plan, event.role).toLowerCase()}, and its tag was hung by the ${hand.toLowerCase()} at line ${lineOf(other)}. Whoever hung a tag takes it off.`,
            otherHand(card, event, other),
        ),
    ];
}

/** The same done by the one who hung the tag. */
function otherHand(card: Judged, event: Event, other: Event): readonly Fix[] {
    const role = roleThere(card, event, other.role);
    const actor = /^[^\s:"]+(?=\s*:)/.exec(written(card, event.statement))?.[0];
    if (!role || !actor) return [];
    const { file, offset } = event.statement;
    return [fix(`Let ${role} do it`, replace(card, file, offset, offset + actor.length, role))];
}

function underTag(card: Judged, event: Event): readonly Finding[] {
    const state = card.paths.at[event.id];
    const kind = card.machine.items[event.item]?.kind;
    if (!state || (kind !== 'control' && kind !== 'button')) return [];
    const moves = event.kind === 'operate' || event.kind === 'press' || event.kind === 'keep-start';
    if (!moves || event.slot !== card.machine.items[event.item]?.slot || isAlreadySo(event, state)) return [];
    const [tag] = hungBy(card, event);
    if (!tag) return [];
    const role = roleThere(card, event, tag.role);
    const name = itemThere(card, event, event.item);
    const later = laterInBlock(
        card,
        event,
        each => each.kind === 'tag' && each.verb === 'untag' && each.item === event.item && each.role === tag.role,
    );
    const moved = later && moveBefore(card, later.statement, event.statement);
    return [
        finding(
            card,
            event,
            tag,
            `${thing(card.machine, event.item)} is ${didWhat(event)} while a tag hangs on it, from line ${lineOf(tag)}. Take the tag off first.`,
            role && name
                ? [
                      fix(`Untag ${name} first`, insertBefore(card, event.statement, [`${role}: untag ${name}`])),
                      ...(moved ? [fix(`Untag ${name} first`, ...moved)] : []),
                  ]
                : [],
            // However often it is used under the tag.
            `under ${tag.key}`,
        ),
    ];
}

function finding(
    card: Judged,
    event: Event,
    tag: Event,
    message: string,
    fixes: readonly Fix[],
    cause = event.key,
): Finding {
    return {
        code: 'tag-removed-by-another',
        severity: 'error',
        span: event.span,
        card: card.plan.card,
        about: [card.machine.items[event.item]?.name ?? ''],
        message,
        related: [...calledFrom(event), ...changedHere(card.plan, [tag.id], event.id, 'tagged')],
        fixes,
        cause,
    };
}
