/**
 * The units of the language: how people write them, what they measure, and exact factors between them. A quantity keeps
 * the digits and the unit that were written; conversion only adds a second value beside it.
 */

export type Dimension =
    | 'time'
    | 'length'
    | 'mass'
    | 'force'
    | 'torque'
    | 'pressure'
    | 'volume'
    | 'angle'
    | 'rotation'
    | 'temperature'
    | 'voltage'
    | 'current'
    | 'resistance'
    | 'ratio'
    | 'wire gauge';

export interface Unit {
    /** As it is printed. */
    readonly symbol: string;
    readonly dimension: Dimension;
    /** In base units of the dimension: value x factor + offset. */
    readonly factor: number;
    readonly offset: number;
}

// Exact by definition: the inch (25.4 mm), the pound (1959), the standard acceleration (1901), the US gallon (231 cubic inches).
const inch = 0.0254;
const pound = 0.45359237;
const poundForce = pound * 9.80665;
const gallon = 231 * inch ** 3;

type Row = readonly [symbol: string, dimension: Dimension, factor: number, spellings?: string, offset?: number];

const rows: readonly Row[] = [
    ['s', 'time', 1],
    ['min', 'time', 60],
    ['h', 'time', 3600],
    ['mm', 'length', 0.001],
    ['cm', 'length', 0.01],
    ['m', 'length', 1],
    ['in', 'length', inch],
    ['ft', 'length', 12 * inch],
    ['kg', 'mass', 1],
    ['lb', 'mass', pound],
    ['N', 'force', 1],
    ['lbf', 'force', poundForce],
    ['N·m', 'torque', 1, 'N-m Nm'],
    ['lbf·in', 'torque', poundForce * inch, 'lbf-in lb·in lb-in in·lbf in-lbf in·lb in-lb'],
    ['lbf·ft', 'torque', poundForce * 12 * inch, 'lbf-ft lb·ft lb-ft ft·lbf ft-lbf ft·lb ft-lb'],
    ['psi', 'pressure', poundForce / inch ** 2],
    ['kPa', 'pressure', 1000],
    ['bar', 'pressure', 100_000],
    // The conventional millimetre of mercury, 133.322387415 Pa.
    ['inHg', 'pressure', 25.4 * 133.322387415],
    ['L', 'volume', 0.001],
    ['mL', 'volume', 0.000001],
    ['US gal', 'volume', gallon],
    ['qt', 'volume', gallon / 4],
    ['deg', 'angle', Math.PI / 180],
    ['rpm', 'rotation', (2 * Math.PI) / 60],
    ['°C', 'temperature', 1, 'degC', 273.15],
    ['°F', 'temperature', 5 / 9, 'degF', 273.15 - (32 * 5) / 9],
    ['V', 'voltage', 1],
    ['mV', 'voltage', 0.001],
    ['A', 'current', 1],
    ['mA', 'current', 0.001],
    ['ohm', 'resistance', 1],
    ['%', 'ratio', 0.01],
    ['AWG', 'wire gauge', 1],
];

export const units: readonly Unit[] = rows.map(([symbol, dimension, factor, , offset = 0]) => ({
    symbol,
    dimension,
    factor,
    offset,
}));

const bySpelling = new Map<string, Unit>();
for (const [index, [symbol, , , spellings = '']] of rows.entries()) {
    const unit = units[index];
    if (unit) for (const spelling of [symbol, ...spellings.split(' ').filter(Boolean)]) bySpelling.set(spelling, unit);
}

/** Every spelling that is understood. */
export const spellings: readonly string[] = [...bySpelling.keys()];

/** The unit of a spelling; both raised dots are one, and so are blank and tab. */
export function unitOf(spelling: string): Unit | undefined {
    return bySpelling.get(spelling.replace(/⋅/g, '·').replace(/\s+/g, ' '));
}

/** What people write for it elsewhere. */
const habits: Readonly<Record<string, string>> = {
    sec: 's',
    secs: 's',
    second: 's',
    seconds: 's',
    S: 's',
    minute: 'min',
    minutes: 'min',
    mins: 'min',
    hr: 'h',
    hrs: 'h',
    hour: 'h',
    hours: 'h',
    PSI: 'psi',
    kpa: 'kPa',
    KPA: 'kPa',
    l: 'L',
    ml: 'mL',
    gal: 'US gal',
    gallon: 'US gal',
    inch: 'in',
    inches: 'in',
    lbs: 'lb',
    v: 'V',
    mv: 'mV',
    a: 'A',
    amp: 'A',
    amps: 'A',
    volts: 'V',
    ohms: 'ohm',
    Ohm: 'ohm',
    degrees: 'deg',
    RPM: 'rpm',
    percent: '%',
    awg: 'AWG',
    C: '°C',
    F: '°F',
};

