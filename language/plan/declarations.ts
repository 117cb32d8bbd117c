/** Roles, tools, spares and materials of a card. */
import type * as ast from '../grammar/generated/ast.js';
import { NONE } from '../machine/machine.js';
import { readBand } from '../machine/quantities.js';
import type { Context, Value } from './scope.js';
import { partsOf } from './settings.js';

/** The roles of the card that the Plan is of; a card done inside it plays with these. */
export function declareRoles(card: ast.Card, context: Context): void {
    const nodes: ast.Role[] = [];
    for (const { part } of partsOf(card.parts, context.embodied)) if (part.$type === 'Role') nodes.push(part);
    for (const node of nodes) {
        const name = node.place?.$refText ?? '';
        const place = Object.hasOwn(context.machine.placeIndex, name) ? context.machine.placeIndex[name] : undefined;
        if (node.place && place === undefined)
            context.say(`The place ${name} of the role ${node.name} is not on this aircraft.`);
        const independentOf = node.independentOf
            .map(each => nodes.findIndex(other => other.name === each.$refText))
            .filter(each => each >= 0);
        context.roles.push({
            name: node.name,
            label: node.label || node.name,
            place: place ?? NONE,
            independentOf,
            span: context.spanOf(node),
        });
    }
}

/**
 * Tools, spares and materials of a card, each with its place in the Plan. Cards done inside another bring theirs with them: a tool or material
 * once, a spare once for each call.
 */
export function declareOf(card: ast.Card, context: Context, called = false): ReadonlyMap<object, Value> {
    const own = new Map<object, Value>();
    for (const { part } of partsOf(card.parts, context.embodied)) {
        if (part.$type !== 'Tool' && part.$type !== 'Spare' && part.$type !== 'Material') continue;
        const { name } = part;
        const shared = { name, label: part.label || name, span: context.spanOf(part) };
        const known = context.declared.get(part);
        if (known && part.$type !== 'Spare') {
            own.set(part, known);
            continue;
        }
        let value: Value;
        if (part.$type === 'Tool') {
            const range = part.range && readBand(part.range);
            value = { is: 'tool', index: context.tools.length, text: name };
            context.tools.push({
                ...shared,
                ...(range && part.range ? { range: { ...range, unit: part.range.unit } } : {}),
            });
        } else if (part.$type === 'Spare') {
            const forItems = part.forItems.flatMap(each => {
                const index = Object.hasOwn(context.machine.itemIndex, each.$refText)
                    ? context.machine.itemIndex[each.$refText]
                    : undefined;
                if (index === undefined && !called)
                    context.say(`${each.$refText}, for which the spare ${name} is, is not on this aircraft.`);
                return index ?? [];
            });
            const quantity = part.quantity === undefined ? 1 : Number(part.quantity.replaceAll(',', ''));
            value = { is: 'spare', index: context.spares.length, text: name };
            context.spares.push({ ...shared, part: part.part ?? '', forItems, quantity });
        } else {
            value = { is: 'material', index: context.materials.length, text: name };
            context.materials.push(shared);
        }
        context.declared.set(part, value);
        own.set(part, value);
    }
    return own;
}
