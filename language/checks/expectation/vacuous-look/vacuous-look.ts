import { influences } from '../../../failures/idle.js';
import type { Finding } from '../../../findings/finding.js';
import { calledFrom, lineOf, thing } from '../../../findings/phrases.js';
import type { LookEvent } from '../../../plan/plan.js';
import type { Check, Judged } from '../../check.js';
import { expected, idle, isVacuous } from '../idle-looks.js';

/** A look that comes out as written whatever is left out before it and whatever fails. */
export const vacuousLook: Check = {
    code: 'vacuous-look',
    family: 'expectation',
    severity: 'warning',
    title: 'A look that comes out as written whatever is left out or fails',
    ofCard: card =>
        idle(card).flatMap(each => {
            const look = card.plan.events[each.look] as LookEvent;
            return isVacuous(each) && !isOfPeople(card, look) && !isUnjudged(card, look) ? [finding(card, look)] : [];
        }),
};

/** Outside a test a look at what only people change, and the card has not, asks whether all is as the card takes it to be. */
function isOfPeople({ machine, plan }: Judged, look: LookEvent): boolean {
    const operated = machine.slots[look.slot]?.kind === 'presence' || machine.items[look.item]?.nature === 'operated';
    return operated && !look.hasElse && plan.steps[look.step]?.kind !== 'test';
}

/** That nothing leads into its block is said already. */
function isUnjudged({ plan, traces }: Judged, look: LookEvent): boolean {
    return plan.arms.some((arm, n) => arm.event === look.id && traces.arms[n] === 'forced');
}

function finding(card: Judged, look: LookEvent): Finding {
    const { machine, plan } = card;
    const test = plan.steps[look.step]?.kind === 'test';
    const what = thing(machine, look.item);
    const failing = look.hasElse
        ? 'whatever fails'
        : test
          ? 'whatever of what is tested or was disturbed fails'
          : 'whatever of what the card disturbs or tests fails';
    const press = released(card, look);
    const advice = press
        ? `${thing(machine, press.item)}, pressed at line ${lineOf(press)}, is released again by then: hold it with "keep" while you look.`
        : 'It proves nothing. Look at something that the work would change, or at another time.';
    return {
        code: 'vacuous-look',
        severity: test || look.hasElse ? 'warning' : 'information',
        span: look.span,
        card: plan.card,
        about: [machine.items[look.item]?.name ?? ''],
        message: `${what} is ${look.look === 'read' ? 'within ' : ''}${expected(card, look)} here whatever act before it is left out, and ${failing}. ${advice}`,
        related: [...calledFrom(look), ...(press ? [{ span: press.span, message: 'Pressed here, and released' }] : [])],
        fixes: [],
        cause: `${look.span.file} ${look.span.offset}`,
    };
}

/** The last press of a button on which what is looked at rests. */
function released({ machine, plan }: Judged, look: LookEvent) {
    const items = influences(machine, look.item);
    return plan.events.findLast(each => each.kind === 'press' && each.id < look.id && items.has(each.item));
}
