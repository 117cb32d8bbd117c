/** Texts with references, as printed. */
import type * as ast from '../grammar/generated/ast.js';
import { fill } from '../vocabulary/sentences.js';
import { nameOf, type Place, resolve } from './scope.js';

export interface Words {
    readonly text: string;
    /** Items named in the text. */
    readonly items: readonly number[];
    /** Places named in the text. */
    readonly places: readonly number[];
}

export function wordsOfText(text: ast.Text | undefined, place: Place): Words {
    if (!text) return { text: '', items: [], places: [] };
    const items: number[] = [];
    const places: number[] = [];
    const names = text.refs.map(reference => {
        const value = resolve(reference, text, place);
        if (!value) return { noun: reference.$refText, thing: reference.$refText };
        if (value.is === 'item' && !items.includes(value.index)) items.push(value.index);
        if (value.is === 'place' && !places.includes(value.index)) places.push(value.index);
        return nameOf(value, place.context);
    });
    return { text: fill(text.parts, names), items, places };
}
