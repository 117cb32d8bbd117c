/** `accept CODE [for X] because "..."`. */
import type * as ast from '../grammar/generated/ast.js';
import { NONE } from '../machine/machine.js';
import type { Accept } from './plan.js';
import { type Place, resolve } from './scope.js';
import { wordsOfText } from './texts.js';

export function acceptOf(node: ast.Accept, place: Place): Accept {
    const value = node.forItem && resolve(node.forItem, node, place);
    return {
        code: node.code,
        name: node.forItem?.$refText ?? '',
        item: value?.is === 'item' ? value.index : NONE,
        because: wordsOfText(node.because, place).text,
        span: place.context.spanOf(node),
        step: place.step,
    };
}
