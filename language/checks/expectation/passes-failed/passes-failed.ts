import { type Passing, passedFailures } from '../../../failures/passing.js';
import type { Finding, Fix } from '../../../findings/finding.js';
import { calledFrom, didWhat, thing } from '../../../findings/phrases.js';
import { NONE } from '../../../machine/machine.js';
import type { Event, LookEvent } from '../../../plan/plan.js';
import type { Check, Judged } from '../../check.js';
import { fix, insertAtEnd } from '../../edits.js';

/** Something has failed, a look shows it, and the card comes to its end as if it had not. */
export const passesFailed: Check = {
    code: 'passes-failed',
    family: 'expectation',
    severity: 'warning',
    title: 'A look fails, and yet the card comes to its end as if nothing were wrong',
    ofCard: card => {
        if (!card.traces.plainHolds) return [];
        const { passing, unproved } = passedFailures(card.machine, card.plan, card.runs, card.failures());
        const byLine = new Map<string, Passing[]>();
        for (const each of passing) {
            const { span } = card.plan.events[each.look] as Event;
            const key = `${span.file} ${span.offset}`;
            byLine.set(key, [...(byLine.get(key) ?? []), each]);
        }
        return [
            ...[...byLine.values()].map(all => passed(card, all)),
            ...unproved.map(({ event, item }) => disturbed(card, card.plan.events[event] as Event, item)),
        ];
    },
};

function passed(card: Judged, all: readonly Passing[]): Finding {
    const { machine, plan } = card;
    const { look, result } = all[0] as Passing;
    const event = plan.events[look] as LookEvent;
    const item = machine.items[event.item];
    const expected = event.look === 'see' ? (machine.slots[event.slot]?.states[event.state] ?? '') : event.limits?.text;
    const labels = [...new Set(all.map(each => each.result.failure.label))];
    const more = labels.length > 1 ? ` The same goes for ${labels.length - 1} more.` : '';
    const arm = plan.arms.find(each => each.event === event.id && each.side === 'else');
    return {
        code: 'passes-failed',
        severity: event.record ? 'information' : 'warning',
        span: event.span,
        card: plan.card,
        about: [item?.name ?? '', machine.items[result.failure.item]?.name ?? ''],
        message: `With ${result.failure.label}, ${thing(machine, event.item)} is not ${expected} here, and still the card comes to its end. Stop in the block, leave for another card, put in a new part, or look again after mending.${more}`,
        related: [
            ...calledFrom(event),
            ...(arm ? [{ span: arm.span, message: 'This is done then, and the card goes on' }] : []),
            { span: result.failure.span, message: `${thing(machine, result.failure.item)} stands here` },
        ],
        fixes: arm && arm.join !== NONE ? stopping(card, event, arm.span) : [],
        cause: `${event.span.file} ${event.span.offset}`,
    };
}

/** The block ends with a stop. */
function stopping(card: Judged, event: LookEvent, block: Event['span']): readonly Fix[] {
    const { machine } = card;
    const item = machine.items[event.item];
    if (!item || card.text(block.file).charAt(block.end - 1) !== '}') return [];
    const said =
        event.look === 'see' ? (machine.slots[event.slot]?.states[event.state] ?? '') : (event.limits?.text ?? '');
    return [fix('Stop there', insertAtEnd(card, block, [`stop "${item.label} is not ${said}."`]))];
}

function disturbed(card: Judged, event: Event, item: number): Finding {
    const { machine, plan } = card;
    return {
        code: 'passes-failed',
        severity: 'warning',
        span: event.span,
        card: plan.card,
        about: [machine.items[item]?.name ?? ''],
        message: `${thing(machine, event.item)} is ${didWhat(event)} here because something has failed, and no look after it would show that ${thing(machine, item)} has failed now. Test it before the card goes on.`,
        related: calledFrom(event),
        fixes: [],
        cause: `${event.span.file} ${event.span.offset}`,
    };
}
