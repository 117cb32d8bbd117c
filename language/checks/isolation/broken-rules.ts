import type { Condition } from '../../conditions/condition.js';
import type { Finding, Fix, Related } from '../../findings/finding.js';
import { calledFrom, changedAt, changedHere, didWhat, isSo, lineOf, ruleSays, thing } from '../../findings/phrases.js';
import { sayCondition } from '../../machine/compile-conditions.js';
import { NONE } from '../../machine/machine.js';
import { handsOn } from '../../paths/rules.js';
import type { Event } from '../../plan/plan.js';
import type { Check, Judged } from '../check.js';
import { bringAboutBefore, bringingAbout, doesTheSame, ensureInstead, fix, inCard, insertAtEnd } from '../edits.js';
import { aboutOf, causeOf, type Ruling, rulings } from '../rulings.js';
import { deadLooks } from './dead-looks.js';

/** `work on` asks for a state that is not there. */
export function notIsolated(card: Judged): readonly Finding[] {
    return rulings(card).flatMap(each =>
        codeOf(each) === 'not-isolated' ? [finding(card, each, 'not-isolated')] : [],
    );
}

/** Any other part of a rule does not hold. */
export function ruleBroken(card: Judged): readonly Finding[] {
    return rulings(card).flatMap(each => (codeOf(each) === 'rule-broken' ? [finding(card, each, 'rule-broken')] : []));
}

export function codeOf({ how, broken }: Ruling): 'not-told' | 'wait-too-short' | 'not-isolated' | 'rule-broken' {
    if (how.kind === 'action' || how.kind === 'movement') {
        if (broken.kind === 'told') return 'not-told';
        if (broken.kind === 'time') return 'wait-too-short';
    }
    return how.kind === 'action' && how.trigger.kind === 'work' ? 'not-isolated' : 'rule-broken';
}

function finding(card: Judged, ruling: Ruling, code: string): Finding {
    const { plan } = card;
    const { event, how, broken, rule } = ruling;
    const step = plan.steps[event.step];
    return {
        code,
        severity: 'error',
        span: how.kind === 'end-of-test' && step ? step.header : event.span,
        card: plan.card,
        about: aboutOf(card, ruling),
        message: `${what(card, ruling)}${changedAt(plan, broken.by)}${ruleSays(rule)}`,
        related: related(card, ruling),
        fixes: fixes(card, ruling),
        cause: `${rule.name} ${how.kind === 'standing' || how.kind === 'moving' || broken.by.length === 0 ? event.key : causeOf(card, broken)}`,
    };
}

/** The sentence that says what is done, and what is not so. */
function what(card: Judged, { event, how, broken, rule }: Ruling): string {
    const { machine } = card;
    const item = actedOn(card, { event, how, broken, rule });
    const lacks = lackSaid(card, broken);
    switch (how.kind) {
        case 'action':
            return `${thing(machine, item)} is ${how.trigger.kind === 'work' && event.kind === 'prose' ? 'worked on' : didWhat(event)} while ${lacks}.`;
        case 'movement':
            return `${thing(machine, how.item)} moves from line ${lineOf(event)} on while ${lacks}.`;
        case 'moving':
            return `${thing(machine, handsOn(event)[0] ?? event.item)} is ${didWhat(event)} while ${thing(machine, how.item)} moves. Wait until it has arrived.`;
        case 'end-of-test': {
            const step = card.plan.steps[event.step];
            return `At the end of "${step?.label ?? ''}" ${lacks}.`;
        }
        default:
            return rule.body.kind === 'never'
                ? `From here on it may be so that ${sayCondition(rule.body.never, machine)}, and that may never be.`
                : `From here on ${rule.body.kind === 'while' ? sayCondition(rule.body.when, machine) : ''} while ${lacks}.`;
    }
}

function actedOn(card: Judged, { event, how }: Ruling): number {
    if (how.kind === 'action' && event.kind === 'prose') return how.trigger.item;
    return event.item === NONE && 'item' in how ? how.item : card.machine.items[event.item] ? event.item : NONE;
}

/** "CB-502 (BOOST PUMP L B) is CLOSED", or what is asked and is not so. */
export function lackSaid(card: Judged, broken: Ruling['broken']): string {
    const { machine } = card;
    const { atom } = broken;
    // What may not have been so for so long.
    if (broken.part.op === 'not' && atom.op === 'held') return sayCondition(atom, machine);
    if ((atom.op === 'is' || atom.op === 'held') && (broken.found !== NONE || broken.by.length > 0)) {
        return `${thing(machine, atom.item)} ${isSo(machine, atom.slot, broken.found)}`;
    }
    if (atom.op === 'live' && broken.found !== NONE)
        return `${thing(machine, atom.item)} ${isSo(machine, machine.items[atom.item]?.slot ?? NONE, broken.found)}`;
    return `it is not certain that ${sayCondition(broken.part, machine)}`;
}

function related(card: Judged, { event, how, broken, rule }: Ruling): readonly Related[] {
    const found: Related[] = [...calledFrom(event), ...changedHere(card.plan, broken.by, event.id)];
    if (how.kind === 'movement' && how.start !== event)
        found.push({ span: how.start.span, message: 'The movement starts here' });
    found.push({ span: rule.span, message: `Rule ${rule.name} stands here` });
    return found;
}

function fixes(card: Judged, { event, how, broken }: Ruling): readonly Fix[] {
    const { plan } = card;
    const { atom } = broken;
    if (broken.kind !== 'state' || (atom.op !== 'is' && atom.op !== 'held' && atom.op !== 'live')) return [];
    if (how.kind === 'end-of-test') {
        const step = plan.steps[event.step];
        const lines = bringingAbout(card, event, atom);
        if (!step || !lines || !inCard(card, step.span)) return [];
        // "Set A to OFF", from the line as it is written.
        const act = lines.at(-1)?.replace(/^.*?:\s*/, '') ?? '';
        const title = `${act.charAt(0).toUpperCase()}${act.slice(1)} at the end of the test`;
        const atEnd = insertAtEnd(card, step.span, lines);
        const later = plan.events.find(each => each.id > event.id && doesTheSame(card, each, atom));
        const ensure = later && inCard(card, later.statement) ? ensureInstead(card, later) : undefined;
        return [fix(title, atEnd), ...(ensure ? [fix(`${title}, and only make sure of it later`, atEnd, ensure)] : [])];
    }
    if (how.kind === 'moving') return [];
    const looks = how.kind === 'action' && how.trigger.kind === 'work' ? deadOnce(card, event, atom).slice(0, 2) : [];
    return [
        ...bringAboutBefore(card, event, atom),
        ...looks.flatMap(each => bringAboutBefore(card, event, atom, [each])),
    ];
}

/** Looks that show, once the breaker is pulled, that it has opened. */
function deadOnce(card: Judged, event: Event, atom: Condition): readonly string[] {
    if (atom.op !== 'is' || card.machine.items[atom.item]?.kind !== 'breaker') return [];
    const closed = card.runs.checkpointsAt(new Set([event.id])).get(event.id);
    const open = closed?.clone();
    open?.operate(atom.slot, atom.state);
    return closed && open ? deadLooks(card, event, open.cells, closed.cells) : [];
}

export const isolationRules: readonly Check[] = [
    {
        code: 'not-isolated',
        family: 'isolation',
        severity: 'error',
        title: 'Something is worked on while what isolates it is not as the rule asks',
        ofCard: notIsolated,
    },
    {
        code: 'rule-broken',
        family: 'isolation',
        severity: 'error',
        title: 'A rule of the equipment does not hold',
        ofCard: ruleBroken,
    },
];
