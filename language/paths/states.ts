import { type Machine, NONE } from '../machine/machine.js';
import type { Event, Plan } from '../plan/plan.js';
import type { Traces } from '../trace/trace.js';
import { kindOf } from '../vocabulary/kinds/index.js';
import { mayBeLive } from './evaluate.js';
import { byOf, kept, maskOf, maybe, normalised, START, surely } from './facts.js';
import type { Fact, Facts, PathState } from './paths.js';
import { onStates, unitsOf } from './places.js';
import { type Seen, seenWholeAt } from './runs.js';

/** What actions change: the states things may be in, the tags on them, and what may be wet. */
export type States = Pick<PathState, 'facts' | 'states' | 'by'>;

/** A slot that an action changes. A tag is told with the breaker or control that it hangs on. */
export function isOperated(machine: Machine, slot: number): boolean {
    const { kind, item } = machine.slots[slot] as Machine['slots'][number];
    const nature = machine.items[item]?.nature;
    return kind === 'presence' || (kind === 'state' && (nature === 'operated' || nature === 'wetted'));
}

export function statesAtStart(machine: Machine, plan: Plan): States {
    const facts: (Facts | undefined)[] = machine.slots.map((slot, index) => {
        if (!isOperated(machine, index)) return undefined;
        const setting = plan.start.find(each => each.slot === index);
        return normalised(
            (setting?.states ?? [slot.normal]).map(state => ({
                state,
                tagged: false,
                by: START,
                tagBy: START,
                since: -(setting?.atLeast ?? 0),
            })),
        );
    });
    return viewed(machine, facts);
}

/** The facts of a slot changed; `states` and `by` follow. */
export function withFacts(machine: Machine, state: PathState, slot: number, facts: Facts): PathState {
    if (state.facts[slot] === facts) return state;
    const copy = [...state.facts];
    copy[slot] = facts;
    const states = [...state.states];
    const by = [...state.by];
    view(machine, slot, facts, states, by);
    return { ...state, facts: copy, states, by };
}

export function viewed(machine: Machine, facts: readonly (Facts | undefined)[]): States {
    const states: number[] = machine.slots.map(() => 0);
    const by: (readonly number[])[] = machine.slots.map(() => START);
    for (const [slot, each] of facts.entries()) if (each) view(machine, slot, each, states, by);
    return { facts, states, by };
}

export function view(machine: Machine, slot: number, facts: Facts, states: number[], by: (readonly number[])[]): void {
    states[slot] = maskOf(facts);
    by[slot] = byOf(facts);
    const owner = machine.slots[slot] as Machine['slots'][number];
    const item = machine.items[owner.item];
    if (!item || item.tag === NONE || owner.kind !== 'state') return;
    states[item.tag] = (facts.some(each => !each.tagged) ? 1 : 0) | (facts.some(each => each.tagged) ? 2 : 0);
    by[item.tag] = byOf(facts, 'tagBy');
}

/** What the event does to states, its time not yet passed. */
export function afterAction(machine: Machine, state: PathState, event: Event): PathState {
    switch (event.kind) {
        case 'operate': {
            // A cleaned area is clean anew, however dry it was.
            const again = machine.items[event.item]?.nature === 'wetted';
            return operated(machine, state, event.slot, event.state, event.id, again);
        }
        case 'keep-start':
        case 'keep-end':
            return operated(machine, state, event.slot, event.state, event.id, false);
        case 'press':
            return operated(machine, state, event.slot, event.pressed, event.id, false);
        case 'tag': {
            const slot = machine.items[event.item]?.slot ?? NONE;
            const facts = state.facts[slot];
            if (!facts) return state;
            const tagged = event.verb === 'tag';
            const hung = facts.map(each => (each.tagged === tagged ? each : { ...each, tagged, tagBy: [event.id] }));
            return withFacts(machine, state, slot, normalised(hung));
        }
        default:
            return state;
    }
}

/** Released after its time has passed. */
export function afterPress(machine: Machine, state: PathState, event: Event): PathState {
    return event.kind === 'press' ? operated(machine, state, event.slot, event.released, event.id, false) : state;
}

