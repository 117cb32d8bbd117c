import type { Failure } from '../../../failures/failure.js';
import { passedFailures } from '../../../failures/passing.js';
import { faultOf } from '../../../failures/runs.js';
import { disturbedBy, modesOf, tested } from '../../../failures/which.js';
import type { Finding } from '../../../findings/finding.js';
import { calledFrom, didWhat, thing, things } from '../../../findings/phrases.js';
import { type Item, NONE } from '../../../machine/machine.js';
import { surelyOff } from '../../../paths/places.js';
import { isAlreadySo } from '../../../paths/rules.js';
import type { Event } from '../../../plan/plan.js';
import { perform } from '../../../trace/perform.js';
import { atStart, eventsIn } from '../../../trace/run.js';
import { lowerFirst } from '../../../vocabulary/sentences.js';
import type { Check, Judged } from '../../check.js';
import { owedAlong, owedAtEnd, owing, settled } from '../owed.js';

/** A joint is disturbed, and on some way to the end no look would show that it leaks. */
export const notLeakChecked: Check = {
    code: 'not-leak-checked',
    family: 'work',
    severity: 'error',
    title: 'A joint was disturbed and no look after it would show a leak',
    ofCard: card => {
        const { found, shows } = unseenLeaks(card);
        return [...found].map(([event, joints]) => finding(card, card.plan.events[event] as Event, joints, shows));
    },
};

interface UnseenLeaks {
    /** By the event that disturbed them last, the joints. */
    readonly found: ReadonlyMap<number, readonly number[]>;
    /** By joint, the looks that show its leak. */
    readonly shows: ReadonlyMap<number, ReadonlySet<number>>;
}

const NOTHING: UnseenLeaks = { found: new Map(), shows: new Map() };
const cache = new WeakMap<Judged, UnseenLeaks>();

/** Computed once a card. */
export function unseenLeaks(card: Judged): UnseenLeaks {
    let unseen = cache.get(card);
    if (!unseen) {
        unseen = compute(card);
        cache.set(card, unseen);
    }
    return unseen;
}

function compute(card: Judged): UnseenLeaks {
    const { machine, plan, paths, traces } = card;
    const [plain] = traces.plain;
    if (!traces.plainHolds || !plain) return NOTHING;
    const leaks = new Map<number, Failure>();
    for (const index of machine.items.keys())
        for (const failure of modesOf(machine, index)) if (failure.mode === 'LEAKING') leaks.set(index, failure);
    const disturbs = new Map<number, readonly number[]>();
    for (const event of plan.events) {
        const state = paths.at[event.id];
        if (!state || isAlreadySo(event, state)) continue;
        const joints = disturbedBy(machine, event).filter(each => leaks.has(each));
        if (joints.length > 0) disturbs.set(event.id, joints);
    }
    if (disturbs.size === 0) return NOTHING;

    const shows = new Map<number, Set<number>>();
    const toldByTest = new Set<number>();
    const inTest = tested(machine, plan, plain);
    for (const { failure, revealedBy } of card.failures()) {
        if (failure.mode !== 'LEAKING') continue;
        shows.set(failure.item, new Set(revealedBy));
        if (revealedBy.length === 0 && inTest.has(failure.item)) toldByTest.add(failure.item);
    }
    const { unproved } = passedFailures(machine, plan, card.runs, card.failures());
    const isTold = (joint: number, event: number): boolean =>
        unproved.some(each => each.event === event && each.item === joint);
    const found = new Map<number, number[]>();
    const done = new Set<string>();
    for (let open = true; open; ) {
        open = false;
        for (const [joint, by] of unseen(card, disturbs, shows)) {
            if (toldByTest.has(joint)) continue;
            for (const event of by) {
                // What a failure leads into is told of by passes-failed.
                if (done.has(`${joint} ${event}`) || isTold(joint, event)) continue;
                const looks = seenOnTheWay(card, leaks.get(joint) as Failure, event, disturbs, shows.get(joint));
                for (const each of looks) shows.set(joint, (shows.get(joint) ?? new Set()).add(each));
                if (looks.length > 0) open = true;
                else {
                    done.add(`${joint} ${event}`);
                    found.set(event, [...(found.get(event) ?? []), joint]);
                }
            }
        }
    }
    return { found, shows };
}

