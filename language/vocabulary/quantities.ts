/** Quantities inside printed words: kept on one line, and in a second unit beside the written one. */
import { convertLimits, printQuantity, sameDimension, spellings, unitOf } from './units.js';

const number = String.raw`-?\d[\d.,/]*`;
/** The longest first; none has a letter that means something in a pattern. */
const anyUnit = [...spellings].sort((one, two) => two.length - one.length).join('|');
const quantity = new RegExp(String.raw`(?<![\p{L}\d.-])(?:${number} to )?${number} (?:${anyUnit})(?![\p{L}\d])`, 'gu');

/** No line ends between a number and its unit, inside a range, or behind "No.". */
export function unbroken(text: string): string {
    return text.replace(quantity, found => found.replaceAll(' ', '\u00a0')).replace(/\bNo\. (?=\d)/g, 'No.\u00a0');
}

const limits = /^(at least |at most |)(-?\d[\d.,]*)(?: to (-?\d[\d.,]*))? (\S.*)$/;

/** "37.2 to 42.5 lbf·in" for "4.2 to 4.8 N·m": in the first of the units that measures the same and is not the written one; "" where none does. */
export function convertedLimits(text: string, units: readonly string[]): string {
    const [, bound = '', low = '', high, written = ''] = limits.exec(text) ?? [];
    const from = unitOf(written);
    const to = units.find(unit => sameDimension(unit, written) && unitOf(unit) !== from);
    const ends = to && convertLimits(high === undefined ? [low] : [low, high], written, to);
    const last = ends?.at(-1);
    if (!to || last === undefined) return '';
    return `${bound}${ends?.length === 2 ? `${ends[0]} to ` : ''}${printQuantity(last, to)}`;
}

/** "4.2 to 4.8 N·m (37.2 to 42.5 lbf·in)". */
export function withConverted(text: string, units: readonly string[]): string {
    const converted = convertedLimits(text, units);
    return converted ? `${text} (${converted})` : text;
}
