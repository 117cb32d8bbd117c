import { passedFailures } from '../../../failures/passing.js';
import { isIn, modesOf, within } from '../../../failures/which.js';
import type { Finding } from '../../../findings/finding.js';
import { calledFrom, didWhat, thing, things } from '../../../findings/phrases.js';
import { type Item, type Machine, NONE } from '../../../machine/machine.js';
import { itemsIn } from '../../../machine/order.js';
import { surelyOff } from '../../../paths/places.js';
import { conditionsOf } from '../../../paths/rules.js';
import type { Event, Plan } from '../../../plan/plan.js';
import type { Check, Judged } from '../../check.js';
import { handles } from '../disturbed.js';
import { unseenLeaks } from '../not-leak-checked/not-leak-checked.js';
import { owedAlong, owedAtEnd, owing, settled } from '../owed.js';

/** A unit that the card has disturbed is named by no test after it; or what a test names cannot fail. */
export const notTested: Check = {
    code: 'not-tested',
    family: 'work',
    severity: 'warning',
    title: 'A unit was disturbed and no test after it names any part of it',
    ofCard: card => [...untested(card), ...empty(card)],
};

function untested(card: Judged): readonly Finding[] {
    const { machine, plan, traces } = card;
    const used = usedItems(machine);
    const counts = new Set<number>();
    for (const [n, item] of machine.items.entries())
        if (item.kind === 'unit' && within(machine, n).some(each => used.has(each))) counts.add(n);
    if (counts.size === 0) return [];
    const along = owedAlong(card, new Map(), (owed, event, state) => {
        if (proves(plan, event))
            return settled(owed, ...[...owed.keys()].filter(unit => names(machine, plan, event, unit)));
        if (!handles(event, state) || !counts.has(event.item)) return owed;
        return owing(owed, event.item, [event.id]);
    });
    // What a failure leads into is told of by passes-failed.
    const isTold = (unit: number, event: number): boolean =>
        traces.plainHolds &&
        passedFailures(machine, plan, card.runs, card.failures()).unproved.some(
            each => each.event === event && isIn(machine, each.item, unit),
        );
    return owedAtEnd(card, along).flatMap(({ owed, state }) =>
        [...owed].flatMap(([unit, by]) => {
            const event = plan.events[by.at(-1) ?? NONE];
            if (!event || surelyOff(machine, state, unit) || isTold(unit, event.id)) return [];
            if (isToldByTest(card, unit) || isToldByLeaks(card, unit)) return [];
            return [finding(card, unit, event)];
        }),
    );
}

/** The event is the end of a test, or a measure, which proves what it measures. */
function proves(plan: Plan, event: Event): boolean {
    if (event.kind === 'look') return event.look === 'measure';
    return event.kind === 'step-end' && plan.steps[event.step]?.kind === 'test';
}

/** It names the unit, something in it, or the whole that it is in. */
function names(machine: Machine, plan: Plan, event: Event, unit: number): boolean {
    const named = event.kind === 'look' ? [event.item] : (plan.steps[event.step]?.of ?? []);
    return named.some(each => isIn(machine, each, unit) || isIn(machine, unit, each));
}

/** Only a test before the last work on it names it: test-not-isolated says so of each of its parts that can fail. */
function isToldByTest(card: Judged, unit: number): boolean {
    const { machine, plan, traces } = card;
    const visits = traces.plain[0]?.visits ?? [];
    let told = false;
    let worked = false;
    for (const visit of visits) {
        const event = plan.events[visit.event] as Event;
        if (event.kind === 'operate' && event.item === unit && ['remove', 'install'].includes(event.verb))
            worked = true;
        if (event.kind !== 'step-end' || !proves(plan, event) || !names(machine, plan, event, unit)) continue;
        worked = false;
        told = (plan.steps[event.step]?.of ?? []).some(each =>
            within(machine, each).some(part => isIn(machine, part, unit) && modesOf(machine, part).length > 0),
        );
    }
    return told && worked && traces.plainHolds;
}

