import { describe, expect, it } from 'vitest';
import type { KindWord } from '../../../language/vocabulary/kinds/index.js';
import { kinds } from '../../../language/vocabulary/kinds/index.js';
import * as say from '../../../language/vocabulary/sentences.js';

const item = (kind: KindWord, name: string, label: string): say.Named => ({ kind, name, label });
const breaker = item('breaker', 'CB-1', 'PUMP A');
const words = say.wordsOf;

describe('a thing is called', () => {
    it.each([
        [breaker, 'CB-1 (PUMP A)', 'CB-1 (PUMP A)'],
        [item('breaker', 'CB-1', 'CB-1'), 'CB-1', 'CB-1'],
        [item('control', 'SW', 'MASTER'), 'MASTER', 'MASTER'],
        [item('control', 'SW', 'start switch'), 'the start switch', 'start switch'],
        [item('light', 'LT', 'HYD 2 ISOL SHUT'), 'HYD 2 ISOL SHUT', 'HYD 2 ISOL SHUT'],
        [item('gauge', 'PG', 'system pressure gauge'), 'the system pressure gauge', 'system pressure gauge'],
        [
            item('panel', '147BL', 'inboard wheel-well panel'),
            'the inboard wheel-well panel 147BL',
            'inboard wheel-well panel 147BL',
        ],
        [item('panel', '147BL', 'panel'), 'panel 147BL', 'panel 147BL'],
        [item('panel', '147BL', 'panel 147BL, inboard'), 'panel 147BL, inboard', 'panel 147BL, inboard'],
        [item('door', 'COWL-1', 'No. 1 lower cowl'), 'the No. 1 lower cowl', 'No. 1 lower cowl'],
        [item('connector', 'P1', 'connector P1'), 'connector P1', 'connector P1'],
        [item('connector', 'P1', 'motor plug'), 'the motor plug P1', 'motor plug P1'],
        [item('fastener', 'B1', 'bolt'), 'bolt B1', 'bolt B1'],
        [item('unit', 'ACT', 'isolation valve actuator'), 'the isolation valve actuator', 'isolation valve actuator'],
        [item('unit', 'APU', 'APU'), 'APU', 'APU'],
        [item('motor', 'MA', 'motor A'), 'motor A', 'motor A'],
        [item('unit', 'D1', 'smoke detector 1'), 'smoke detector 1', 'smoke detector 1'],
        [item('source', 'ESS', '28 V DC essential bus'), 'the 28 V DC essential bus', '28 V DC essential bus'],
        [item('unit', 'ACT', ''), 'ACT', 'ACT'],
    ] as const)('%o: %s', (named, thing, noun) => {
        expect(say.thing(named)).toBe(thing);
        expect(say.noun(named)).toBe(noun);
    });

    it.each([
        ['Flight-deck operator', 'the flight-deck operator'],
        ['Torque wrench, 1/4 in drive', 'the torque wrench (1/4 in drive)'],
        ['Bay 3', 'bay 3'],
        ['No. 1 nacelle', 'the No. 1 nacelle'],
        ['APU bay', 'the APU bay'],
    ])('%s in a sentence', (label, expected) => {
        expect(say.the(label)).toBe(expected);
    });
});

describe('names in a text', () => {
    const name = { noun: 'packing ring', thing: 'the packing ring' };
    it.each([
        [['See that ', ' is new.'], 'See that the packing ring is new.'],
        [['Use a new ', '.'], 'Use a new packing ring.'],
        [['Wipe the ', '.'], 'Wipe the packing ring.'],
        [['', ' is new.'], 'The packing ring is new.'],
        [['Stop. ', ' is new.'], 'Stop. The packing ring is new.'],
        [['', ''], 'The packing ring'],
    ])('%j', (parts, expected) => {
        expect(say.fill(parts, [name])).toBe(expected);
    });
});

describe('sentences', () => {
    const door = item('door', 'D', 'cargo door');
    it('are in the imperative, end in a stop and are short for every verb of every kind', () => {
        for (const kind of kinds) {
            for (const { word } of kind.verbs) {
                const one = words(
                    word === 'install'
                        ? say.sayInstall([item(kind.word, 'X', 'long name of it')], false, [])
                        : say.sayOperate(word, [item(kind.word, 'X', 'long name of it')], false),
                );
                expect(one).toMatch(/^[A-Z][a-z]+ .*(the long name of it|X \(long name of it\))\.$/);
                expect(one.split(' ').length).toBeLessThanOrEqual(8);
                expect(one).not.toMatch(/should|please/i);
            }
        }
    });

    it.each([
        [say.saySetting(door, ['OPEN'], ''), 'The cargo door is OPEN.'],
        [say.saySetting(door, ['OPEN', 'CLOSED'], ''), 'The cargo door is OPEN or CLOSED.'],
        [say.saySetting(item('control', 'SW', 'MODE'), ['1', '2', '3'], ''), 'MODE is 1, 2 or 3.'],
        [say.saySetting(door, ['OPEN'], '90 s'), 'The cargo door has been OPEN for at least 90 s.'],
        [say.sayRepeat('step 2', 1), 'Go back to step 2. Do this at most once; if that does not help, stop.'],
        [say.sayRepeat('line 2.4', 3), 'Go back to line 2.4. Do this at most 3 times; if that does not help, stop.'],
        [say.sayLeaveFor('C-2', 'Other card'), 'Leave this card. Continue with C-2 (Other card).'],
        [say.sayLeaveFor('C-2', ''), 'Leave this card. Continue with C-2.'],
        [say.sayIf(door, 'OPEN'), 'If the cargo door is OPEN:'],
    ])('%j', (said, expected) => {
        expect(words(said)).toBe(expected);
    });

    it('say for which aircraft they are', () => {
        const one = { name: 'M1', label: 'Modification 29-14: lamp added', embodied: true };
        const two = { name: 'M2', label: '', embodied: false };
        expect(say.sayOnly([])).toBe('');
        expect(say.sayOnly([one])).toBe('Only with Modification 29-14.');
        expect(say.sayOnly([one, two, one])).toBe('Only with Modification 29-14 and without M2.');
    });

    it('name the spare that is the thing itself beside it, not as one that goes in with it', () => {
        const battery = [item('unit', 'BAT', 'main battery')];
        const spare = { label: 'Main battery, charged', is: 'spare' as const, same: true };
        const words = (means: Parameters<typeof say.sayInstall>[2]) =>
            say.wordsOf(say.sayInstall(battery, true, means));
        expect(words([spare])).toBe('Install a new main battery (spare: main battery, charged).');
        expect(words([spare, { label: 'Petrolatum', is: 'material' }])).toBe(
            'Install a new main battery (spare: main battery, charged) with petrolatum.',
        );
    });

    it('say what a test proves', () => {
        expect(say.sayProves([item('motor', 'MA', 'motor A'), item('valve', 'VLV', 'isolation valve')])).toBe(
            'proves motor A and the isolation valve',
        );
        expect(say.sayProves([])).toBe('');
    });
});
