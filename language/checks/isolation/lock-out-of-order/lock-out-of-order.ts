import type { Finding, Fix } from '../../../findings/finding.js';
import { calledFrom, didWhat, lineOf, placeName, thing } from '../../../findings/phrases.js';
import { type Machine, NONE } from '../../../machine/machine.js';
import type { Event } from '../../../plan/plan.js';
import { upperFirst } from '../../../vocabulary/sentences.js';
import type { Check, Judged } from '../../check.js';
import { fix, insertBefore, moveBefore, roleThere, statementInCard } from '../../edits.js';
import { leftBehind } from '../../left-behind/ways-out.js';
import { type Act, ISOLATE, type LockOut, lockOuts, PROVE, RELIEVE, SHUT, TAG, WORK } from '../lock-outs.js';

/** The acts of a lock-out, or of taking it away for a test, stand in another order than the rule has them. */
export const lockOutOfOrder: Check = {
    code: 'lock-out-of-order',
    family: 'isolation',
    severity: 'error',
    title: 'The acts that isolate something, or give it back for a test, stand in the wrong order',
    ofCard: card => lockOuts(card).flatMap(each => [...applied(card, each), ...takenAway(card, each)]),
};

/** Shut down, isolate, tag, relieve, prove dead, work. */
function applied(card: Judged, { isolation, acts }: LockOut): readonly Finding[] {
    const { machine } = card;
    const work = acts.find(each => each.rank === WORK);
    // Work that comes before all isolation is not isolated, and that is said already.
    if (!work || !acts.some(each => each.rank === ISOLATE && each.at < work.at)) return [];
    const found: Finding[] = [];
    // A tag that is not there where the card may stop is missed already, whether it comes too late or not.
    const untagged = new Set(leftBehind(card).flatMap(each => (each.code === 'untagged-at-stop' ? [each.item] : [])));
    // What is isolated only after the work was not needed for it, or is missed as such.
    const lateOnes = new Set(acts.flatMap(each => (each.rank === ISOLATE && each.at > work.at ? [each.device] : [])));
    let left = acts.filter(
        each =>
            (each.rank !== TAG || !untagged.has(each.device.item)) &&
            (each.device === undefined || !lateOnes.has(each.device)),
    );
    for (;;) {
        // The act that clashes with most others is the one out of place.
        const clashes = left.map(act => left.filter(other => clash(act, other)));
        const most = Math.max(...clashes.map(each => each.length));
        if (most === 0) return found;
        const at = clashes.findLastIndex(each => each.length === most);
        const act = left[at] as Act;
        const others = clashes[at] as readonly Act[];
        const other = others.reduce((one, two) =>
            Math.abs(two.rank - act.rank) < Math.abs(one.rank - act.rank) ? two : one,
        );
        const late = act.at > other.at;
        const order = late ? 'only after' : 'before';
        found.push({
            code: 'lock-out-of-order',
            severity: 'error',
            span: act.event.span,
            card: card.plan.card,
            about: [machine.items[isolation.item]?.name ?? '', machine.items[act.event.item]?.name ?? ''],
            message: `${upperFirst(says(machine, act, isolation.item))} ${order} ${says(machine, other, isolation.item)} at line ${lineOf(other.event)}. Shut down, isolate, tag, let off what is stored, prove it dead, then work: in this order.`,
            related: [
                ...calledFrom(act.event),
                {
                    span: other.event.span,
                    message: late ? 'This comes too early, or the other too late' : 'This must come first',
                },
            ],
            fixes: moving(card, late ? act.event : other.event, late ? other.event : act.event),
            cause: `${isolation.item} ${act.event.key}`,
        });
        left = left.filter(each => each !== act);
    }
}

/** The two stand the other way round than they must. A tag and a proof speak of their own device only. */
function clash(a: Act, b: Act): boolean {
    if (a.rank === b.rank) return false;
    const [first, second] = a.rank < b.rank ? [a, b] : [b, a];
    if (first.device && second.device && first.device !== second.device) return false;
    return first.at > second.at;
}

