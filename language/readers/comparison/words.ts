import { duration } from '../../findings/phrases.js';
import { nameAndLabel } from '../../machine/compile-conditions.js';
import type { Machine } from '../../machine/machine.js';
import type { Node } from './nodes.js';

export const nameIn = (machine: Machine, item: number): string => {
    const found = machine.items[item];
    return found ? nameAndLabel(found) : 'something';
};

/** The sentence of the card: “Close the bleed port.”, Warning “Keep hands clear.” */
export function quoted(node: Node): string {
    // What is said to somebody stands in quotes already.
    const words = node.says.replaceAll('“', '‘').replaceAll('”', '’');
    if (node.kind === 'alert')
        return `${String(node.fields['alert']).replace(/^./, first => first.toUpperCase())} “${words}”`;
    if (node.kind === 'hold') return `Hold “${words}”`;
    if (node.kind === 'stop') return `Stop “${words}”`;
    return `“${words}”`;
}

export const seconds = (value: number): string => duration(value);
