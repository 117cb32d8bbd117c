import type * as ast from '../grammar/generated/ast.js';
import { convert, printQuantity, readNumber, sameDimension, unitOf } from '../vocabulary/units.js';
import type { Band } from './machine.js';

/** A quantity in the unit asked for, with its written form. Undefined where it is not whole or measures something else; text checks say so. */
export function readQuantity(node: Partial<ast.Quantity>, unit: string): { value: number; text: string } | undefined {
    const value = readNumber(node.value ?? '');
    if (value === undefined || !node.unit || !sameDimension(node.unit, unit)) return undefined;
    return { value: convert(value, node.unit, unit), text: printQuantity(node.value ?? '', node.unit) };
}

/** A band in the base unit of its dimension, with its written form: "2,900 to 3,100 psi", "at least 4 s". Open ends are infinite. */
export function readBand(node: Partial<ast.Limits>): Band | undefined {
    const unit = unitOf(node.unit ?? '');
    if (!unit) return undefined;
    const base = (written: string | undefined): number | undefined => {
        const value = written === undefined ? undefined : readNumber(written);
        return value === undefined ? undefined : value * unit.factor + unit.offset;
    };
    const low = base(node.low);
    const high = base(node.high);
    if (node.low !== undefined && node.high !== undefined && low !== undefined && high !== undefined) {
        return {
            low,
            high,
            text:
                node.low === node.high
                    ? printQuantity(node.low, node.unit ?? '')
                    : `${node.low} to ${printQuantity(node.high, node.unit ?? '')}`,
        };
    }
    if (low !== undefined) {
        // In a behaviour a single value is the whole band; in a look "at least" leaves it open above.
        return node.$type !== undefined && isSingle(node)
            ? { low, high: low, text: printQuantity(node.low ?? '', node.unit ?? '') }
            : { low, high: Infinity, text: `at least ${printQuantity(node.low ?? '', node.unit ?? '')}` };
    }
    if (high !== undefined)
        return { low: -Infinity, high, text: `at most ${printQuantity(node.high ?? '', node.unit ?? '')}` };
    return undefined;
}

/** `Band` and `at least` give the same tree; the keyword tells them apart by what holds them. */
function isSingle(node: Partial<ast.Limits>): boolean {
    const holder = node.$container?.$type;
    return holder === 'Goes' || holder === 'Shows' || holder === 'Fails';
}
