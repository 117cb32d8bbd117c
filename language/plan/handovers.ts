/** What one card hands to another: the cards that it comes after, and the states that such a card leaves. */
import type { Span } from '../findings/finding.js';
import type * as ast from '../grammar/generated/ast.js';
import { NONE } from '../machine/machine.js';
import { operatedBy } from '../names/operated.js';
import type { Setting } from './plan.js';
import type { Context } from './scope.js';
import { partsOf, settingsOfCard } from './settings.js';

export interface After {
    readonly card: string;
    readonly node?: ast.Card;
    readonly span: Span;
}

/** `after CARD`, as written in the card, on this aircraft. */
export function aftersOf(card: ast.Card, context: Context): readonly After[] {
    const found: After[] = [];
    for (const { part } of partsOf(card.parts, context.embodied)) {
        if (part.$type !== 'AfterPart') continue;
        const node = part.card?.ref;
        found.push({ card: part.card?.$refText ?? '', ...(node ? { node } : {}), span: context.spanOf(part) });
    }
    return found;
}

/** The cards that are done before this one, and before those, and so on; each once. */
export function earlierThan(card: ast.Card, context: Context): readonly string[] {
    const found = new Set<ast.Card>();
    const follow = (at: ast.Card): void => {
        for (const { node } of aftersOf(at, context)) {
            if (!node || found.has(node)) continue;
            found.add(node);
            follow(node);
        }
    };
    follow(card);
    return [...found].map(each => each.name);
}

/**
 * The states that a card leaves, as far as this machine has the things: `finish with`, else `start with` (normal where it must find out), else normal
 * for what it operates. What it neither names nor operates it leaves as it was, whatever that is.
 */
export function leavesOf(card: ast.Card, context: Context): readonly Setting[] {
    const { machine } = context;
    const finish = settingsOfCard(card, 'FinishPart', context);
    const slots = new Set(finish.map(each => each.slot));
    const given: Setting[] = [];
    for (const each of settingsOfCard(card, 'StartPart', context)) {
        if (slots.has(each.slot)) continue;
        slots.add(each.slot);
        const normal = machine.slots[each.slot]?.normal ?? 0;
        given.push({ ...each, states: each.states.length === 1 ? each.states : [normal], atLeast: 0 });
    }
    const span = context.spanOf(card);
    const rest = [...operatedIn(card, context)].flatMap(item => {
        const own = machine.items[item];
        return [...new Set([own?.slot ?? NONE, own?.presence ?? NONE])].flatMap((slot): Setting[] => {
            const normal = machine.slots[slot]?.normal;
            if (normal === undefined || slots.has(slot)) return [];
            slots.add(slot);
            return [{ item, slot, states: [normal], atLeast: 0, span }];
        });
    });
    return [...finish, ...given, ...rest];
}

/** The things that a card operates, itself or in what it calls, as far as this machine has them. */
function operatedIn(card: ast.Card, { project, machine }: Context): ReadonlySet<number> {
    const items = [...operatedBy(project, card)].flatMap(({ name }) =>
        Object.hasOwn(machine.itemIndex, name) ? [machine.itemIndex[name] ?? NONE] : [],
    );
    return new Set(items.filter(each => machine.items[each]?.nature === 'operated'));
}