/** The unit that an unknown spelling most likely means, as it should be written. */
export function unitMeant(spelling: string): string | undefined {
    return Object.hasOwn(habits, spelling) ? habits[spelling] : undefined;
}

export function sameDimension(left: string, right: string): boolean {
    const one = unitOf(left);
    return one !== undefined && one.dimension === unitOf(right)?.dimension;
}

/** @throws RangeError where the units are unknown or measure different things. */
export function convert(value: number, from: string, to: string): number {
    const source = unitOf(from);
    const target = unitOf(to);
    if (!source || !target || source.dimension !== target.dimension) {
        throw new RangeError(`${from} cannot be converted to ${to}`);
    }
    if (source === target) return value;
    return (value * source.factor + source.offset - target.offset) / target.factor;
}

/** Seconds; undefined where the number cannot be read or the unit is none of time. */
export function toSeconds(value: string | number, unit: string): number | undefined {
    const number = typeof value === 'number' ? value : readNumber(value);
    const found = unitOf(unit);
    return number === undefined || found?.dimension !== 'time' ? undefined : number * found.factor;
}

/** A written number. A comma groups thousands only after one to three digits and before exactly three: "3,95" is none. */
export function readNumber(written: string): number | undefined {
    return /^-?(\d{1,3}(,\d{3})+|\d+)(\.\d+)?$/.test(written) ? Number(written.replaceAll(',', '')) : undefined;
}

/** "2,850 psi": the digits as written, the unit as it is printed. */
export function printQuantity(value: string, unit: string): string {
    const symbol = unitOf(unit)?.symbol ?? unit;
    return symbol === '%' ? `${value}%` : `${value} ${symbol}`;
}

/**
 * A written value in another unit, with as many digits as were written, and one more where the first digit got smaller
 * (the rule of NIST SP 811, B.7).
 */
export function convertWritten(written: string, from: string, to: string): string | undefined {
    const value = readNumber(written);
    if (value === undefined || !sameDimension(from, to)) return undefined;
    if (unitOf(from) === unitOf(to)) return written;
    const converted = convert(value, from, to);
    // A scale with another zero: the first digit says nothing about how closely the value was meant.
    if (unitOf(from)?.offset !== unitOf(to)?.offset) return converted.toFixed(written.split('.')[1]?.length ?? 0);
    const digits = significant(written) + (firstDigit(converted) < firstDigit(value) ? 1 : 0);
    return group(Number(converted.toPrecision(Math.min(digits, 15))), digits);
}

/** No limit moves by more than this part of itself when it is written in another unit. */
const mostShift = 0.005;

/** The ends of a range in another unit, alike in their decimals, and close enough to the written ones to work to. */
export function convertLimits(written: readonly string[], from: string, to: string): readonly string[] | undefined {
    const ends = written.map(each => {
        const text = convertWritten(each, from, to);
        if (text === undefined) return undefined;
        const exact = convert(readNumber(each) ?? 0, from, to);
        const moved = Math.abs((readNumber(text) ?? 0) - exact) > mostShift * Math.abs(exact);
        const close =
            moved && unitOf(from)?.offset === unitOf(to)?.offset ? group(Number(exact.toPrecision(3)), 3) : text;
        return { exact, text: close, decimals: close.split('.')[1]?.length ?? 0 };
    });
    const known = ends.filter(each => each !== undefined);
    if (known.length < written.length) return undefined;
    const decimals = Math.max(...known.map(each => each.decimals));
    return known.map(each => (each.decimals < decimals ? group(each.exact, sizeOf(each.exact) + decimals) : each.text));
}

/** Digits that say something: leading zeros do not. */
function significant(written: string): number {
    return Math.max(1, written.replace(/[^\d]/g, '').replace(/^0+/, '').length);
}

/** Digits before the point. */
const sizeOf = (value: number) => (value === 0 ? 1 : Math.floor(Math.log10(Math.abs(value))) + 1);

const firstDigit = (value: number) => Number(Math.abs(value).toExponential().charAt(0));

/** Thousands grouped, no exponent, and the zeros kept that the digits stand for. */
function group(value: number, digits: number): string {
    if (value === 0) return '0';
    const size = sizeOf(value);
    const [whole = '', decimals] = value.toFixed(Math.max(0, Math.min(20, digits - size))).split('.');
    const grouped = whole.replace(/\B(?=(\d{3})+$)/g, ',');
    return decimals === undefined ? grouped : `${grouped}.${decimals}`;
}
