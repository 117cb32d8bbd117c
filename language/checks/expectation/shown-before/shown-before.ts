import { influences } from '../../../failures/idle.js';
import type { Finding } from '../../../findings/finding.js';
import { calledFrom, lineOf, thing } from '../../../findings/phrases.js';
import { NONE } from '../../../machine/machine.js';
import { brokenParts } from '../../../paths/judge.js';
import type { LookEvent } from '../../../plan/plan.js';
import type { Check, Judged } from '../../check.js';
import { expected, idle, isVacuous } from '../idle-looks.js';

/** A look for what an earlier one has shown, and nothing since could have changed. */
export const shownBefore: Check = {
    code: 'shown-before',
    family: 'expectation',
    severity: 'information',
    title: 'A look for what an earlier look has shown, with nothing since that could change it',
    ofCard: card =>
        idle(card).flatMap(each => {
            const look = card.plan.events[each.look] as LookEvent;
            const before = card.plan.events[each.before] as LookEvent;
            if (isVacuous(each) || isWantedNow(card, before, look)) return [];
            return [finding(card, look, before)];
        }),
};

function finding(card: Judged, look: LookEvent, before: LookEvent): Finding {
    const { machine, plan } = card;
    return {
        code: 'shown-before',
        severity: 'information',
        span: look.span,
        card: plan.card,
        about: [machine.items[look.item]?.name ?? ''],
        message: `That ${thing(machine, look.item)} is ${look.look === 'read' ? 'within ' : ''}${expected(card, look)} was seen at line ${lineOf(before)} already, and nothing that is done or may fail since would change it. Look at something else, or say in the equipment what may fail.`,
        related: [...calledFrom(look), { span: before.span, message: 'It was looked at here' }],
        fixes: [],
        cause: `${look.span.file} ${look.span.offset}`,
    };
}

/** Only now is so what a rule asks for in a test of something that the look shows. */
function isWantedNow(card: Judged, before: LookEvent, look: LookEvent): boolean {
    const items = influences(card.machine, look.item);
    const lacks = (rule: (typeof card.machine.rules)[number], event: number): boolean =>
        'require' in rule.body && brokenParts(card, rule.body.require, { event, actor: NONE }).length > 0;
    return card.machine.rules.some(
        rule =>
            rule.body.kind === 'test' && items.has(rule.body.item) && lacks(rule, before.id) && !lacks(rule, look.id),
    );
}
