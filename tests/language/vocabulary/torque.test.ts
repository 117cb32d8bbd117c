import { describe, expect, it } from 'vitest';
import { readingExample, torqueReading } from '../../../language/vocabulary/torque.js';

describe('the reading of a torque wrench with an extension', () => {
    // US Army technical manuals print these as worked examples.
    it.each([
        [300, 10, 4, 214],
        [100, 12, 6, 66.7],
        [135, 10, 1.5, 117.39],
        [135, 10, -1.5, 158.82],
    ])('%d lbf·in, wrench %d in, extension %d in: %d', (torque, length, extension, reading) => {
        const digits = (String(reading).split('.')[1] ?? '').length;
        expect(torqueReading(torque, length, extension).toFixed(digits)).toBe(String(reading));
    });

    it('is the torque itself without one', () => expect(torqueReading(50, 10, 0)).toBe(50));

    it('has an example for limits and an extension as they are written', () => {
        expect(readingExample('50 to 70 lbf·in', '4 in')).toBe('35.7 to 50.0 lbf·in where L is 10 in');
        expect(readingExample('4.2 to 4.8 N·m', '100 mm')).toBe('3.00 to 3.43 N·m where L is 250 mm');
        expect(readingExample('at least 4 N·m', '100 mm')).toBeUndefined();
        expect(readingExample('', '4 in')).toBeUndefined();
    });
});
