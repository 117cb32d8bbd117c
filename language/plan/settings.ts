/** `start with` and `finish with`. */
import type * as ast from '../grammar/generated/ast.js';
import { readQuantity } from '../machine/quantities.js';
import { type Sentence, saySetting } from '../vocabulary/sentences.js';
import type { Setting } from './plan.js';
import { type Context, type SlotState, slotState } from './scope.js';

/** The parts of a card on this aircraft, with the `where` they stand in. */
export function* partsOf(
    parts: readonly ast.CardPart[],
    embodied: ReadonlySet<string>,
    only: readonly ast.WhereCard[] = [],
): Iterable<{ part: Exclude<ast.CardPart, ast.WhereCard>; only: readonly ast.WhereCard[] }> {
    for (const part of parts) {
        if (part.$type !== 'WhereCard') yield { part, only };
        else
            yield* partsOf(embodied.has(part.modification?.$refText ?? '') ? part.parts : part.otherwise, embodied, [
                ...only,
                part,
            ]);
    }
}

/** Settings of one kind of part. Another card may speak of things that this machine has not: those are left out. */
export function settingsOfCard(
    card: ast.Card,
    type: 'StartPart' | 'FinishPart',
    context: Context,
    itsOwn = false,
): Setting[] {
    const settings: Setting[] = [];
    for (const { part } of partsOf(card.parts, context.embodied)) {
        if (part.$type !== type) continue;
        for (const node of part.settings) {
            const setting = settingOf(node, context, itsOwn);
            if (setting) settings.push(setting);
        }
    }
    return settings;
}

function settingOf(node: ast.Setting, context: Context, itsOwn: boolean): Setting | undefined {
    const where = () => context.at(context.spanOf(node));
    const name = node.item?.$refText ?? '';
    const item = Object.hasOwn(context.machine.itemIndex, name) ? context.machine.itemIndex[name] : undefined;
    if (!node.item?.ref || item === undefined) {
        if (itsOwn)
            context.say(`${name || 'A thing'} ${where()} is ${node.item?.ref ? 'not on this aircraft' : 'not known'}.`);
        return undefined;
    }
    const states = node.states
        .map(state => slotState(item, state, context, where))
        .filter((each): each is SlotState => each !== undefined);
    const slot = states[0]?.slot;
    if (slot === undefined || states.length < node.states.length) return undefined;
    if (states.some(each => each.slot !== slot)) {
        context.say(`The states of ${name} ${where()} do not belong together.`);
        return undefined;
    }
    const atLeast = node.atLeast && readQuantity(node.atLeast, 's');
    if (node.atLeast && !atLeast) context.say(`The time ${where()} cannot be read.`);
    return {
        item,
        slot,
        states: [...new Set(states.map(each => each.state))],
        atLeast: atLeast?.value ?? 0,
        span: context.spanOf(node),
    };
}

/** As printed: "HYD 2 ELEC PUMP is OFF." */
export function sentencesOfSettings(card: ast.Card, type: 'StartPart' | 'FinishPart', context: Context): Sentence[] {
    const sentences: Sentence[] = [];
    for (const { part } of partsOf(card.parts, context.embodied)) {
        if (part.$type !== type) continue;
        for (const node of part.settings) {
            const name = node.item?.$refText ?? '';
            const item = Object.hasOwn(context.machine.itemIndex, name) ? context.machine.itemIndex[name] : undefined;
            if (item === undefined) continue;
            const atLeast = node.atLeast && readQuantity(node.atLeast, 's');
            sentences.push(saySetting(context.item(item), node.states, atLeast?.text ?? ''));
        }
    }
    return sentences;
}
