import type { Finding, Fix, Related, Span } from '../../findings/finding.js';
import { calledFrom, changedAt, changedHere, isSo, lineOf, placeName, stillSo, thing } from '../../findings/phrases.js';
import { type Machine, NONE } from '../../machine/machine.js';
import { coversOn, liesIn, onStates, surelyOn } from '../../paths/places.js';
import type { Event } from '../../plan/plan.js';
import { kindOf } from '../../vocabulary/kinds/index.js';
import { upperFirst } from '../../vocabulary/sentences.js';
import type { Judged } from '../check.js';
import {
    actionOn,
    fix,
    inCard,
    insertAfter,
    insertAtEnd,
    insertBefore,
    lastStep,
    replace,
    statementInCard,
    tellsFor,
    written,
} from '../edits.js';
import { isSure, type Left, leftBehind, type Way } from './ways-out.js';

/** The findings of one code, one for each thing and each place that left it, whatever ways out it is left at. */
export function findingsOf(card: Judged, code: string): readonly Finding[] {
    const byCause = new Map<string, Left[]>();
    for (const each of leftBehind(card)) {
        if (each.code !== code) continue;
        const key = `${each.slot} ${each.setting?.span.offset ?? ''} ${lastOf(each)}`;
        byCause.set(key, [...(byCause.get(key) ?? []), each]);
    }
    return [...byCause.values()].map(all => finding(card, all));
}

const lastOf = (left: Left): number => left.by.filter(each => each !== NONE).at(-1) ?? NONE;

/** The end is what is told of first; the other ways out are among the related places. */
function finding(card: Judged, all: readonly Left[]): Finding {
    const { machine, plan } = card;
    const left = all.find(each => each.way.kind === 'end') ?? (all[0] as Left);
    const event = plan.events[lastOf(left)];
    const setting = left.setting ?? plan.start.find(each => each.slot === left.slot);
    const span: Span = left.setting?.span ?? event?.span ?? setting?.span ?? left.way.event.span;
    return {
        code: left.code,
        severity: 'error',
        span,
        card: plan.card,
        about: [machine.items[left.item]?.name ?? ''],
        message: `${message(card, left)}${changedAt(plan, left.by, did(card, left))} ${advice(machine, left)}`,
        related: [left, ...all.filter(each => each !== left)].flatMap((each, n) => related(card, each, event, n === 0)),
        fixes: together(all.map(each => fixes(card, each, event))),
        cause: `${left.item} ${event?.key ?? 'start'}`,
    };
}

/** One fix for every way out at once: the first of each, the second of each, and so on; the last of the shorter lists again. */
function together(all: readonly (readonly Fix[])[]): readonly Fix[] {
    if (all.some(each => each.length === 0)) return [];
    const most = Math.max(...all.map(each => each.length));
    return Array.from({ length: most }, (_, n) => {
        const those = all.map(each => each[Math.min(n, each.length - 1)] as Fix);
        const edits = new Map(
            those
                .flatMap(each => each.edits)
                .map(each => [`${each.span.file} ${each.span.offset} ${each.newText}`, each]),
        );
        const titles = [...new Set(those.map(each => each.title))];
        const title = titles.length === 1 ? (titles[0] ?? '') : `${titles[0]}, and at each other way out`;
        return { title, edits: [...edits.values()] };
    });
}

const isArea = (machine: Machine, left: Left): boolean => machine.items[left.item]?.nature === 'wetted';

function did(card: Judged, left: Left): string | undefined {
    if (isArea(card.machine, left)) return 'got wet';
    return left.code === 'left-moved' || (left.setting && card.machine.items[left.item]?.nature !== 'operated')
        ? 'brought about'
        : undefined;
}

