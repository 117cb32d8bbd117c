import type { Finding, Fix } from '../../findings/finding.js';
import { calledFrom, changedAt, changedHere, didWhat, stillSo, thing, things } from '../../findings/phrases.js';
import { type Machine, NONE } from '../../machine/machine.js';
import { maybe } from '../../paths/facts.js';
import { byOfState } from '../../paths/judge.js';
import type { PathState } from '../../paths/paths.js';
import { isIn, onStates, surelyOff, unitsOf } from '../../paths/places.js';
import { isAlreadySo } from '../../paths/rules.js';
import type { Event } from '../../plan/plan.js';
import { kindOf } from '../../vocabulary/kinds/index.js';
import { list } from '../../vocabulary/sentences.js';
import type { Judged } from '../check.js';
import { bringingAbout, fix, insertBefore, moveBefore } from '../edits.js';

/** What must be done first, by the table of the vocabulary: one finding for each thing missing, however many acts it spoils. */
export function needsFirst(card: Judged): readonly Finding[] {
    const { plan, paths } = card;
    const found: Finding[] = [];
    for (const event of plan.events) {
        const state = paths.at[event.id];
        if (!state) continue;
        if (event.kind === 'operate' && !isAlreadySo(event, state)) {
            if (takesOff(event)) found.push(...holdingOn(card, state, event));
            else {
                const early = putOnTooEarly(card, state, event);
                if (early) found.push(early);
            }
        }
        if (
            event.kind === 'operate' ||
            event.kind === 'press' ||
            event.kind === 'keep-start' ||
            event.kind === 'torque'
        ) {
            if (event.kind === 'operate' && isAlreadySo(event, state)) continue;
            const gone = outOfReach(card, state, event);
            if (gone) found.push(gone);
        }
    }
    return found;
}

/** The event takes the item off: removes, disconnects or opens it. */
function takesOff({ verb }: Extract<Event, { kind: 'operate' }>): boolean {
    return verb === 'remove' || verb === 'disconnect' || verb === 'open';
}

/** No unit comes off with its connectors made, and nothing with what holds it in place. */
function holdingOn(card: Judged, state: PathState, event: Event): readonly Finding[] {
    const { machine } = card;
    const connectors = machine.items.flatMap((item, n) =>
        event.kind === 'operate' &&
        event.verb === 'remove' &&
        item.kind === 'connector' &&
        n !== event.item &&
        isIn(machine, n, event.item)
            ? [n]
            : [],
    );
    const holders = machine.items.flatMap((item, n) => (item.holds.includes(event.item) ? [n] : []));
    const missing = [...connectors, ...holders].filter(each => !surelyOff(machine, state, each));
    if (missing.length === 0) return [];
    const words = missing.map(each => `${thing(machine, each)} ${stillOn(machine, each)}`);
    return [
        finding(
            card,
            event,
            missing,
            `${thing(machine, event.item)} is ${didWhat(event)} while ${list(words)}. ${upper(undoing(machine, missing))} first.`,
            [],
            event.key,
            undo(card, event, missing),
        ),
    ];
}

const upper = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

function stillOn(machine: Machine, item: number): string {
    const on = onStates(machine, item)[0];
    const kind = kindOf(machine.items[item]?.kind ?? 'unit');
    if (kind.word === 'connector') return 'is connected';
    return on ? `is ${machine.slots[on.slot]?.states[on.state]?.toLowerCase() ?? 'on'}` : 'is on';
}

/** "disconnect RA-J2", "remove B1 and B2". */
function undoing(machine: Machine, items: readonly number[]): string {
    const byVerb = new Map<string, number[]>();
    for (const each of items) {
        const verb = offVerb(machine, each);
        byVerb.set(verb, [...(byVerb.get(verb) ?? []), each]);
    }
    return list([...byVerb].map(([verb, those]) => `${verb} ${things(machine, those)}`));
}

function offVerb(machine: Machine, item: number): string {
    const kind = machine.items[item]?.kind;
    return kind === 'connector' ? 'disconnect' : kind === 'door' || kind === 'port' ? 'open' : 'remove';
}

function undo(card: Judged, event: Event, missing: readonly number[]): readonly Fix[] {
    const { machine, plan } = card;
    const found: Fix[] = [];
    // Where it is done just afterwards, the two change places.
    const later = plan.events.find(
        each =>
            each.id > event.id &&
            each.kind === 'operate' &&
            missing.includes(each.item) &&
            !onStates(machine, each.item).some(on => on.slot === each.slot && on.state === each.state) &&
            each.calls.length === event.calls.length,
    );
    const statement = later?.statement;
    if (statement && statement.offset !== event.statement.offset && later.step === event.step) {
        const edits = moveBefore(card, statement, event.statement);
        if (edits) found.push(fix(`${upper(undoing(machine, missing))} before it`, ...edits));
    }
    const lines = missing.flatMap(each => {
        const on = onStates(machine, each)[0];
        const off = on && (machine.slots[on.slot]?.states.length ?? 0) === 2 ? 1 - on.state : NONE;
        return on && off !== NONE
            ? (bringingAbout(card, event, { op: 'is', item: each, slot: on.slot, state: off, contact: false })?.slice(
                  -1,
              ) ?? [])
            : [];
    });
    if (lines.length === missing.length)
        found.push(fix(`${upper(undoing(machine, missing))} first`, insertBefore(card, event.statement, lines)));
    return found;
}