/** All that can fail in it are joints, and not-leak-checked says of one that no look shows it. */
function isToldByLeaks(card: Judged, unit: number): boolean {
    const { machine } = card;
    const failing = within(machine, unit).filter(each => modesOf(machine, each).length > 0);
    const told = new Set([...unseenLeaks(card).found.values()].flat());
    return failing.some(each => told.has(each)) && failing.every(each => machine.items[each]?.carries !== NONE);
}

/** What some behaviour, feed, failure or rule speaks of; joints that hold something back; and what shows or moves by itself. */
function usedItems(machine: Machine): ReadonlySet<number> {
    const used = new Set<number>();
    const add = (item: number): void => {
        used.add(item);
    };
    for (const [n, item] of machine.items.entries()) {
        for (const each of [...item.shows, ...item.goes]) itemsIn(each.when, add);
        itemsIn(item.live, add);
        for (const feed of item.feeds) add(feed);
        if ((item.carries !== NONE && item.wets !== NONE) || item.nature === 'moved' || item.shows.length > 0) add(n);
    }
    for (const own of machine.ownFailures) {
        add(own.item);
        itemsIn(own.when, add);
    }
    for (const { body } of machine.rules) {
        for (const condition of conditionsOf(body)) itemsIn(condition, add);
        if (body.kind === 'before') for (const each of body.triggers) add(each.item);
        else if ('item' in body) add(body.item);
    }
    return used;
}

function finding(card: Judged, unit: number, event: Event): Finding {
    const { machine, plan, paths } = card;
    const tests = plan.events.filter(
        each => each.kind === 'step-end' && paths.at[each.id] && proves(plan, each) && names(machine, plan, each, unit),
    );
    const later = tests.some(each => each.id > event.id);
    const early = tests.findLast(each => each.id < event.id);
    const how = later
        ? 'there is a way to the end of the card on which no test after it names it or anything in it'
        : early
          ? `the only test that names it, "${plan.steps[early.step]?.label}", comes before`
          : 'no test after it names it or anything in it';
    return {
        code: 'not-tested',
        severity: 'warning',
        span: event.span,
        card: plan.card,
        about: [machine.items[unit]?.name ?? ''],
        message: `${thing(machine, unit)} is ${didWhat(event)} here, and ${how}. Add a test "of" it, or of the part of it that matters, with looks that fail when it does.`,
        related: [
            ...calledFrom(event),
            { span: (machine.items[unit] as Item).span, message: `${thing(machine, unit)} stands here` },
        ],
        fixes: [],
        cause: `${unit}`,
    };
}

/** What stands after `of` and has no way to fail, so that whatever is looked at proves nothing of it. A measure of it will do. */
function empty({ machine, plan, paths }: Judged): readonly Finding[] {
    const measured = new Map<number, number[]>();
    const reached = new Map<number, Event>();
    for (const event of plan.events) {
        if (!paths.at[event.id]) continue;
        if (event.kind === 'step-start') reached.set(event.step, event);
        if (event.kind === 'look' && event.look === 'measure')
            measured.set(event.step, [...(measured.get(event.step) ?? []), event.item]);
    }
    return plan.steps.flatMap((step, n) => {
        const start = reached.get(n);
        if (step.kind !== 'test' || !start) return [];
        const bare = step.of.filter(
            named =>
                within(machine, named).every(each => modesOf(machine, each).length === 0) &&
                !measured.get(n)?.some(each => isIn(machine, each, named)),
        );
        if (bare.length === 0) return [];
        const one = bare.length === 1;
        return [
            {
                code: 'not-tested',
                severity: 'warning',
                span: step.header,
                card: plan.card,
                about: bare.map(each => machine.items[each]?.name ?? ''),
                message: `"${step.label}" is a test of ${things(machine, bare)}, and the equipment says of no way in which ${one ? 'it' : 'they'} can fail, so that no look proves anything about ${one ? 'it' : 'them'}. Say in the equipment what is otherwise when ${one ? 'it fails' : 'they fail'}, name the part that does the work, or measure ${one ? 'it' : 'them'}.`,
                related: [
                    ...calledFrom(start),
                    ...bare.map(each => ({
                        span: (machine.items[each] as Item).span,
                        message: `${thing(machine, each)} stands here`,
                    })),
                ],
                fixes: [],
                cause: `of ${step.name} ${step.header.file} ${step.header.offset}`,
            } satisfies Finding,
        ];
    });
}
