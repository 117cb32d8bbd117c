import type { Finding, Fix } from '../../../findings/finding.js';
import { calledFrom, changedAt, changedHere, duration, isSo, thing } from '../../../findings/phrases.js';
import { NONE } from '../../../machine/machine.js';
import { lasted } from '../../../paths/evaluate.js';
import { byOfState } from '../../../paths/judge.js';
import { rootOfLastChange, type Seen, seenWholeAt } from '../../../paths/runs.js';
import type { DoneCard, Event, Setting } from '../../../plan/plan.js';
import { kindOf } from '../../../vocabulary/kinds/index.js';
import { list } from '../../../vocabulary/sentences.js';
import type { Check, Judged } from '../../check.js';
import { bringAboutBefore, fix, insertAfter, spanAt } from '../../edits.js';

/** One card does not leave the aircraft as the next one takes it over. What operated things are at a leave or when a card is done is told by `left-...` and `finish-not-reached`. */
export const handoverMismatch: Check = {
    code: 'handover-mismatch',
    family: 'left-behind',
    severity: 'error',
    title: 'One card does not hand over the aircraft as the next one starts with it',
    ofCard: card => [
        ...afterOthers(card),
        ...startsOfDone(card),
        ...endsOfDone(card),
        ...earlierMissing(card),
        ...atLeaves(card),
    ],
};

/** `after CARD`: what that card leaves is not what this one starts with. */
function afterOthers(card: Judged): readonly Finding[] {
    const { machine, plan } = card;
    const owed = (slot: number): readonly number[] =>
        plan.start.find(each => each.slot === slot)?.states ?? [machine.slots[slot]?.normal ?? 0];
    return plan.after.flatMap(other =>
        other.leaves.flatMap((left): Finding[] => {
            const wanted = owed(left.slot);
            if (left.states.every(each => wanted.includes(each))) return [];
            // Of several cards before this one, another may be the one that brings it there.
            const mended = plan.after.some(
                each =>
                    each !== other &&
                    each.leaves.some(
                        one => one.slot === left.slot && one.states.every(state => wanted.includes(state)),
                    ),
            );
            if (mended) return [];
            const own = plan.start.find(each => each.slot === left.slot);
            const name = thing(machine, left.item);
            const found = left.states.find(each => !wanted.includes(each)) ?? NONE;
            const takes = own
                ? `this card starts with ${statesOf(card, left.slot, wanted)}`
                : `this card, whose "start with" does not name it, takes it to be ${statesOf(card, left.slot, wanted)}`;
            return [
                {
                    code: 'handover-mismatch',
                    severity: 'error',
                    span: other.span,
                    card: plan.card,
                    about: [machine.items[left.item]?.name ?? '', other.card],
                    message: `${other.card} leaves ${name} ${stateOf(card, left.slot, found)}, and ${takes}. Change what one of them says, or do what lies between on a card of its own.`,
                    related: [
                        { span: left.span, message: `${other.card} leaves it so` },
                        ...(own ? [{ span: own.span, message: 'This card starts with it here' }] : []),
                    ],
                    fixes: own
                        ? []
                        : [
                              fix(
                                  `Start with ${machine.items[left.item]?.name} ${stateOf(card, left.slot, found)}`,
                                  insertAfter(card, other.span, [
                                      `start with ${machine.items[left.item]?.name} is ${stateOf(card, left.slot, found)}`,
                                  ]),
                              ),
                          ],
                    cause: `after ${other.card} ${left.slot}`,
                },
            ];
        }),
    );
}

const stateOf = ({ machine }: Judged, slot: number, state: number): string =>
    machine.slots[slot]?.states[state] ?? 'in none of its states';
const statesOf = (card: Judged, slot: number, states: readonly number[]): string =>
    list(states.map(each => stateOf(card, slot, each))).replace(/ and ([^ ]+)$/, ' or $1');

