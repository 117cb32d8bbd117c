import { describe, expect, it } from 'vitest';
import { unbroken, withConverted } from '../../../language/vocabulary/quantities.js';

describe('a quantity in a printed text', () => {
    it.each([
        ['Wait 90 s.', 'Wait 90_s.'],
        ['Lockwire, 0.8 mm', 'Lockwire, 0.8_mm'],
        ['reads 2,850 to 3,150 psi within 6 s.', 'reads 2,850_to_3,150_psi within 6_s.'],
        ['Torque wrench, 1/4 in drive, 2 to 12 N·m', 'Torque wrench, 1/4_in drive, 2_to_12_N·m'],
        ['1.2 US gal (4.5 L)', '1.2_US_gal (4.5_L)'],
        ['the No. 1 engine', 'the No._1 engine'],
        ['at least 12% within 10 s', 'at least 12% within 10_s'],
        ['CB-2 A and 3 steps, line 1.2 sees', 'CB-2 A and 3 steps, line 1.2 sees'],
    ])('%s: no line ends inside it', (text, kept) => {
        expect(unbroken(text).replaceAll('\u00a0', '_')).toBe(kept);
    });

    it.each([
        ['4.2 to 4.8 N·m', ['N·m', 'lbf·in'], '4.2 to 4.8 N·m (37.2 to 42.5 lbf·in)'],
        ['50 to 70 lbf·in', ['N-m', 'lbf·in'], '50 to 70 lbf·in (5.65 to 7.91 N·m)'],
        ['2,850 to 3,150 psi', ['kPa', 'bar'], '2,850 to 3,150 psi (19,650 to 21,718 kPa)'],
        ['at least 15 psi', ['kPa'], 'at least 15 psi (at least 103 kPa)'],
        ['at most 0.8 mm', ['in'], 'at most 0.8 mm (at most 0.0315 in)'],
        ['3.95 to 4.00 mm', ['in'], '3.95 to 4.00 mm (0.1555 to 0.1575 in)'],
        ['0 to 200 psi', ['kPa'], '0 to 200 psi (0 to 1,379 kPa)'],
        ['20 °C', ['°F'], '20 °C (68 °F)'],
        ['4.2 to 4.8 N·m', ['psi'], '4.2 to 4.8 N·m'],
        ['4.2 to 4.8 N·m', ['N·m'], '4.2 to 4.8 N·m'],
        ['4.2 to 4.8 N·m', ['nonsense'], '4.2 to 4.8 N·m'],
        ['IN-LINE', ['psi', 'mm'], 'IN-LINE'],
        ['', ['psi'], ''],
    ])('%s, with %j asked for: %s', (text, units, printed) => {
        expect(withConverted(text, units)).toBe(printed);
    });
});