/** By joint that is not surely off at the end, the disturbances after which there is a way to the end without any of the looks that show its leak. */
function unseen(
    card: Judged,
    disturbs: ReadonlyMap<number, readonly number[]>,
    shows: ReadonlyMap<number, ReadonlySet<number>>,
): ReadonlyMap<number, readonly number[]> {
    const along = owedAlong(card, new Map(), (owed, event) => {
        let left = owed;
        for (const joint of disturbs.get(event.id) ?? []) left = owing(left, joint, [event.id]);
        if (event.kind !== 'look' || left.size === 0) return left;
        return settled(left, ...[...left.keys()].filter(joint => shows.get(joint)?.has(event.id)));
    });
    const found = new Map<number, readonly number[]>();
    for (const { owed, state } of owedAtEnd(card, along))
        for (const [joint, by] of owed) if (!surelyOff(card.machine, state, joint)) found.set(joint, by);
    return found;
}

/**
 * One way through the card over the disturbance to the end, past all looks that are known to show the leak: the looks on it that show it all the same. None
 * where the plain run takes that way, whose looks are known.
 */
function seenOnTheWay(
    card: Judged,
    failure: Failure,
    disturbance: number,
    disturbs: ReadonlyMap<number, readonly number[]>,
    known: ReadonlySet<number> | undefined,
): readonly number[] {
    const { machine, plan, paths, traces } = card;
    const again = (id: number): boolean => id !== disturbance && (disturbs.get(id)?.includes(failure.item) ?? false);
    const ahead: boolean[] = [];
    const toEnd: boolean[] = [];
    for (const { id, kind, next, other } of [...plan.events].reverse()) {
        const on = (to: boolean[]): boolean =>
            (next !== NONE && to[next] === true) || (other !== NONE && to[other] === true);
        if (!paths.at[id]) continue;
        ahead[id] = id === disturbance || on(ahead);
        toEnd[id] = kind === 'end' || (!known?.has(id) && !again(id) && on(toEnd));
    }
    const [plain] = traces.plain;
    const sound = atStart(machine, plan, 'slowest', plain?.choice ?? []);
    if (!sound) return [];
    const usual = eventsIn(plain ? [plain] : []);
    let leaking: typeof sound | undefined;
    const looks: number[] = [];
    for (let at = 0; at !== NONE; ) {
        const event = plan.events[at];
        if (!event) break;
        const met = perform(sound, event);
        if (leaking) {
            const seen = perform(leaking, event);
            if (event.kind === 'look' && met !== false && seen === false) looks.push(event.id);
        }
        if (event.id === disturbance) {
            leaking = sound.clone();
            leaking.event = NONE;
            leaking.begin(faultOf(machine, failure));
        }
        const way = leaking ? toEnd : ahead;
        const open = [event.next, event.other].filter(each => each !== NONE && way[each]);
        at = open.find(each => usual.has(each)) ?? open[0] ?? NONE;
    }
    return looks;
}

function finding(
    card: Judged,
    event: Event,
    joints: readonly number[],
    shows: ReadonlyMap<number, ReadonlySet<number>>,
): Finding {
    const { machine, plan } = card;
    const items = joints.map(each => machine.items[each] as Item);
    const some = joints.some(each => [...(shows.get(each) ?? [])].some(look => look > event.id));
    const what = things(machine, joints);
    const leak = joints.length === 1 ? (joints[0] === event.item ? 'it leaks' : `${what} leaks`) : `${what} leak`;
    const areas = [...new Set(items.map(each => each.wets))];
    const sources = [...new Set(items.map(each => machine.items[each.carries]?.label ?? ''))];
    return {
        code: 'not-leak-checked',
        severity: 'error',
        span: event.span,
        card: plan.card,
        about: [...items.map(each => each.name)],
        message: `${thing(machine, event.item)} is ${didWhat(event)} here, and ${some ? 'there is a way to the end of the card on which' : 'after that'} no look would show that ${leak}. Once it is back, bring on ${sources.map(lowerFirst).join(' and ')} and see that ${things(machine, areas)} ${areas.length === 1 ? 'is' : 'are'} DRY.`,
        related: [
            ...calledFrom(event),
            ...items.map((each, n) => ({
                span: each.span,
                message: `${thing(machine, joints[n] as number)} stands here`,
            })),
        ],
        fixes: [],
        cause: event.key,
    };
}
