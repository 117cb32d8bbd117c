import { readNumber } from './units.js';

/**
 * What a torque wrench shows while a fastener gets `torque`, with an extension in line with it: TW = TA × L ÷ (L + A), where L is the
 * length of the wrench from its drive to its grip and A that of the extension, negative where it points back along the wrench.
 * Lengths in one unit; the reading is in the unit of the torque. FAA AC 43.13-1B, chapter 7, and US Army technical manuals.
 */
export function torqueReading(torque: number, length: number, extension: number): number {
    return (torque * length) / (length + extension);
}

/** A usual length of a wrench in each unit, for an example beside the rule. */
const usual: ReadonlyMap<string, number> = new Map([
    ['in', 10],
    ['ft', 1],
    ['mm', 250],
    ['cm', 25],
    ['m', 0.25],
]);

/** "50 to 70 lbf·in" with an extension of 4 in, as "35.7 to 50.0 lbf·in where L is 10 in"; undefined where the limits are no such range. */
export function readingExample(limits: string, extension: string): string | undefined {
    const [, low = '', high = '', unit = ''] = /^(\S+) to (\S+) (\S.*)$/.exec(limits) ?? [];
    const [, added = '', lengthUnit = ''] = /^(\S+) (\S+)$/.exec(extension) ?? [];
    const length = usual.get(lengthUnit);
    const values = [low, high, added].map(readNumber);
    if (length === undefined || values.includes(undefined)) return undefined;
    const [least, most, by] = values as [number, number, number];
    const reading = (torque: number) => torqueReading(torque, length, by).toPrecision(3);
    return `${reading(least)} to ${reading(most)} ${unit} where L is ${length} ${lengthUnit}`;
}