function says(machine: Machine, act: Act, item: number): string {
    const what = thing(machine, act.event.item);
    switch (act.rank) {
        case SHUT:
            return `${what} is set to ${machine.items[act.event.item]?.states[act.event.kind === 'operate' ? act.event.state : 0] ?? 'stop'}`;
        case ISOLATE:
        case TAG:
        case RELIEVE:
            return `${what} is ${didWhat(act.event)}`;
        case PROVE:
            return `${what} is looked at to prove ${thing(machine, act.device.item)} open`;
        default:
            return `${thing(machine, item)} is worked on`;
    }
}

/** Tools out, people out, then the devices, for a test; and again after every further work. */
function takenAway(card: Judged, lock: LockOut): readonly Finding[] {
    const { machine, plan } = card;
    const { outs, outsAfter, released, isolation } = lock;
    const found: Finding[] = [];
    if (!released) return found;
    const device = thing(machine, released.item);
    const name = machine.items[isolation.item]?.name ?? '';
    const order = 'Tools out, people out, then give power back, then test: in this order.';
    const add = (event: Event, message: string, against: Event, fixes: readonly Fix[]): void => {
        found.push({
            code: 'lock-out-of-order',
            severity: 'error',
            span: event.span,
            card: plan.card,
            about: [name, machine.places[event.place]?.name ?? ''],
            message: `${message} ${order}`,
            related: [...calledFrom(event), { span: against.span, message: 'It clashes with this' }],
            fixes,
            cause: `${isolation.item} ${event.key}`,
        });
    };
    const clear = outs.findLast(each => each.verb === 'clear');
    const leave = outs.findLast(each => each.verb === 'leave');
    if (clear && leave && clear.id > leave.id)
        add(
            clear,
            `${placeName(machine, clear.place)} is cleared of tools only after everybody has left it at line ${lineOf(leave)}.`,
            leave,
            moving(card, clear, leave),
        );
    else if (clear && lock.handsSince)
        add(
            lock.handsSince,
            `There is work at ${placeName(machine, clear.place)} after it was cleared at line ${lineOf(clear)}, and ${device} is ${didWhat(released)} at line ${lineOf(released)}. Clear it again before.`,
            clear,
            again(card, clear, released),
        );
    else if (leave && lock.thereSince)
        add(
            lock.thereSince,
            `Somebody is at ${placeName(machine, leave.place)} after everybody has left it at line ${lineOf(leave)}, and ${device} is ${didWhat(released)} at line ${lineOf(released)}. Leave it again before.`,
            leave,
            again(card, leave, released),
        );
    for (const verb of ['clear', 'leave'] as const) {
        const late = outsAfter.find(each => each.verb === verb);
        if (!late || outs.some(each => each.verb === verb)) continue;
        const what = verb === 'clear' ? 'is cleared of tools' : 'is left';
        add(
            late,
            `${placeName(machine, late.place)} ${what} only after ${device} is ${didWhat(released)} at line ${lineOf(released)}.`,
            released,
            moving(card, late, released),
        );
    }
    return found;
}

/** The later line moved before the earlier one. */
function moving(card: Judged, late: Event, early: Event): readonly Fix[] {
    const edits = moveBefore(card, late.statement, early.statement);
    if (!edits || late.statement.offset === early.statement.offset) return [];
    const line = card
        .text(late.statement.file)
        .slice(late.statement.offset, late.statement.end)
        .replace(/^\S+:\s*/, '');
    return [fix(`"${line.split('\n')[0]}" first`, ...edits)];
}

/** The same said once more, before the device is taken away. */
function again(card: Judged, out: Extract<Event, { kind: 'clear' }>, before: Event): readonly Fix[] {
    const role = roleThere(card, before, out.role) ?? card.plan.roles[out.role]?.name;
    const place = card.machine.places[out.place]?.name;
    if (!role || !place || out.role === NONE) return [];
    const statement = statementInCard(before);
    return [
        fix(
            `${upperFirst(out.verb)} ${place} again first`,
            insertBefore(card, statement, [`${role}: ${out.verb} ${place}`]),
        ),
    ];
}