/** `do CARD`: its `start with` does not hold there. */
function startsOfDone(card: Judged): readonly Finding[] {
    const { plan } = card;
    return plan.done.flatMap(done =>
        done.begin.flatMap(begin =>
            done.start.flatMap(setting => {
                const not = notSo(card, begin, setting);
                const event = plan.events[begin];
                if (!not || !event) return [];
                // What brings it there stands outside the card that is done.
                const outside = { ...event, calls: event.calls.slice(0, -1) };
                const fixes = bringAboutBefore(card, outside, {
                    ...(setting.atLeast > 0 ? { op: 'held', seconds: setting.atLeast } : { op: 'is' }),
                    item: setting.item,
                    slot: setting.slot,
                    state: setting.states[0] ?? 0,
                    contact: false,
                });
                return [told(card, event, setting, not, `${done.card} starts with`, done.card, fixes)];
            }),
        ),
    );
}

/** `finish with` of a card that is done, where it speaks of what moves or shows by itself. */
function endsOfDone(card: Judged): readonly Finding[] {
    const { machine, plan } = card;
    return plan.done.flatMap(done =>
        done.end.flatMap(end =>
            done.finish.flatMap(setting => {
                if (isOfActions(machine.items[setting.item]?.nature)) return [];
                const not = notSo(card, end, setting);
                const event = plan.events[end];
                return not && event
                    ? [told(card, event, setting, not, `${done.card} finishes with`, done.card, [])]
                    : [];
            }),
        ),
    );
}

/** `leave for CARD`: what the other checks of this family cannot tell of, which is what moves or shows by itself, and for how long it has been so. */
function atLeaves(card: Judged): readonly Finding[] {
    const { machine, plan } = card;
    return plan.events.flatMap(event =>
        event.kind !== 'leave-for'
            ? []
            : event.start.flatMap(setting => {
                  const item = machine.items[setting.item];
                  const not = notSo(card, event.id, setting);
                  const elsewhere = isOfActions(item?.nature) && kindOf(item?.kind ?? 'mark').left !== undefined;
                  if (!not || (elsewhere && not.why === 'state')) return [];
                  return [told(card, event, setting, not, `${event.card} starts with`, event.card, [])];
              }),
    );
}

const isOfActions = (nature: string | undefined): boolean => nature === 'operated' || nature === 'wetted';

interface NotSo {
    readonly why: 'state' | 'time';
    readonly state: number;
    /** Guaranteed, for a time. */
    readonly seconds: number;
    readonly by: readonly number[];
}

/** What is not as the setting says on some way to the event, or in some run that comes by. */
function notSo(card: Judged, at: number, { slot, states, atLeast }: Setting): NotSo | undefined {
    const { plan, traces, paths } = card;
    const state = paths.at[at];
    if (!state) return undefined;
    const facts = state.facts[slot];
    if (facts) {
        const wrong = facts.find(each => !states.includes(each.state));
        if (wrong) return { why: 'state', state: wrong.state, seconds: 0, by: byOfState(state, slot, wrong.state) };
        const short = facts.find(each => lasted(state, each) < atLeast);
        return short && { why: 'time', state: short.state, seconds: lasted(state, short), by: short.by };
    }
    const seen = seenWholeAt(plan, traces, at);
    const by = (each: Seen): readonly number[] => [rootOfLastChange(each, slot)];
    const wrong = seen.find(({ visit }) => !states.includes(visit.before[slot] as number));
    if (wrong) return { why: 'state', state: wrong.visit.before[slot] as number, seconds: 0, by: by(wrong) };
    const so = ({ visit }: Seen): number => visit.guaranteed - (visit.since[slot] ?? 0);
    const short = seen.find(each => so(each) < atLeast);
    return short && { why: 'time', state: short.visit.before[slot] as number, seconds: so(short), by: by(short) };
}