function message(card: Judged, left: Left): string {
    const { machine } = card;
    const name = thing(machine, left.item);
    const when = whenSaid(left.way);
    const sure = isSure(card.paths.at[left.way.event.id], left.slot, left.state);
    switch (left.code) {
        case 'untagged-at-stop':
            return `${name} is pulled without a tag ${when}.`;
        case 'left-moved': {
            const rests =
                left.state === NONE ? 'between its positions' : `at ${stateName(machine, left.slot, left.state)}`;
            const owed = stateName(machine, left.slot, left.owed);
            const due =
                left.way.kind === 'leave-for'
                    ? `${left.way.card} begins with it ${owed}`
                    : `it was ${owed} when the card began`;
            return `${name} rests ${rests} ${when}; ${due}.`;
        }
        case 'finish-not-reached':
            return `${name} ${isSo(machine, left.slot, left.state)} ${when}, and "finish with" says ${stateName(machine, left.slot, left.owed)}.`;
        case 'left-wet':
            return `${name} may still be wet ${when}.`;
        default: {
            const normal = machine.slots[left.slot]?.normal;
            if (left.state === normal && left.owed !== normal) {
                const so = isSo(machine, left.slot, left.state);
                return `${name} ${sure ? so : so.replace(/^is/, 'may be')} ${when}; it was ${stateName(machine, left.slot, left.owed)} when the card began.`;
            }
            const still = stillSo(machine, left.slot, left.state);
            return `${name} ${sure ? still : still.replace(/^is still/, 'may still be')} ${when}.`;
        }
    }
}

const stateName = (machine: Machine, slot: number, state: number): string =>
    machine.slots[slot]?.states[state] ?? 'in none of its states';

function whenSaid(way: Way): string {
    switch (way.kind) {
        case 'end':
            return 'when the card ends';
        case 'stop':
            return `at the stop at line ${lineOf(way.event)}`;
        case 'leave-for':
            return `when the card leaves for ${way.card} at line ${lineOf(way.event)}`;
        default:
            return `when ${way.card} is done`;
    }
}

function advice(machine: Machine, left: Left): string {
    if (left.code === 'untagged-at-stop') return 'Tag it.';
    const action = act(machine, left, 'it');
    if (action) return `${upperFirst(action)}.`;
    if (left.way.kind === 'leave-for') return `Bring it back to ${stateName(machine, left.slot, left.owed)} before.`;
    return `Bring it back to ${stateName(machine, left.slot, left.owed)}, or say what it is left at with "finish with".`;
}

function act(machine: Machine, left: Left, name: string): string | undefined {
    const item = machine.items[left.item];
    return item && actionOn(machine, left.slot, left.owed, name, kindOf(item.kind).verbs);
}

function related(card: Judged, left: Left, event: Event | undefined, first: boolean): readonly Related[] {
    const except = left.setting ? NONE : (event?.id ?? NONE);
    const found: Related[] = first ? [...changedHere(card.plan, left.by, except, did(card, left))] : [];
    if (left.way.kind === 'stop')
        found.push({ span: left.way.event.span, message: 'The card stops here' }, ...calledFrom(left.way.event));
    if (left.way.kind === 'leave-for')
        found.push({ span: left.way.event.span, message: 'The card is left here' }, ...calledFrom(left.way.event));
    return found;
}

