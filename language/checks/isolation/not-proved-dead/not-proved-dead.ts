import { looksThatFail } from '../../../failures/showing.js';
import { modesOf } from '../../../failures/which.js';
import type { Finding, Fix } from '../../../findings/finding.js';
import { calledFrom, lineOf, things } from '../../../findings/phrases.js';
import { restsOn } from '../../../trace/hindered.js';
import type { Check, Judged } from '../../check.js';
import { fix, insertBefore } from '../../edits.js';
import { deadLooks, seen } from '../dead-looks.js';
import { type Act, ISOLATE, type LockOut, lockOuts, PROVE, WORK } from '../lock-outs.js';

/** Nothing shows, before the first work, that a breaker has really opened. */
export const notProvedDead: Check = {
    code: 'not-proved-dead',
    family: 'isolation',
    severity: 'information',
    title: 'Nothing shows before the work that a breaker that was pulled has really opened',
    ofCard: card => {
        if (!card.traces.plainHolds) return [];
        const all = lockOuts(card).flatMap(each => unproved(card, each));
        const fixes = looks(card, all);
        return all.map(each => finding(card, each, fixes));
    },
};

interface Unproved {
    readonly lock: LockOut;
    readonly work: Act;
    readonly acts: readonly Act[];
}

function unproved(card: Judged, lock: LockOut): readonly Unproved[] {
    const work = lock.acts.find(each => each.rank === WORK);
    if (!work || lock.inBlock) return [];
    // A proof that comes only after the work is out of order, and that is said already.
    const proved = (act: Act): boolean => lock.acts.some(each => each.rank === PROVE && each.device === act.device);
    const acts = lock.acts.filter(
        act =>
            act.rank === ISOLATE &&
            act.at < work.at &&
            card.machine.items[act.device.item]?.kind === 'breaker' &&
            isOfUse(card, act.device.item) &&
            !proved(act),
    );
    return acts.length > 0 ? [{ lock, work, acts }] : [];
}

const users = new WeakMap<Judged['machine'], ReadonlySet<number>>();

/** Something rests on the breaker. Where nothing does there is nothing to look at, and that is said of the equipment. */
function isOfUse({ machine }: Judged, breaker: number): boolean {
    let used = users.get(machine);
    if (!used) {
        used = new Set(machine.items.flatMap((_, n) => restsOn(machine, n).filter(each => each !== n)));
        users.set(machine, used);
    }
    return used.has(breaker);
}

function finding(card: Judged, { lock, work, acts }: Unproved, fixes: ReadonlyMap<Act, readonly Fix[]>): Finding {
    const { machine, plan } = card;
    const [first] = acts as readonly [Act];
    return {
        code: 'not-proved-dead',
        severity: 'information',
        span: first.event.span,
        card: plan.card,
        about: [...acts.map(each => each.event.item), lock.isolation.item].map(each => machine.items[each]?.name ?? ''),
        message: `If ${things(
            machine,
            acts.map(each => each.event.item),
        )} had not opened, no look before the work at line ${lineOf(work.event)} would show it. Try what ${acts.length === 1 ? 'it feeds' : 'they feed'}, and see that it is dead.`,
        related: [
            ...calledFrom(first.event),
            ...acts.slice(1).map(each => ({ span: each.event.span, message: 'So is this' })),
            { span: work.event.span, message: 'The work begins here' },
        ],
        fixes: acts.flatMap(each => fixes.get(each) ?? []),
        cause: `${lock.isolation.item} ${work.event.key}`,
    };
}

/** By act, looks just before the work at something that is otherwise then if the breaker has not opened. One run a breaker. */
function looks(card: Judged, all: readonly Unproved[]): ReadonlyMap<Act, readonly Fix[]> {
    const { machine, plan, runs } = card;
    const found = new Map<Act, readonly Fix[]>();
    const byRun = new Map<string, { readonly act: Act; readonly of: Unproved }[]>();
    for (const of of all)
        for (const act of of.acts) {
            const key = `${act.event.item} ${of.lock.choice}`;
            const known = byRun.get(key);
            if (known) known.push({ act, of });
            else byRun.set(key, [{ act, of }]);
        }
    for (const own of byRun.values()) {
        const [{ act: one, of: any }] = own as [(typeof own)[number]];
        const failure = modesOf(machine, one.event.item).find(each => each.mode === 'NOT-OPENING');
        if (!failure) continue;
        const { trace, choice } = any.lock;
        const works = new Map<number, (typeof own)[number][]>();
        for (const each of own) works.set(each.of.work.at, [...(works.get(each.of.work.at) ?? []), each]);
        looksThatFail(machine, plan, runs, failure, trace, choice, (sim, at) => {
            for (const { act, of } of works.get(at) ?? []) {
                const { event } = of.work;
                const lines = deadLooks(card, event, trace.visits[at]?.before ?? [], sim.cells);
                found.set(
                    act,
                    lines.map(line => fix(`${seen(line)} first`, insertBefore(card, event.statement, [line]))),
                );
            }
        });
    }
    return found;
}
