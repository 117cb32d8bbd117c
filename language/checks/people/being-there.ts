import type { Finding, Fix } from '../../findings/finding.js';
import {
    calledFrom,
    changedAt,
    changedHere,
    didWhat,
    placeName,
    roleName,
    thing,
    things,
} from '../../findings/phrases.js';
import { type Machine, NONE } from '../../machine/machine.js';
import type { PathState } from '../../paths/paths.js';
import { coversOn, onStates, type Reach, reach } from '../../paths/places.js';
import { isAlreadySo } from '../../paths/rules.js';
import type { Event } from '../../plan/plan.js';
import type { Judged } from '../check.js';
import { fix, insertAfter, insertBefore, moveBefore, roleThere } from '../edits.js';

/** A role does something where it is not, or does not reach. What is only looked at there cannot be seen: that is another check. */
export function roleNotThere(card: Judged): readonly Finding[] {
    const { machine, plan, paths } = card;
    const found: Finding[] = [];
    for (const event of plan.events) {
        const state = paths.at[event.id];
        if (!state || event.role === NONE || isAlreadySo(event, state)) continue;
        if (event.kind === 'branch' || (event.kind === 'look' && event.look !== 'measure')) continue;
        if (event.kind === 'go') {
            const covers = coversOn(machine, state, event.place, NONE);
            if (covers.length > 0) found.push(finding(card, event, state, { ok: false, why: 'covered', covers }));
            continue;
        }
        for (const place of placesOfWork(machine, event)) {
            const reached = reach(machine, state, event.role, place);
            // What a hold cannot see for covers alone it comes too late for.
            if (reached.ok || (event.kind === 'hold' && reached.why === 'covered')) continue;
            found.push(finding(card, { ...event, place }, state, reached));
            break;
        }
    }
    return found;
}

/** Where it is done; a text or a hold may name things at several places. */
function placesOfWork(machine: Machine, event: Event): readonly number[] {
    const named =
        event.kind === 'prose' || event.kind === 'hold'
            ? event.refs.map(each => machine.items[each]?.place ?? NONE)
            : [];
    return [...new Set([event.place, ...named])].filter(each => each !== NONE);
}

function finding(card: Judged, event: Event, state: PathState, reached: Exclude<Reach, { ok: true }>): Finding {
    const { machine, plan } = card;
    const role = roleName(plan, event.role);
    const place = placeName(machine, event.place);
    const does =
        event.kind === 'go' ? `${role} goes to ${place}` : `${role} cannot reach ${object(card, event)} at ${place}`;
    const covers = reached.why === 'covered' ? reached.covers : [];
    const by = [...new Set(covers.flatMap(each => eventsPuttingOn(machine, state, each)))];
    const why =
        reached.why === 'covered'
            ? `${event.kind === 'go' ? ' while ' : ': '}${things(machine, covers)} ${covers.length === 1 ? 'is' : 'are'} on`
            : reached.base === NONE
              ? ': no place is given for that role'
              : ` from ${placeName(machine, reached.base)}`;
    const advice =
        reached.why === 'covered'
            ? ' Take it off first.'
            : ` Let somebody do it who is there, or write "go to ${machine.places[event.place]?.name}".`;
    return {
        code: 'role-not-there',
        severity: 'error',
        span: event.span,
        card: plan.card,
        about: [
            plan.roles[event.role]?.name ?? '',
            machine.items[event.item]?.name ?? machine.places[event.place]?.name ?? '',
        ],
        message: `${does}${why}.${changedAt(plan, by)}${advice}`,
        related: [...calledFrom(event), ...changedHere(plan, by, event.id)],
        fixes: reached.why === 'covered' ? uncover(card, event, covers) : goThere(card, event, reached.base),
        // The same cover, or the same role with the same way to go, is one mistake.
        cause: `${event.role} ${reached.why === 'covered' ? `${covers.join(' ')} ${by.map(each => plan.events[each]?.key ?? 'start').join(' ')}` : `${event.place} ${event.step} ${reached.base}`}`,
    };
}

function object(card: Judged, event: Event): string {
    if (event.item !== NONE) return `${thing(card.machine, event.item)}, which is ${didWhat(event)},`;
    return (event.kind === 'prose' || event.kind === 'hold') && event.refs.length > 0
        ? thing(
              card.machine,
              event.refs.find(each => card.machine.items[each]?.place === event.place) ?? event.refs[0] ?? NONE,
          )
        : 'what is to be done';
}

