import { UcumLhcUtils } from '@lhncbc/ucum-lhc';
import { expect, test } from 'vitest';
import { convert, units } from '../../../language/vocabulary/units.js';

/** Each unit of the language as UCUM writes it. UCUM has no lbf·in and no lbf·ft: they are products there. It has no wire gauge. */
const codes: Readonly<Record<string, string>> = {
    s: 's',
    min: 'min',
    h: 'h',
    mm: 'mm',
    cm: 'cm',
    m: 'm',
    in: '[in_i]',
    ft: '[ft_i]',
    kg: 'kg',
    lb: '[lb_av]',
    N: 'N',
    lbf: '[lbf_av]',
    'N·m': 'N.m',
    'lbf·in': '[lbf_av].[in_i]',
    'lbf·ft': '[lbf_av].[ft_i]',
    psi: '[psi]',
    kPa: 'kPa',
    bar: 'bar',
    inHg: "[in_i'Hg]",
    L: 'L',
    mL: 'mL',
    'US gal': '[gal_us]',
    qt: '[qt_us]',
    deg: 'deg',
    rpm: '{rpm}/min',
    '°C': 'Cel',
    '°F': '[degF]',
    V: 'V',
    mV: 'mV',
    A: 'A',
    mA: 'mA',
    ohm: 'Ohm',
    '%': '%',
};
const ucum = UcumLhcUtils.getInstance();
const without = ['AWG'];

function byUcum(value: number, from: string, to: string): number {
    const result = ucum.convertUnitTo(codes[from], value, codes[to]);
    expect(result.status, `${from} to ${to}: ${result.msg}`).toBe('succeeded');
    return result.toVal;
}

test('every unit is compared, but those that UCUM does not have', () => {
    expect([...Object.keys(codes), ...without].sort()).toEqual(units.map(unit => unit.symbol).sort());
});

const pairs = units.flatMap(one =>
    units
        .filter(two => two !== one && two.dimension === one.dimension && codes[one.symbol] && codes[two.symbol])
        .map(two => [one.symbol, two.symbol] as const),
);

test.each(pairs)('%s to %s', (from, to) => {
    // UCUM builds the inch of mercury on 133.322 Pa, the language on the conventional 133.322387415 Pa: three parts in a million.
    const tolerance = [from, to].includes('inHg') ? 3e-6 : 1e-6;
    for (const value of [1, 12.5, 2850]) {
        const expected = byUcum(value, from, to);
        expect(Math.abs(convert(value, from, to) - expected)).toBeLessThanOrEqual(Math.abs(expected) * tolerance + 1e-9);
    }
});
