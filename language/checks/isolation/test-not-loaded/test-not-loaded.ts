import type { Condition } from '../../../conditions/condition.js';
import type { Finding } from '../../../findings/finding.js';
import { calledFrom, changedAt, changedHere, ruleSays, thing } from '../../../findings/phrases.js';
import { type Machine, NONE } from '../../../machine/machine.js';
import { type Broken, brokenParts } from '../../../paths/judge.js';
import { expanded, isOfActions } from '../../../paths/live.js';
import { isIn } from '../../../paths/places.js';
import type { Event } from '../../../plan/plan.js';
import type { Check, Judged } from '../../check.js';
import { bringAboutBefore } from '../../edits.js';
import { lackSaid } from '../broken-rules.js';

/** What a rule asks for in a test is not so when the look is taken that would show the failure. */
export const testNotLoaded: Check = {
    code: 'test-not-loaded',
    family: 'isolation',
    severity: 'error',
    title: 'The look that proves something is taken while what its test asks for is not so',
    ofCard: card => {
        if (!card.traces.plainHolds) return [];
        const { machine, plan } = card;
        const found = new Map<string, Finding>();
        for (const rule of machine.rules) {
            const { body } = rule;
            if (body.kind !== 'test') continue;
            for (const { failure, class: kind, revealedBy } of card.failures()) {
                const look = plan.events[revealedBy[0] ?? NONE];
                if (kind === 'other' || !look || !isIn(machine, failure.item, body.item)) continue;
                // A plug that is off shows at rest as under load: the load is for what the unit does.
                if (failure.mode === 'OFF' && failure.item !== body.item) continue;
                const lack = lacking(card, spelled(machine, body.require), look);
                const key = `${rule.name} ${look.key}`;
                if (!lack || found.has(key)) continue;
                found.set(key, {
                    code: 'test-not-loaded',
                    severity: 'error',
                    span: look.span,
                    card: plan.card,
                    about: [
                        machine.items[body.item]?.name ?? '',
                        'item' in lack.atom ? (machine.items[lack.atom.item]?.name ?? '') : '',
                    ],
                    message: `This look is the first that would show ${failure.label}, and it is taken while ${lackSaid(card, lack)}.${changedAt(plan, lack.by)}${ruleSays(rule)}`,
                    related: [
                        ...calledFrom(look),
                        ...changedHere(plan, lack.by, look.id),
                        { span: rule.span, message: `Rule ${rule.name} stands here` },
                        { span: failure.span, message: `${thing(machine, failure.item)} stands here` },
                    ],
                    fixes: bringAboutBefore(card, look, lack.atom),
                    cause: `${rule.name} ${look.key}`,
                });
            }
        }
        return [...found.values()];
    },
};

/** A state that is asked for and is so neither when the look begins nor when it is over. How long it must have been so is another matter. */
function lacking(card: Judged, require: Condition, look: Event): Broken | undefined {
    const lacks = (event: number): readonly Broken[] =>
        brokenParts(card, require, { event, actor: NONE }).filter(each => each.kind === 'state');
    const [first] = lacks(look.id);
    return first && look.next !== NONE && lacks(look.next).length === 0 ? undefined : first;
}

/** What is asked for, with the conditions of a source in its place where actions alone decide it: they can be named, and be brought about. */
function spelled(machine: Machine, condition: Condition, depth = 0): Condition {
    if (condition.op === 'and' || condition.op === 'or')
        return { op: condition.op, of: condition.of.map(each => spelled(machine, each, depth)) };
    if (condition.op !== 'live' || machine.items[condition.item]?.kind !== 'source' || depth > machine.items.length)
        return condition;
    return isOfActions(machine, condition) ? spelled(machine, expanded(machine, condition.item), depth + 1) : condition;
}