function eventsPuttingOn(machine: Machine, state: PathState, cover: number): readonly number[] {
    return onStates(machine, cover).flatMap(each =>
        (state.facts[each.slot] ?? []).flatMap(fact => (fact.state === each.state ? fact.by : [])),
    );
}

/** Goes there for it and back again. */
function goThere(card: Judged, event: Event, base: number): readonly Fix[] {
    const { machine } = card;
    const role = roleThere(card, event, event.role);
    const place = machine.places[event.place]?.name;
    const back = machine.places[base]?.name;
    if (!role || !place) return [];
    const go = insertBefore(card, event.statement, [`${role}: go to ${place}`]);
    const title = `Let ${roleName(card.plan, event.role)} go to ${placeName(machine, event.place)}`;
    return [
        ...(back ? [fix(`${title} and back`, go, insertAfter(card, event.statement, [`${role}: go to ${back}`]))] : []),
        fix(title, go),
    ];
}

function uncover(card: Judged, event: Event, covers: readonly number[]): readonly Fix[] {
    const { machine } = card;
    const role = roleThere(card, event, event.role);
    if (!role) return [];
    const lines = covers.flatMap(each => {
        const item = machine.items[each];
        return item ? [`${role}: ${item.kind === 'door' ? 'open' : 'remove'} ${item.name}`] : [];
    });
    const back = covers.flatMap(each => {
        const item = machine.items[each];
        return item ? [`${role}: ${item.kind === 'door' ? 'close' : 'install'} ${item.name}`] : [];
    });
    const off = insertBefore(card, event.statement, lines);
    const title = `Take off what covers it first`;
    return [fix(title, off), fix(`${title}, and put it back`, off, insertAfter(card, event.statement, back))];
}

/** Something that the hold names is out of sight by then. */
export function holdTooLate(card: Judged): readonly Finding[] {
    const { machine, plan, paths } = card;
    const found: Finding[] = [];
    for (const event of plan.events) {
        const state = paths.at[event.id];
        if (event.kind !== 'hold' || !state) continue;
        const hidden = new Map<string, { items: number[]; why: string; by: readonly number[] }>();
        for (const item of new Set(event.refs)) {
            const over = hiddenBy(card, state, event.role, item);
            if (!over) continue;
            const key = over.covers.join(' ');
            const entry = hidden.get(key) ?? { items: [], why: things(machine, over.covers), by: over.by };
            entry.items.push(item);
            hidden.set(key, entry);
        }
        for (const { items, why, by } of hidden.values()) {
            found.push({
                code: 'hold-too-late',
                severity: 'error',
                span: event.span,
                card: plan.card,
                about: items.map(each => machine.items[each]?.name ?? ''),
                message: `${things(machine, items)} ${items.length === 1 ? 'is' : 'are'} out of sight at this hold: ${why} ${why.includes(' and ') ? 'are' : 'is'} in the way.${changedAt(plan, by)} Hold before that.`,
                related: [...calledFrom(event), ...changedHere(plan, by, event.id)],
                fixes: holdEarlier(card, event, by),
                cause: `${event.key} ${items.join(' ')}`,
            });
        }
    }
    return found;
}

/** What may hide the thing from the role that holds, and the events that put it there. */
function hiddenBy(
    card: Judged,
    state: PathState,
    role: number,
    item: number,
): { covers: readonly number[]; by: readonly number[] } | undefined {
    const { machine } = card;
    const own = machine.items[item];
    if (!own) return undefined;
    const covers: number[] = [];
    for (const base of state.base[role] ?? [])
        for (const each of coversOn(machine, state, own.place, base)) if (!covers.includes(each)) covers.push(each);
    // A seal is seen only while the unit that it is in is off.
    const unit = own.kind === 'seal' ? machine.items[own.unit] : undefined;
    if (unit && !state.facts[unit.presence]?.every(each => each.state !== 0)) covers.push(own.unit);
    if (covers.length === 0) return undefined;
    return {
        covers,
        by: [...new Set(covers.flatMap(each => eventsPuttingOn(machine, state, each)))].filter(each => each !== NONE),
    };
}

function holdEarlier(card: Judged, event: Event, by: readonly number[]): readonly Fix[] {
    const first = card.plan.events[by[0] ?? NONE];
    if (!first || event.calls.length > 0 || first.calls.length > 0) return [];
    const edits = moveBefore(card, event.statement, first.statement);
    return edits ? [fix('Hold before it is out of sight', ...edits)] : [];
}