/** Places at which the act could stand, the likeliest first; each is tried before it is offered. */
function fixes(card: Judged, left: Left, event: Event | undefined): readonly Fix[] {
    const { machine, plan, paths } = card;
    const item = machine.items[left.item];
    if (left.way.kind === 'done' || !item) return [];
    if (left.code === 'untagged-at-stop') return tagFixes(card, left, event);
    const does = act(machine, left, item.name);
    if (!does) return [];
    const state = paths.at[left.way.event.id];
    const actor = actorOf(card, left, event);
    const role = plan.roles[actor]?.name;
    if (!state || !role) return [];
    const line = `${role}: ${does}`;
    const tells = tellsFor(card, state, actor, left.item);
    const variants = tells.length > 0 ? [[line], [...tells, line]] : [[line]];
    const title = upperFirst(does);
    const found: Fix[] = [];
    const way = left.way.event;
    if (left.way.kind !== 'end') {
        if (!inCard(card, way.statement)) return [];
        return variants.map(lines => fix(`${title} before it`, insertBefore(card, way.statement, lines)));
    }
    // Where it can still be reached: before the covers over it are put back.
    const cover = coveringEvent(card, left.item);
    const joint = isArea(machine, left) ? lastClosing(card, left) : undefined;
    const step = lastStep(card);
    for (const lines of variants) {
        if (joint)
            found.push(fix(`${title} once nothing leaks any more`, insertAfter(card, statementInCard(joint), lines)));
        if (cover) found.push(fix(`${title} before it is covered`, insertBefore(card, statementInCard(cover), lines)));
        if (step) found.push(fix(`${title} at the end of "${step.label}"`, insertAtEnd(card, step.span, lines)));
        if (event && inCard(card, statementInCard(event))) {
            const clearing = plan.events.find(
                each =>
                    each.kind === 'clear' &&
                    each.step === event.step &&
                    each.id > event.id &&
                    liesIn(machine, item.place, each.place),
            );
            if (clearing)
                found.push(
                    fix(
                        `${title} before ${placeName(machine, clearing.place)} is cleared`,
                        insertBefore(card, statementInCard(clearing), lines),
                    ),
                );
            const own = plan.steps[event.step];
            if (own && own !== step && inCard(card, own.span))
                found.push(fix(`${title} at the end of "${own.label}"`, insertAtEnd(card, own.span, lines)));
        }
        if (step) {
            const first = plan.events.find(
                each =>
                    plan.steps[each.step] === step && each.kind !== 'step-start' && inCard(card, statementInCard(each)),
            );
            if (first)
                found.push(
                    fix(
                        `${title} at the beginning of "${step.label}"`,
                        insertBefore(card, statementInCard(first), lines),
                    ),
                );
        }
    }
    return found.filter(each => each.edits.every(edit => edit.span.file === plan.file));
}

/** Who is to do it: who brought it there, or the role that worked at the place. */
function actorOf(card: Judged, left: Left, event: Event | undefined): number {
    const place = card.machine.items[left.item]?.place ?? NONE;
    const based = card.plan.roles.findIndex(each => each.place === place);
    if (event && event.role !== NONE && event.place === place) return event.role;
    const there = card.plan.events.find(each => each.place === place && each.role !== NONE);
    return there?.role ?? (based >= 0 ? based : (event?.role ?? NONE));
}

/** The event that last puts a cover over the place of the item, where one is on at the end. */
function coveringEvent(card: Judged, item: number): Event | undefined {
    const { machine, plan, paths } = card;
    const end = plan.events.find(each => each.kind === 'end');
    const state = end && paths.at[end.id];
    if (!state) return undefined;
    const covers = coversOn(machine, state, machine.items[item]?.place ?? NONE, NONE).filter(each =>
        surelyOn(machine, state, each),
    );
    const slots = covers.flatMap(each => onStates(machine, each));
    return plan.events.findLast(
        each => each.kind === 'operate' && slots.some(one => one.slot === each.slot && one.state === each.state),
    );
}

/** The event that last closes a joint that wets the area. */
function lastClosing(card: Judged, left: Left): Event | undefined {
    const { machine, plan } = card;
    const slots = machine.items
        .flatMap((each, n) => (each.wets === left.item ? [n, ...(each.unit === NONE ? [] : [each.unit])] : []))
        .flatMap(each => onStates(machine, each));
    return plan.events.findLast(
        each => each.kind === 'operate' && slots.some(one => one.slot === each.slot && one.state === each.state),
    );
}

function tagFixes(card: Judged, left: Left, event: Event | undefined): readonly Fix[] {
    const { plan, machine } = card;
    const found: Fix[] = [];
    if (event?.kind === 'operate' && !/\band\s+tag\s*$/.test(written(card, event.statement))) {
        found.push(
            fix(
                'Tag it where it is pulled',
                replace(card, event.statement.file, event.statement.end, event.statement.end, ' and tag'),
            ),
        );
    }
    const role = plan.roles[event?.role ?? NONE]?.name;
    const name = machine.items[left.item]?.name;
    const way = left.way.event;
    if (role && name && left.way.kind === 'stop' && inCard(card, way.statement))
        found.push(fix('Tag it before the stop', insertBefore(card, way.statement, [`${role}: tag ${name}`])));
    const step = lastStep(card);
    if (role && name && left.way.kind === 'end' && step)
        found.push(fix(`Tag it at the end of "${step.label}"`, insertAtEnd(card, step.span, [`${role}: tag ${name}`])));
    return found;
}