function told(
    card: Judged,
    event: Event,
    setting: Setting,
    not: NotSo,
    says: string,
    other: string,
    fixes: readonly Fix[],
): Finding {
    const { machine, plan } = card;
    const name = thing(machine, setting.item);
    const changed = isOfActions(machine.items[setting.item]?.nature) ? undefined : 'brought about';
    const wanted = statesOf(card, setting.slot, setting.states);
    const what =
        not.why === 'time'
            ? `${name} ${isSo(machine, setting.slot, not.state)} for a guaranteed ${duration(not.seconds)} only, and ${says} it so for at least ${duration(setting.atLeast)}. Wait first.`
            : `${name} ${isSo(machine, setting.slot, not.state)} here, and ${says} ${wanted}. Bring it there first.`;
    return {
        code: 'handover-mismatch',
        severity: 'error',
        span: event.span,
        card: plan.card,
        about: [machine.items[setting.item]?.name ?? '', other],
        message: what.replace(/ (Wait first|Bring it there first)\.$/, `${changedAt(plan, not.by, changed)} $1.`),
        related: [
            ...calledFrom({ ...event, calls: event.kind === 'join' ? event.calls.slice(0, -1) : event.calls }),
            ...changedHere(plan, not.by, event.id, changed),
            { span: setting.span, message: `${other} says so here` },
        ],
        fixes,
        cause: `${event.key} ${setting.slot}`,
    };
}

/** A card that is done here says `after` another, and nothing says that the other is done. */
function earlierMissing(card: Judged): readonly Finding[] {
    const { plan } = card;
    const missing: { done: DoneCard; first: string }[] = [];
    for (const done of plan.done) {
        const around = plan.done.filter(
            each =>
                each.calls.length < done.calls.length &&
                each.calls.every(
                    (call, n) =>
                        call.span.offset === done.calls[n]?.span.offset && call.span.file === done.calls[n]?.span.file,
                ),
        );
        for (const first of done.after) {
            if (plan.earlier.includes(first) || around.some(each => each.earlier.includes(first))) continue;
            if (done.begin.some(begin => !doneBefore(card, first, begin))) missing.push({ done, first });
        }
    }
    return missing.map(({ done, first }) => ({
        code: 'handover-mismatch',
        severity: 'error',
        span: done.span,
        card: plan.card,
        about: [done.card, first],
        message: `${done.card} is done here, and it comes after ${first}. Nothing on this card says that ${first} is done by then. Write "after ${first}", or do it first.`,
        related: done.calls
            .slice(0, -1)
            .reverse()
            .map(call => ({ span: call.span, message: `${call.name} is called here` })),
        fixes: comeAfter(card, first),
        cause: `${done.card} after ${first}`,
    }));
}

/** On every way to the event the other card has been done, or one that comes after it. */
function doneBefore({ plan }: Judged, first: string, begin: number): boolean {
    const ends = new Set(
        plan.done.flatMap(each => (each.card === first || each.earlier.includes(first) ? each.end : [])),
    );
    const at: (boolean | undefined)[] = [false];
    for (const event of plan.events) {
        const so = at[event.id];
        if (event.id === begin) return so ?? false;
        if (so === undefined) continue;
        for (const next of [event.next, event.other])
            if (next !== NONE) at[next] = (at[next] ?? true) && (so || ends.has(event.id));
    }
    return false;
}

function comeAfter(card: Judged, first: string): readonly Fix[] {
    const { plan } = card;
    const text = card.text(plan.file);
    const open = text.indexOf('{', plan.span.offset);
    const last = plan.after.at(-1);
    if (last) return [fix(`Come after ${first}`, insertAfter(card, last.span, [`after ${first}`]))];
    if (open < 0 || open > plan.span.end) return [];
    return [
        fix(
            `Come after ${first}`,
            insertAfter(card, spanAt(text, plan.file, plan.span.offset, open + 1), [`  after ${first}`]),
        ),
    ];
}