function operated(
    machine: Machine,
    state: PathState,
    slot: number,
    to: number,
    event: number,
    again: boolean,
): PathState {
    const facts = state.facts[slot];
    if (!facts || (!again && surely(facts, to) && !facts.some(each => takesTagOff(machine, slot, to) && each.tagged)))
        return state;
    const off = takesTagOff(machine, slot, to);
    const after = facts.map((each): Fact => {
        const tag = off && each.tagged ? { tagged: false, tagBy: [event] } : { tagged: each.tagged, tagBy: each.tagBy };
        if (each.state === to && !again) return tag.tagged === each.tagged ? each : { ...each, ...tag };
        return { state: to, ...tag, by: [event], since: state.clock };
    });
    return withFacts(machine, state, slot, normalised(after));
}

/** Closing a breaker takes its tag off. */
function takesTagOff(machine: Machine, slot: number, to: number): boolean {
    const owner = machine.slots[slot];
    const item = machine.items[owner?.item ?? NONE];
    return (
        owner?.kind === 'state' && item?.kind === 'breaker' && to === item.states.indexOf(kindOf('breaker').on ?? '')
    );
}

/**
 * What a look or an `if` tells about what it looks at, on either way. A way that no state allows is taken only when
 * something has failed: then what the card has done still holds, but an area that is not as it should be is. A look that
 * every run contradicts tells nothing of an area: it is as wet after it as before.
 */
export function refined(
    machine: Machine,
    state: PathState,
    event: Event,
    met: boolean,
    seen: readonly Seen[],
): PathState {
    if (event.kind !== 'branch' && !(event.kind === 'look' && event.look === 'see')) return state;
    const facts = state.facts[event.slot];
    if (!facts) return state;
    const left = kept(facts, each => (each.state === event.state) === met);
    const wetted = machine.items[event.item]?.nature === 'wetted';
    const contradicted =
        wetted && met && seen.length > 0 && seen.every(({ visit }) => visit.after[event.slot] !== event.state);
    if (left) return contradicted ? state : withFacts(machine, state, event.slot, left);
    const now = met ? event.state : 1 - event.state;
    if (!wetted || met || now !== WET) return state;
    return withFacts(machine, state, event.slot, [wetness(WET, event, state)]);
}

/** By joint that wets something: what is needed to tell whether it lets out. */
export function jointsOf(machine: Machine): readonly number[] {
    return [...machine.items.entries()].flatMap(([n, item]) =>
        item.carries !== NONE && item.wets !== NONE ? [n] : [],
    );
}

const WET = 1;

const wetness = (state: number, event: Event, at: PathState): Fact => ({
    state,
    tagged: false,
    by: [event.id],
    tagBy: START,
    since: at.clock,
});

/** Areas get wet while a joint may be off or open and its source may be live. `event` brought it about. */
export function seeped(
    machine: Machine,
    plan: Plan,
    traces: Traces,
    joints: readonly number[],
    state: PathState,
    event: Event,
): PathState {
    let next = state;
    const here = seenWholeAt(plan, traces, event.id);
    for (const joint of joints) {
        const { wets, carries } = machine.items[joint] as Machine['items'][number];
        const slot = machine.items[wets]?.slot ?? NONE;
        const facts = next.facts[slot];
        if (!facts || surely(facts, WET)) continue;
        const leaks =
            here.some(({ visit }) => visit.after[slot] === WET && visit.before[slot] !== WET) ||
            (mayBeOff(machine, next, joint) && mayBeLive(machine, next, carries, here));
        if (!leaks || maybe(facts, WET)) continue;
        next = withFacts(machine, next, slot, normalised([...facts, wetness(WET, event, state)]));
    }
    return next;
}

/** Opened, disconnected or removed, or in something that is. */
export function mayBeOff(machine: Machine, state: PathState, item: number): boolean {
    if (!onStates(machine, item).every(each => surely(state.facts[each.slot], each.state))) return true;
    return unitsOf(machine, item).some(unit => {
        const presence = machine.items[unit]?.presence ?? NONE;
        return presence !== NONE && !surely(state.facts[presence], 0);
    });
}
