import type { Finding } from '../../../findings/finding.js';
import { calledFrom, didWhat, lineOf, thing } from '../../../findings/phrases.js';
import type { Item } from '../../../machine/machine.js';
import { surelyOff } from '../../../paths/places.js';
import type { Event } from '../../../plan/plan.js';
import type { Check, Judged } from '../../check.js';
import { handled } from '../disturbed.js';
import { owedAlong, owedAtEnd, owing, settled } from '../owed.js';

/** What the equipment wants inspected is disturbed, and on some way to the end nobody holds for it after that. */
export const notInspected: Check = {
    code: 'not-inspected',
    family: 'work',
    severity: 'warning',
    title: 'What must be inspected after work is not held for an inspector on every way',
    ofCard: card => {
        const { machine, plan } = card;
        if (!machine.items.some(item => item.inspected)) return [];
        const along = owedAlong(card, new Map(), (owed, event, state) => {
            // Whether whoever holds is independent is another matter: inspector-not-independent says so.
            if (event.kind === 'hold') return settled(owed, ...event.refs);
            let left = owed;
            for (const each of handled(machine, event, state))
                if (machine.items[each]?.inspected) left = owing(left, each, [event.id]);
            return left;
        });
        return owedAtEnd(card, along).flatMap(({ owed, state }) =>
            [...owed].flatMap(([item, by]) => {
                const event = plan.events[by.at(-1) ?? -1];
                return event && !surelyOff(machine, state, item) ? [finding(card, item, event)] : [];
            }),
        );
    },
};

function finding(card: Judged, item: number, event: Event): Finding {
    const { machine, plan } = card;
    const own = machine.items[item] as Item;
    const holds = plan.events.filter(each => each.kind === 'hold' && each.refs.includes(item));
    const later = holds.some(each => each.id > event.id);
    const early = holds.findLast(each => each.id < event.id);
    const why = later
        ? 'there is a way to the end of the card on which nobody is held for it after that'
        : early
          ? `the hold at line ${lineOf(early)} comes before`
          : 'no hold names it';
    return {
        code: 'not-inspected',
        severity: 'warning',
        span: event.span,
        card: plan.card,
        about: [own.name],
        message: `${thing(machine, event.item)} is ${didWhat(event)} here, and ${item === event.item ? 'it' : thing(machine, item)} must be inspected afterwards by somebody who has not worked on it: ${why}. Hold for an independent inspector and name [${own.name}].`,
        related: [
            ...calledFrom(event),
            ...holds.map(each => ({ span: each.span, message: 'A hold names it here' })),
            { span: own.span, message: 'The equipment asks for it here' },
        ],
        fixes: [],
        cause: `${event.key} ${item}`,
    };
}
