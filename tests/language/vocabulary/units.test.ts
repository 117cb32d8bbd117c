import { describe, expect, test } from 'vitest';
import {
    convert,
    convertWritten,
    printQuantity,
    readNumber,
    sameDimension,
    spellings,
    toSeconds,
    unitMeant,
    unitOf,
} from '../../../language/vocabulary/units.js';

describe('spellings', () => {
    test.each([
        ['N·m', 'N·m'],
        ['N⋅m', 'N·m'],
        ['N-m', 'N·m'],
        ['lbf·in', 'lbf·in'],
        ['in-lb', 'lbf·in'],
        ['in·lb', 'lbf·in'],
        ['US\tgal', 'US gal'],
        ['°C', '°C'],
    ])('%s is %s', (written, symbol) => expect(unitOf(written)?.symbol).toBe(symbol));

    test('what is none has a better one where people commonly write it', () => {
        expect(unitOf('sec')).toBeUndefined();
        expect(unitMeant('sec')).toBe('s');
        expect(unitMeant('constructor')).toBeUndefined();
        expect(unitOf('constructor')).toBeUndefined();
    });

    test('no spelling stands for two units', () => expect(new Set(spellings).size).toBe(spellings.length));
});

describe('numbers', () => {
    test.each([
        ['2,850', 2850],
        ['1,234,567.5', 1234567.5],
        ['-40', -40],
        ['3.95', 3.95],
        ['3,95', undefined],
        ['12,3456', undefined],
        ['1234,567', undefined],
        ['', undefined],
        ['1e5', undefined],
    ])('%s', (written, value) => expect(readNumber(written)).toBe(value));
});

describe('conversion', () => {
    test('seconds', () => {
        expect(toSeconds('2', 'min')).toBe(120);
        expect(toSeconds('1,000', 's')).toBe(1000);
        expect(toSeconds(1.5, 'h')).toBe(5400);
        expect(toSeconds('2', 'mm')).toBeUndefined();
        expect(toSeconds('3,95', 's')).toBeUndefined();
    });

    test('only within a dimension', () => {
        expect(sameDimension('psi', 'bar')).toBe(true);
        expect(sameDimension('lb', 'lbf')).toBe(false);
        expect(() => convert(1, 'psi', 'mm')).toThrow(RangeError);
    });

    // The examples of rounding: as many digits as were written, one more where the first digit gets smaller.
    test.each([
        ['50', 'lbf·in', 'N·m', '5.6'],
        ['70', 'lbf·in', 'N·m', '7.9'],
        ['2,850', 'psi', 'kPa', '19,650'],
        ['2,850', 'psi', 'psi', '2,850'],
        ['4.20', 'N·m', 'lbf·in', '37.17'],
        ['0', '°C', '°F', '32'],
        ['21.5', '°C', '°F', '70.7'],
        ['0', 'psi', 'kPa', '0'],
    ])('%s %s in %s is %s', (written, from, to, printed) => expect(convertWritten(written, from, to)).toBe(printed));

    test('print keeps the digits', () => {
        expect(printQuantity('3.50', 'in-lb')).toBe('3.50 lbf·in');
        expect(printQuantity('20', '%')).toBe('20%');
    });
});