/** What holds something goes on after it. */
function putOnTooEarly(
    card: Judged,
    state: PathState,
    event: Extract<Event, { kind: 'operate' }>,
): Finding | undefined {
    const { machine } = card;
    const own = machine.items[event.item];
    if (
        !own ||
        own.holds.length === 0 ||
        !onStates(machine, event.item).some(each => each.slot === event.slot && each.state === event.state)
    )
        return undefined;
    const off = own.holds.flatMap(each => offSlot(machine, state, each) ?? []);
    const [first] = off;
    if (!first) return undefined;
    const by = byOfState(state, first.slot, first.state);
    return finding(
        card,
        event,
        off.map(each => each.item),
        `${thing(machine, event.item)} is ${didWhat(event)} while ${thing(machine, first.item)}, which it holds, is ${machine.slots[first.slot]?.states[first.state]?.toLowerCase()}. ${upper(kindOf(machine.items[first.item]?.kind ?? 'unit').word === 'connector' ? 'connect' : machine.slots[first.slot]?.states[first.state] === 'OPEN' ? 'close' : 'install')} that first.`,
        by,
        causeKey(card, by, first.item),
        [],
    );
}

/** Where the thing may be off: removed, disconnected or open. */
function offSlot(
    machine: Machine,
    state: PathState,
    item: number,
): { readonly item: number; readonly slot: number; readonly state: number } | undefined {
    const own = machine.items[item];
    for (const slot of own ? [own.presence, own.slot] : [])
        for (const word of ['REMOVED', 'DISCONNECTED', 'OPEN']) {
            const off = slot === NONE ? NONE : (machine.slots[slot]?.states.indexOf(word) ?? NONE);
            if (off !== NONE && own?.nature === 'operated' && maybe(state.facts[slot], off))
                return { item, slot, state: off };
        }
    return undefined;
}

const removedState = (machine: Machine, presence: number): number =>
    machine.slots[presence]?.states.indexOf('REMOVED') ?? NONE;

function removedBy(machine: Machine, state: PathState, item: number): readonly number[] {
    const presence = machine.items[item]?.presence ?? NONE;
    return presence === NONE ? [] : byOfState(state, presence, removedState(machine, presence));
}

/** Nothing inside a removed unit is worked on, and what is removed is neither operated nor torqued. */
function outOfReach(card: Judged, state: PathState, event: Event): Finding | undefined {
    const { machine } = card;
    const chain = [event.item, ...unitsOf(machine, event.item)];
    for (const each of chain) {
        const presence = machine.items[each]?.presence ?? NONE;
        if (presence === NONE || !maybe(state.facts[presence], removedState(machine, presence))) continue;
        // Taking it off and putting it on is what may be done to it.
        if (
            each === event.item &&
            (('slot' in event && event.slot === presence) ||
                (kindOf(machine.items[each]?.kind ?? 'unit').isPresence && event.kind === 'operate'))
        )
            continue;
        // Guards are off most of the time.
        if (machine.slots[presence]?.normal === removedState(machine, presence)) continue;
        const by = removedBy(machine, state, each);
        const where = each === event.item ? 'it' : `${thing(machine, each)}, which it is in,`;
        const still = stillSo(machine, presence, removedState(machine, presence));
        return finding(
            card,
            event,
            [each],
            `${thing(machine, event.item)} is ${didWhat(event)} while ${where} ${still.replace('is still', 'is')}.${changedAt(card.plan, by)} Install it first.`,
            by,
            causeKey(card, by, each),
            [],
        );
    }
    return undefined;
}

function causeKey(card: Judged, by: readonly number[], item: number): string {
    const last = by.filter(each => each !== NONE).at(-1);
    return last === undefined ? `start ${item}` : (card.plan.events[last]?.key ?? '');
}

function finding(
    card: Judged,
    event: Event,
    missing: readonly number[],
    message: string,
    by: readonly number[],
    cause: string,
    fixes: readonly Fix[],
): Finding {
    const { machine, plan } = card;
    return {
        code: 'needs-first',
        severity: 'warning',
        span: event.span,
        card: plan.card,
        about: [...new Set([event.item, ...missing])].map(each => machine.items[each]?.name ?? ''),
        message,
        related: [...calledFrom(event), ...changedHere(plan, by, event.id)],
        fixes,
        cause,
    };
}
