import type { Finding, Fix } from '../../../findings/finding.js';
import { calledFrom, thing } from '../../../findings/phrases.js';
import type { Item } from '../../../machine/machine.js';
import type { Event } from '../../../plan/plan.js';
import { mostOnThread } from '../../../vocabulary/thread.js';
import { convert, sameDimension, unitOf } from '../../../vocabulary/units.js';
import type { Check, Judged } from '../../check.js';
import { fix, replace, written } from '../../edits.js';
import { handled } from '../disturbed.js';
import { owedAlong, owedAtEnd, owing, settled } from '../owed.js';

type Torque = Extract<Event, { kind: 'torque' }>;

/** A torque that the equipment does not allow, or none at all. */
export const torqueOutside: Check = {
    code: 'torque-outside',
    family: 'work',
    severity: 'warning',
    title: 'A torque lies outside the range of the thing, or no range is given',
    ofCard: card => {
        const { machine, plan, paths } = card;
        const torques = plan.events.filter(event => event.kind === 'torque').filter(event => paths.at[event.id]);
        if (torques.length === 0) return [];
        const found: Finding[] = [];
        const low = new Set<number>();
        for (const event of torques) {
            const item = machine.items[event.item] as Item;
            const how = wrong(item, event);
            if (how === 'below') low.add(event.id);
            else if (how) found.push(finding(card, event, item, how));
        }
        if (low.size === 0) return found;
        // A stage below the range is fair where the rest follows.
        const along = owedAlong(card, new Map(), (owed, event, state) => {
            if (event.kind === 'torque')
                return low.has(event.id) ? owing(owed, event.item, [event.id]) : settled(owed, event.item);
            return settled(owed, ...handled(machine, event, state));
        });
        const last = new Set(owedAtEnd(card, along).flatMap(({ owed }) => [...owed.values()].flat()));
        for (const event of torques)
            if (last.has(event.id)) found.push(finding(card, event, machine.items[event.item] as Item, 'below'));
        return found;
    },
};

type Wrong = 'no-range' | 'below' | 'above' | 'both' | 'thread';

/** Beyond this, relative to the limit, it is not the rounding of a conversion in the machine. */
const CLOSE = 1e-9;

function wrong(item: Item, { limits }: Torque): Wrong | undefined {
    if (!limits) return 'no-range';
    const own = item.torque;
    if (own && sameDimension(own.unit, limits.unit)) {
        const above = limits.high > own.high * (1 + CLOSE);
        const below = limits.low < own.low * (1 - CLOSE);
        if (above) return below ? 'both' : 'above';
        if (below) return 'below';
    }
    const most = allowed(item);
    return most !== undefined && sameDimension(limits.unit, 'lbf·in') && limits.high > most.newtonMetres * (1 + CLOSE)
        ? 'thread'
        : undefined;
}

function allowed(item: Item): { readonly inches: number; readonly newtonMetres: number } | undefined {
    const inches = item.thread === undefined ? undefined : mostOnThread(item.thread);
    const unit = unitOf('lbf·in');
    return inches === undefined || !unit ? undefined : { inches, newtonMetres: inches * unit.factor };
}

function finding(card: Judged, event: Torque, item: Item, how: Wrong): Finding {
    const { machine, plan } = card;
    return {
        code: 'torque-outside',
        severity: 'warning',
        span: event.span,
        card: plan.card,
        about: [item.name],
        message: `${thing(machine, event.item)} is torqued ${said(item, event, how)}`,
        related: [...calledFrom(event), { span: item.span, message: `${thing(machine, event.item)} stands here` }],
        fixes: how === 'no-range' || how === 'thread' ? [] : asEquipment(card, event, item),
        cause: `${event.statement.file} ${event.statement.offset} ${event.item}`,
    };
}

function said(item: Item, { limits }: Torque, how: Wrong): string {
    const own = `its range of ${item.torque?.text ?? ''}`;
    const mend = 'Take the range of the equipment, or have it corrected there.';
    switch (how) {
        case 'no-range':
            return 'here, and neither the card nor the equipment says to how much. Give the equipment its torque.';
        case 'thread': {
            const most = allowed(item)?.inches ?? 0;
            const unit = limits?.unit ?? 'lbf·in';
            const shown = Number(convert(most, 'lbf·in', unit).toPrecision(4));
            return `to ${limits?.text}, and a nut on a ${item.thread} thread is allowed ${shown} ${unit} at most (AC 43.13-1B, table 7-1). Correct the torque or the thread.`;
        }
        case 'both':
            return `to ${limits?.text} here, which goes beyond ${own} at both ends. ${mend}`;
        case 'above':
            return `to ${limits?.text} here, which goes above ${own}. ${mend}`;
        case 'below':
            return `to ${limits?.text} here, which goes below ${own}, and nothing torques it further on every way to the end of the card. ${mend}`;
    }
}

/** The range on the card goes: what the equipment says holds then. */
function asEquipment(card: Judged, event: Torque, item: Item): readonly Fix[] {
    const text = written(card, event.statement);
    const range = /\s+-?[\d.,]+\s+to\s+-?[\d.,]+\s+\S+/.exec(text);
    if (!range || !item.torque) return [];
    const { file, offset } = event.statement;
    const from = offset + range.index;
    return [
        fix(
            `Torque it to ${item.torque.text}, as the equipment says`,
            replace(card, file, from, from + range[0].length, ''),
        ),
    ];
}
