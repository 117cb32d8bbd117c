/** What differs in the head of a card: who, with what, from which state on, for which aircraft. */
import type { Span } from '../../findings/finding.js';
import { NONE } from '../../machine/machine.js';
import type { Plan, Setting } from '../../plan/plan.js';
import { list, listOr } from '../../vocabulary/sentences.js';
import type { How, Kind } from './comparison.js';
import { type Found, found } from './found.js';
import type { Side } from './names.js';
import { nameIn, seconds } from './words.js';

interface Sides {
    readonly old: Side;
    readonly new: Side;
}

export function changesOfHead(sides: Sides): Found[] {
    const { old, new: now } = sides;
    const [one, two] = [old.judged.plan, now.judged.plan];
    const changes: Found[] = [];
    let aspect = '';
    const say = (kind: Kind, how: How, says: string, was?: Span, is?: Span, about: readonly string[] = []): void => {
        changes.push(found({ kind, how, says, where: 'the head of the card', old: was, new: is, about, aspect }));
    };
    const both = (plan: Plan): Span => plan.span;
    const text = (kind: Kind, what: string, was: string, is: string): void => {
        if (was !== is)
            say(
                kind,
                'changed',
                `${what} is now ${is ? `“${is}”` : 'not given'}; it was ${was ? `“${was}”` : 'not given'}.`,
                both(one),
                both(two),
            );
    };
    text('record', 'The number of the card', one.card, two.card);
    text('wording', 'The title', one.label, two.label);
    text('record', 'The applicability', one.applies, two.applies);
    text('record', 'The revision', one.revision, two.revision);
    text('record', 'The date of the revision', one.dated, two.dated);

    declared('roles', 'Person', 'role', (side, role) => [
        ['role', 'is at', side.judged.machine.places[role.place]?.label ?? '', side.place(role.place)],
        [
            'role',
            'is independent of',
            list(role.independentOf.map(each => side.judged.plan.roles[each]?.label ?? '')),
            role.independentOf.map(side.role).sort().join(' '),
        ],
    ]);
    declared('tools', 'Tool', 'work', (_, tool) => [
        ['torque', 'has the range', tool.range?.text ?? '', tool.range ? `${tool.range.low} ${tool.range.high}` : ''],
    ]);
    declared('spares', 'Spare', 'work', (side, spare) => [
        ['work', 'has the part number', spare.part, spare.part],
        ['work', 'has the quantity', String(spare.quantity), String(spare.quantity)],
        [
            'work',
            'goes into',
            list(spare.forItems.map(each => nameIn(side.judged.machine, each))),
            spare.forItems.map(side.item).sort().join(' '),
        ],
    ]);
    declared('materials', 'Material', 'work', () => []);

    aspect = '';
    settings('start', 'before the start');
    settings('finish', 'at the end');
    const [before, after] = [one.after, two.after].map(each => each.map(({ card }) => card)) as [string[], string[]];
    for (const { card, span } of two.after)
        if (!before.includes(card)) say('isolation', 'added', `Now done only after ${card}.`, undefined, span);
    for (const { card, span } of one.after)
        if (!after.includes(card)) say('isolation', 'removed', `No longer done only after ${card}.`, span);

    doneCards();
    accepts();
    return changes;

    type Table = 'roles' | 'tools' | 'spares' | 'materials';
    /** Kind, what, as said, as compared. */
    type Fact = readonly [Kind, string, string, string];

    function declared<K extends Table>(
        table: K,
        word: string,
        kind: Kind,
        facts: (side: Side, each: Plan[K][number]) => readonly Fact[],
    ): void {
        const name = { roles: 'role', tools: 'tool', spares: 'spare', materials: 'material' } as const;
        aspect = table;
        const shared = (side: Side, n: number): string => side[name[table]](n);
        const was = new Map(one[table].map((each, n) => [shared(old, n), each as Plan[K][number]]));
        for (const [n, each] of two[table].entries()) {
            const is = each as Plan[K][number];
            const key = shared(now, n);
            const then = was.get(key);
            was.delete(key);
            if (!then) {
                say(kind, 'added', `New: ${word.toLowerCase()} “${is.label}”.`, undefined, is.span);
                continue;
            }
            if (then.name !== is.name)
                say(
                    'wording',
                    'renamed',
                    `${word} “${is.label}” is now called ${is.name} in the text; it was ${then.name}.`,
                    then.span,
                    is.span,
                );
            if (then.label !== is.label)
                say('wording', 'changed', `${word} “${then.label}” is now called “${is.label}”.`, then.span, is.span);
            const [a, b] = [facts(old, then), facts(now, is)];
            for (const [at, fact] of b.entries()) {
                const [factKind, what, says, value] = fact;
                if (a[at]?.[3] !== value)
                    say(
                        factKind,
                        'changed',
                        `${word} “${is.label}” now ${what} ${says || 'nothing given'}; it was ${a[at]?.[2] || 'nothing given'}.`,
                        then.span,
                        is.span,
                    );
            }
        }
        for (const each of was.values())
            say(kind, 'removed', `Gone: ${word.toLowerCase()} “${each.label}”.`, each.span);
    }

    function settings(which: 'start' | 'finish', when: string): void {
        aspect = which;
        compareSettings(one[which], two[which], when);
        aspect = '';
    }

    function compareSettings(a: readonly Setting[], b: readonly Setting[], when: string): void {
        const value = (side: Side, each: Setting): string =>
            [side.item(each.item), ...each.states.map(state => side.state(each.slot, state)).sort(), each.atLeast].join(
                ' ',
            );
        const words = (side: Side, each: Setting): string =>
            `${nameIn(side.judged.machine, each.item)} is ${listOr(each.states.map(state => side.state(each.slot, state)))}${each.atLeast > 0 ? ` for at least ${seconds(each.atLeast)}` : ''}`;
        const key = (side: Side, each: Setting): string =>
            `${side.item(each.item)} ${side.judged.machine.slots[each.slot]?.kind}`;
        const was = new Map(a.map(each => [key(old, each), each]));
        for (const is of b) {
            const then = was.get(key(now, is));
            was.delete(key(now, is));
            const about = [now.item(is.item)];
            if (!then)
                say('isolation', 'added', `New condition ${when}: ${words(now, is)}.`, undefined, is.span, about);
            else if (value(old, then) !== value(now, is))
                say(
                    'isolation',
                    'changed',
                    `Condition ${when}: ${words(now, is)}; it was: ${words(old, then)}.`,
                    then.span,
                    is.span,
                    about,
                );
        }
        for (const then of was.values())
            say('isolation', 'removed', `Condition ${when} gone: ${words(old, then)}.`, then.span, undefined, [
                old.item(then.item),
            ]);
    }

    /** What a card done inside this one starts from and leaves. */
    function doneCards(): void {
        const seen = new Set<string>();
        for (const is of two.done) {
            const then = one.done.find(each => each.card === is.card);
            if (!then || seen.has(is.card)) continue;
            seen.add(is.card);
            compareSettings(then.start, is.start, `before the start of ${is.card}`);
            compareSettings(then.finish, is.finish, `at the end of ${is.card}`);
        }
    }

    function accepts(): void {
        const key = (side: Side, each: Plan['accepts'][number]): string =>
            `${each.code} ${each.item === NONE ? each.name : side.item(each.item)} ${side.judged.plan.steps[each.step]?.name ?? ''}`;
        const was = new Map(one.accepts.map(each => [key(old, each), each]));
        for (const is of two.accepts) {
            const then = was.get(key(now, is));
            was.delete(key(now, is));
            const what = `${is.code}${is.name && ` for ${is.name}`}`;
            if (!then)
                say('rule', 'added', `Now accepted: ${what}, because “${is.because}”.`, undefined, is.span, [is.name]);
            else if (then.because !== is.because)
                say(
                    'wording',
                    'changed',
                    `${what} is now accepted because “${is.because}”; it was “${then.because}”.`,
                    then.span,
                    is.span,
                    [is.name],
                );
        }
        for (const then of was.values())
            say(
                'rule',
                'removed',
                `No longer accepted: ${then.code}${then.name && ` for ${then.name}`}.`,
                then.span,
                undefined,
                [then.name],
            );
    }
}
