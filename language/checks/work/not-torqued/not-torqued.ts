import type { Finding, Fix } from '../../../findings/finding.js';
import { calledFrom, didWhat, lineOf, thing } from '../../../findings/phrases.js';
import { surely } from '../../../paths/facts.js';
import { onStates, surelyOff } from '../../../paths/places.js';
import type { Event } from '../../../plan/plan.js';
import { sameDimension } from '../../../vocabulary/units.js';
import type { Check, Judged } from '../../check.js';
import { fix, inCard, insertAfter, itemThere, roleThere } from '../../edits.js';
import { handles } from '../disturbed.js';
import { owedAlong, owedAtEnd, owing, settled } from '../owed.js';

/** Something with a torque goes back on, and on some way to the end of the card nobody torques it after that. */
export const notTorqued: Check = {
    code: 'not-torqued',
    family: 'work',
    severity: 'warning',
    title: 'What was loosened is not torqued again on every way through the card',
    ofCard: card => {
        const { machine, plan } = card;
        if (!machine.items.some(item => item.torque)) return [];
        const along = owedAlong(card, new Map(), (owed, event, state) => {
            if (event.kind === 'torque') return settled(owed, event.item);
            if (!handles(event, state) || !machine.items[event.item]?.torque) return owed;
            const on = onStates(machine, event.item).find(each => each.slot === event.slot);
            if (!on) return owed;
            if (event.state !== on.state) return settled(owed, event.item);
            return surely(state.facts[event.slot], on.state) ? owed : owing(owed, event.item, [event.id]);
        });
        return owedAtEnd(card, along).flatMap(({ owed, state }) =>
            [...owed].flatMap(([item, by]) => {
                const event = plan.events[by.at(-1) ?? 0];
                return event && !surelyOff(machine, state, item) ? [finding(card, item, event)] : [];
            }),
        );
    },
};

function finding(card: Judged, item: number, event: Event): Finding {
    const { machine, plan } = card;
    const torques = plan.events.filter(each => each.kind === 'torque' && each.item === item);
    const later = torques.some(each => each.id > event.id);
    const early = torques.filter(each => each.id < event.id).at(-1);
    const how = later
        ? 'there is a way to the end of the card on which it is not torqued after that'
        : early
          ? `it is not torqued after that: the torque at line ${lineOf(early)} comes before`
          : 'it is not torqued after that';
    return {
        code: 'not-torqued',
        severity: 'warning',
        span: event.span,
        card: plan.card,
        about: [machine.items[item]?.name ?? ''],
        message: `${thing(machine, item)} is ${didWhat(event)} here, and ${how}. Torque it to ${machine.items[item]?.torque?.text} once it is back.`,
        related: [
            ...calledFrom(event),
            ...torques.map(each => ({ span: each.span, message: 'It is torqued here' })),
            ...(machine.items[item] ? [{ span: machine.items[item].span, message: 'Its torque stands here' }] : []),
        ],
        fixes: later ? [] : torquing(card, item, event),
        cause: `${item}`,
    };
}

/** A line behind the one that puts it back, with the only tool of the card that is good for it. */
function torquing(card: Judged, item: number, event: Event): readonly Fix[] {
    const { machine, plan } = card;
    const torque = machine.items[item]?.torque;
    const role = roleThere(card, event, event.role);
    const name = itemThere(card, event, item);
    if (!torque || !role || !name) return [];
    const good = plan.tools.filter(
        ({ range }) =>
            range && sameDimension(range.unit, torque.unit) && range.low <= torque.low && torque.high <= range.high,
    );
    const [tool] = good;
    const withTool = tool && good.length === 1 && inCard(card, event.statement) ? ` with ${tool.name}` : '';
    return [
        fix(
            `Torque ${name} once it is back`,
            insertAfter(card, event.statement, [`${role}: torque ${name}${withTool}`]),
        ),
    ];
}
