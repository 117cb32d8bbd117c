import type { Finding } from '../../../findings/finding.js';
import { calledFrom, changedAt, changedHere, didWhat, isSo, thing } from '../../../findings/phrases.js';
import { NONE } from '../../../machine/machine.js';
import { surely } from '../../../paths/facts.js';
import { byOfState } from '../../../paths/judge.js';
import { seenAt } from '../../../paths/runs.js';
import type { Event } from '../../../plan/plan.js';
import type { Check, Judged } from '../../check.js';
import { ensureInstead, fix } from '../../edits.js';

/** An action that changes nothing, on every way and in every call. */
export const alreadySo: Check = {
    code: 'already-so',
    family: 'left-behind',
    severity: 'information',
    title: 'Something is done that is so already',
    ofCard,
};

function ofCard(card: Judged): readonly Finding[] {
    // "pull X and tag", "ensure ... and tag": the tag belongs to what is pulled.
    const pulls = new Set(card.plan.events.flatMap(each => (each.kind === 'operate' ? [statementOf(each)] : [])));
    const byLine = new Map<string, Event[]>();
    for (const event of card.plan.events) {
        if (!card.paths.at[event.id] || targetOf(event) === undefined) continue;
        if (event.kind === 'tag' && pulls.has(statementOf(event))) continue;
        const line = `${event.span.file} ${event.span.offset} ${event.kind}`;
        byLine.set(line, [...(byLine.get(line) ?? []), event]);
    }
    const found: Finding[] = [];
    for (const events of byLine.values()) {
        const [first] = events;
        if (first && events.every(each => isSoAlready(card, each)))
            found.push({ ...finding(card, first), about: [...new Set(events.map(each => nameOf(card, each)))] });
    }
    return found;
}

const statementOf = ({ statement }: Event): string => `${statement.file} ${statement.offset}`;

/** The state that an act brings about, where acting twice is one time too many: a part is renewed and an area is cleaned as often as one likes. */
function targetOf(event: Event): number | undefined {
    switch (event.kind) {
        case 'operate':
            return event.ensure || event.fresh || event.verb === 'clean' ? undefined : event.state;
        case 'tag':
        case 'keep-start':
            return event.state;
        default:
            return undefined;
    }
}

function isSoAlready(card: Judged, event: Event): boolean {
    const { machine, paths } = card;
    const state = paths.at[event.id];
    const target = targetOf(event);
    if (!state || target === undefined || !('slot' in event)) return false;
    if (event.kind !== 'tag') return surely(state.facts[event.slot], target) && !isFoundOtherwise(card, event, target);
    const facts = state.facts[machine.items[event.item]?.slot ?? NONE];
    return facts?.every(each => each.tagged === (event.verb === 'tag')) ?? false;
}

/** What has failed (a breaker that has tripped), or what a block is for in which somebody has just found it otherwise. */
function isFoundOtherwise(card: Judged, event: Event & { slot: number }, target: number): boolean {
    const { plan, traces } = card;
    const seen = seenAt(plan, traces, event.id);
    if (seen.some(({ visit }) => visit.before[event.slot] !== target)) return true;
    if (seen.some(({ trace }) => trace.failure !== NONE && card.failures()[trace.failure]?.failure.item === event.item))
        return true;
    return plan.arms.some(arm => {
        const on = plan.events[arm.event];
        if (arm.entry > event.id || (arm.join !== NONE && arm.join <= event.id)) return false;
        return on !== undefined && 'slot' in on && on.slot === event.slot;
    });
}

const nameOf = ({ machine }: Judged, event: Event): string => machine.items[event.item]?.name ?? '';

function finding(card: Judged, event: Event): Finding {
    const { machine, plan, paths } = card;
    const state = paths.at[event.id];
    const name = thing(machine, event.item);
    const target = targetOf(event) ?? NONE;
    const slot = 'slot' in event ? event.slot : NONE;
    const owner = machine.items[event.item];
    const by =
        event.kind === 'tag'
            ? [...new Set((state?.facts[owner?.slot ?? NONE] ?? []).flatMap(each => each.tagBy))]
            : state
              ? byOfState(state, slot, target)
              : [];
    const so = event.kind === 'tag' ? (event.verb === 'tag' ? 'is tagged' : 'has no tag') : isSo(machine, slot, target);
    const stateName = machine.slots[slot]?.states[target] ?? '';
    const ensure = ensureInstead(card, event);
    const advice =
        event.kind === 'operate'
            ? `Leave it out, or write "ensure ${owner?.name} is ${stateName}" where it is only to make sure.`
            : 'Leave it out, or see whether something else is meant.';
    return {
        code: 'already-so',
        severity: 'information',
        span: event.span,
        card: plan.card,
        about: [nameOf(card, event)],
        message: `${name} ${so} already when it is ${didWhat(event)} here.${by.every(each => each === NONE) ? ' It was so when the card began.' : changedAt(plan, by)} ${advice}`,
        related: [...calledFrom(event), ...changedHere(plan, by, event.id)],
        fixes: ensure ? [fix('Only make sure of it', ensure)] : [],
        cause: `${event.span.file} ${event.span.offset}`,
    };
}
