import type { Condition } from '../../../conditions/condition.js';
import type { Finding, Fix } from '../../../findings/finding.js';
import { calledFrom, isSo, ruleSays, thing } from '../../../findings/phrases.js';
import { NONE } from '../../../machine/machine.js';
import { brokenParts } from '../../../paths/judge.js';
import { isAlreadySo, triggers } from '../../../paths/rules.js';
import { seenWholeAt } from '../../../paths/runs.js';
import type { Event } from '../../../plan/plan.js';
import type { Check, Judged } from '../../check.js';
import { fix, inCard, insertBefore, itemThere, roleAt, roleThere } from '../../edits.js';
import { type Atom, asked } from '../lock-outs.js';

/** What isolates is so only because "start with" says so. */
export const takenOnTrust: Check = {
    code: 'taken-on-trust',
    family: 'isolation',
    severity: 'warning',
    title: 'What isolates something is so only because "start with" says so',
    ofCard: card => {
        const { machine, plan, paths } = card;
        const found = new Map<string, Finding>();
        for (const rule of machine.rules) {
            const { body } = rule;
            if (body.kind !== 'before') continue;
            const works = body.triggers.filter(each => each.kind === 'work');
            if (works.length === 0) continue;
            for (const event of plan.events) {
                const state = paths.at[event.id];
                if (!state || !works.some(each => triggers(machine, each, event, state))) continue;
                for (const { item, slot, state: wanted } of trusted(card, body.require, event)) {
                    const key = `${slot} ${wanted}`;
                    if (found.has(key)) continue;
                    const setting = plan.start.find(each => each.slot === slot);
                    found.set(key, {
                        code: 'taken-on-trust',
                        severity: 'warning',
                        span: event.span,
                        card: plan.card,
                        about: [machine.items[item]?.name ?? ''],
                        message: `${thing(machine, item)} ${isSo(machine, slot, wanted)} here only because "start with" says so, and the work rests on it. Make sure of it.${ruleSays(rule)}`,
                        related: [
                            ...calledFrom(event),
                            ...(setting ? [{ span: setting.span, message: 'It is only said here' }] : []),
                            { span: rule.span, message: `Rule ${rule.name} stands here` },
                        ],
                        fixes: ensuring(card, event, item, slot, wanted),
                        cause: `start ${item}`,
                    });
                }
            }
        }
        return [...found.values()];
    },
};

/** The states other than normal that the condition rests on and that only `start with` vouches for. Of alternatives the one that rests on least. */
function trusted(card: Judged, condition: Condition, event: Event): readonly Atom[] {
    if (condition.op === 'and') return condition.of.flatMap(each => trusted(card, each, event));
    if (condition.op === 'or') {
        const holding = condition.of.filter(
            each => brokenParts(card, each, { event: event.id, actor: NONE }).length === 0,
        );
        const [first = [], ...others] = holding.map(each => trusted(card, each, event));
        return others.reduce((one, two) => (two.length < one.length ? two : one), first);
    }
    const { machine, paths } = card;
    return asked(machine, condition).filter(
        ({ slot, state: wanted }) =>
            machine.slots[slot]?.normal !== wanted &&
            paths.at[event.id]?.facts[slot]?.every(
                each => each.state === wanted && each.by.every(by => by === NONE),
            ) === true &&
            !isAssured(card, event, slot, wanted),
    );
}

/** In every run that comes by, somebody has made sure of it or looked at it before. */
function isAssured({ plan, traces }: Judged, event: Event, slot: number, wanted: number): boolean {
    const seen = seenWholeAt(plan, traces, event.id);
    // Behind a look whose block goes on it may be otherwise all the same.
    const goesOn = (look: Event): boolean => plan.arms.some(arm => arm.event === look.id && arm.join !== NONE);
    const assures = (each: Event | undefined): boolean =>
        ((each?.kind === 'operate' && each.ensure) ||
            (each?.kind === 'look' && each.look === 'see' && !(each.hasElse && goesOn(each)))) &&
        each.slot === slot &&
        each.state === wanted;
    return (
        seen.length > 0 &&
        seen.every(({ trace, visit }) =>
            trace.visits.slice(0, trace.visits.indexOf(visit)).some(each => assures(plan.events[each.event])),
        )
    );
}

/** `ensure` just before the work, and the tag with it where one hangs there. */
function ensuring(card: Judged, event: Event, item: number, slot: number, wanted: number): readonly Fix[] {
    const { machine, paths } = card;
    const state = paths.at[event.id];
    const owner = machine.items[item];
    if (!state || !owner || slot !== owner.slot || isAlreadySo(event, state)) return [];
    const actor = roleAt(card, state, owner.place, event.role);
    const role = actor < 0 ? undefined : roleThere(card, event, actor);
    const name = inCard(card, event.statement) ? owner.name : itemThere(card, event, item);
    if (!role || !name) return [];
    const line = `${role}: ensure ${name} is ${owner.states[wanted]}${owner.kind === 'breaker' ? ' and tag' : ''}`;
    return [
        fix(`Make sure that ${name} is ${owner.states[wanted]} first`, insertBefore(card, event.statement, [line])),
    ];
}
