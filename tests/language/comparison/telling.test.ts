/** Ten edits of the twin-motor card, and the one line that an engineer reads of each: it must tell alone whether to worry. */
import { expect, test } from 'vitest';
import { between, examples, replaced } from './texts.js';

type Edit = readonly [what: string, old: string, now: string];

const telling: readonly Edit[] = [
    ['The pressure is given less time to decay', 'wait 90 s', 'wait 60 s'],
    ['A breaker is not closed again', '    deck: close CB-217\n', ''],
    ['The breakers change places in the second test', 'do DriveAlone(CB-218, CB-217', 'do DriveAlone(CB-217, CB-218'],
    ['The other motor is no longer isolated', '  deck: ensure other is PULLED and tag\n', ''],
    ['The new packing is no longer inspected', '    hold for insp "The seat of [ACT] is clean and [RS] is new."\n', ''],
    [
        'The call to the flight deck comes too late',
        '  tech: tell deck "Clear to move the valve."\n  deck: close own\n  deck: set ISOL to SHUT\n',
        '  deck: close own\n  deck: set ISOL to SHUT\n  tech: tell deck "Clear to move the valve."\n',
    ],
    ['The seal is no longer looked at', '    tech: see WEEP is DRY\n', ''],
    ['The actuator is tightened more', 'torque 4.2 to 4.8 N·m', 'torque 4.2 to 5.8 N·m'],
    ['Motor B hangs on the breaker of motor A', 'from CB-218, P2', 'from CB-217, P2'],
    ['The valve may be slow', 'ACROSS within 6 s', 'ACROSS within 60 s'],
    ['The leak check waits longer', 'wait 2 min', 'wait 3 min'],
    ['A call is worded better', '"Clear to move the valve."', '"Hands are clear. Move the valve."'],
];

test('the first line of each', { timeout: 600_000 }, async () => {
    const lines = telling.flatMap(([what, old, now]) => [
        `${what}.`,
        `  ${between(examples, replaced(examples, old, now)).says}`,
        '',
    ]);
    await expect(lines.join('\n')).toMatchFileSnapshot('telling.txt');
});
