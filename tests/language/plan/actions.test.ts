import { describe, expect, it } from 'vitest';
import { reflection } from '../../../language/grammar/generated/ast.js';
import { card } from './rig.js';
import { flow, lower, printed } from './show.js';

/** What stands between the start and the end of the step, and the sentences. */
function lowered(statements: string, embodied: readonly string[] = []) {
    const all = lower(card(statements), embodied);
    const events = flow(all).filter(each => !/^\d+ (step s|done s|end -> out)$/.test(each));
    return {
        events,
        page: printed(all)
            .slice(1)
            .map(each => each.trim()),
        unknown: all.plan.unknown,
    };
}

/** By type in the tree: text, events, sentence. */
const actions: Readonly<
    Record<string, readonly (readonly [text: string, events: readonly string[], sentence: string])[]>
> = {
    Operate: [
        ['deck: pull CB-1', ['1 deck pull CB-1 PULLED'], 'Pull CB-1 (PUMP A).'],
        [
            'deck: pull CB-1, CB-2 and tag',
            ['1 deck pull CB-1 PULLED', '2 deck pull CB-2 PULLED', '3 deck tag CB-1 TAGGED', '4 deck tag CB-2 TAGGED'],
            'Pull CB-1 (PUMP A) and CB-2 (PUMP B), and tag them.',
        ],
        [
            'deck: pull CB-1 and tag',
            ['1 deck pull CB-1 PULLED', '2 deck tag CB-1 TAGGED'],
            'Pull CB-1 (PUMP A), and tag it.',
        ],
        ['deck: close CB-1', ['1 deck close CB-1 CLOSED'], 'Close CB-1 (PUMP A).'],
        ['tech: open DRAIN', ['1 tech open DRAIN OPEN'], 'Open the drain port.'],
        ['tech: close DRAIN', ['1 tech close DRAIN CLOSED'], 'Close the drain port.'],
        [
            'tech: disconnect P1, P2',
            ['1 tech disconnect P1 DISCONNECTED', '2 tech disconnect P2 DISCONNECTED'],
            'Disconnect connectors P1 and P2.',
        ],
        ['tech: connect GPU', ['1 tech connect GPU CONNECTED'], 'Connect the ground power lead.'],
        ['tech: remove 12AL', ['1 tech remove 12AL REMOVED'], 'Remove the lower access panel 12AL.'],
        ['tech: remove CB-1', ['1 tech remove CB-1 REMOVED'], 'Remove CB-1 (PUMP A).'],
        [
            'tech: remove PIN, HEAT',
            ['1 tech remove PIN REMOVED', '2 tech remove HEAT ABSENT'],
            'Remove the lock pin and the test heat.',
        ],
        ['tech: clean SPOT', ['1 tech clean SPOT DRY'], 'Clean the drip area.'],
        ['tech: apply HEAT', ['1 tech apply HEAT APPLIED'], 'Apply the test heat.'],
        ['deck: tag SW', ['1 deck tag SW TAGGED'], 'Tag MASTER.'],
        ['deck: untag CB-1', ['1 deck untag CB-1 NO-TAG'], 'Take the tag off CB-1 (PUMP A).'],
        [
            'deck: untag CB-1, SW',
            ['1 deck untag CB-1 NO-TAG', '2 deck untag SW NO-TAG'],
            'Take the tags off CB-1 (PUMP A) and MASTER.',
        ],
    ],
    Install: [
        ['tech: install PIN', ['1 tech install PIN INSTALLED'], 'Install the lock pin.'],
        [
            'tech: install new BOX, RING with SP, OIL',
            ['1 tech install BOX INSTALLED new SP OIL', '2 tech install RING INSTALLED new SP OIL'],
            'Install a new control box and a new packing ring (spare: packing ring) with oil (system grade).',
        ],
    ],
    SetTo: [['deck: set SW to ON', ['1 deck set SW ON'], 'Set MASTER to ON.']],
    Press: [
        ['deck: press GO', ['1 deck press GO'], 'Press PUMP TEST.'],
        ['deck: press GO for 4 s', ['1 deck press GO (4 s)'], 'Press PUMP TEST and hold it for 4 s.'],
    ],
    Ensure: [
        ['deck: ensure SW is ON', ['1 deck ensure set SW ON'], 'Make sure that MASTER is ON.'],
        [
            'deck: ensure CB-1 is PULLED and tag',
            ['1 deck ensure pull CB-1 PULLED', '2 deck tag CB-1 TAGGED'],
            'Make sure that CB-1 (PUMP A) is PULLED and tagged.',
        ],
        [
            'tech: ensure DRAIN is CLOSED',
            ['1 tech ensure close DRAIN CLOSED'],
            'Make sure that the drain port is CLOSED.',
        ],
        [
            'tech: ensure BOX is INSTALLED',
            ['1 tech ensure install BOX INSTALLED'],
            'Make sure that the control box is INSTALLED.',
        ],
        ['tech: ensure P1 is REMOVED', ['1 tech ensure remove P1 REMOVED'], 'Make sure that connector P1 is REMOVED.'],
        ['tech: ensure SPOT is DRY', ['1 tech ensure clean SPOT DRY'], 'Make sure that the drip area is DRY.'],
    ],
    Clear: [
        ['tech: clear Bay', ['1 tech clear Bay'], 'Clear the pump bay of tools and material.'],
        ['tech: leave Bay', ['1 tech leave Bay'], 'Make sure that nobody is in the pump bay.'],
    ],
    GoTo: [['deck: go to Hall', ['1 deck go Hall'], 'Go to the hall.']],
    Tell: [
        [
            'tech: tell deck "Clear of [BOX]."',
            ['1 tech tell deck "Clear of the control box."'],
            'Tell the flight-deck operator: “Clear of the control box.”',
        ],
    ],
    Prose: [
        [
            'tech: "Wipe the seat of [BOX]."',
            ['1 tech "Wipe the seat of the control box." on BOX at Bay'],
            'Wipe the seat of the control box.',
        ],
        [
            'tech: "[BOX]: wipe the [RING]."',
            ['1 tech "The control box: wipe the packing ring." on BOX+RING at Bay'],
            'The control box: wipe the packing ring.',
        ],
        ['tech: "Look into [Bay]."', ['1 tech "Look into the pump bay." on - at Bay'], 'Look into the pump bay.'],
        ['tech: "Stand by."', ['1 tech "Stand by." on - at -'], 'Stand by.'],
        [
            'tech: "See that [P1] is \\[marked]."',
            ['1 tech "See that connector P1 is [marked]." on P1 at Bay'],
            'See that connector P1 is [marked].',
        ],
    ],
    Torque: [
        ['tech: torque BOX', ['1 tech torque BOX 2 to 3 N·m -'], 'Torque the control box to 2 to 3 N·m.'],
        [
            'tech: torque B1 50 to 70 lbf·in with TW',
            ['1 tech torque B1 50 to 70 lbf·in TW'],
            'Torque bolt B1 to 50 to 70 lbf·in with the torque wrench (small).',
        ],
        [
            'tech: torque B1 50 to 70 lbf·in with TW and extension 4 in',
            ['1 tech torque B1 50 to 70 lbf·in TW 0.1016 m'],
            'Torque bolt B1 to 50 to 70 lbf·in with the torque wrench (small) and an extension of 4 in.',
        ],
        ['tech: torque B1', ['1 tech torque B1 - -'], 'Torque bolt B1.'],
    ],
    Keep: [
        [
            'deck: keep SW at START at most 30 s { wait 5 s }',
            ['1 deck keep0 SW START 30 s', '2 wait (5 s)', '3 deck release0 SW OFF'],
            'Hold MASTER at START for at most 30 s. Meanwhile:',
        ],
        [
            'deck: keep GO at most 3 s { }',
            ['1 deck keep0 GO PRESSED 3 s', '2 deck release0 GO RELEASED'],
            'Hold PUMP TEST pressed for at most 3 s. Meanwhile:',
        ],
    ],
    See: [
        ['deck: see LT is ON', ['1 deck see LT ON'], 'Check that PUMP ON is ON.'],
        ['deck: see LT is ON within 6 s', ['1 deck see LT ON within 6'], 'Check that PUMP ON is ON within 6 s.'],
        ['deck: see LT is ON for 6 s', ['1 deck see LT ON for 6 (6 s)'], 'Check that PUMP ON stays ON for 6 s.'],
        [
            'deck: see LT is ON after 3 s within 6 s',
            ['1 deck see LT ON within 6 after 3 (3 s)'],
            'After 3 s, check that PUMP ON is ON within 6 s.',
        ],
        ['deck: see LT is ON record', ['1 deck see LT ON record'], 'Check that PUMP ON is ON.'],
        ['tech: see P1 is REMOVED', ['1 tech see P1 REMOVED'], 'Check that connector P1 is REMOVED.'],
        ['deck: see CB-1 is TAGGED', ['1 deck see CB-1 TAGGED'], 'Check that CB-1 (PUMP A) is TAGGED.'],
        [
            'deck: see LT is ON else { wait 1 s }',
            ['1 deck see LT ON -> 3 | 2', '2 wait (1 s)', '3 join'],
            'Check that PUMP ON is ON.',
        ],
    ],
    Read: [
        [
            'tech: read PG 900 to 1,100 psi',
            ['1 tech read PG 900 to 1,100 psi'],
            'Check that the pressure gauge reads 900 to 1,100 psi.',
        ],
        [
            'tech: read PG at least 900 psi within 1 min record',
            ['1 tech read PG at least 900 psi within 60 record'],
            'Check that the pressure gauge reads at least 900 psi within 1 min.',
        ],
        [
            'tech: read PG at most 5 psi for 2 min',
            ['1 tech read PG at most 5 psi for 120 (120 s)'],
            'Check that the pressure gauge reads at most 5 psi for 2 min.',
        ],
    ],
    Measure: [
        [
            'tech: measure "gap" of BOX 3.95 to 4.00 mm record',
            ['1 tech measure BOX gap 3.95 to 4.00 mm record'],
            'Measure the gap of the control box. Limits: 3.95 to 4.00 mm.',
        ],
    ],
};

describe('an action', () => {
    for (const [type, cases] of Object.entries(actions)) {
        it.each(cases)(`${type}: %s`, (text, events, sentence) => {
            const result = lowered(text);
            expect(result.unknown).toEqual([]);
            expect(result.events).toEqual(events);
            expect(result.page[0]?.replace(/^\w+: /, '')).toBe(sentence);
        });
    }

    it('is tried here in every form that the grammar has', () => {
        const all = reflection
            .getAllSubTypes('Action')
            .filter(each => !['Action', 'Look', 'UnknownAction'].includes(each));
        expect(Object.keys(actions).sort()).toEqual(all.sort());
    });

    it('without a name is work on what the role last worked on in the step', () => {
        const { events } = lowered(
            'tech: remove 12AL\n deck: pull CB-1\n tech: see P1 is CONNECTED\n tech: "Wipe it."',
        );
        expect(events.at(-1)).toBe('4 tech "Wipe it." on 12AL at Hall');
    });

    it('without a name at the start of a step is work on nothing', () => {
        const text = card('tech: remove 12AL').replace(/}\s*$/, 'step t "Other" { tech: "Wipe it." } }');
        expect(flow(lower(text))).toContain('4 tech "Wipe it." on - at -');
    });

    it('names each item of several at its name, and a single one with the whole statement', () => {
        const text = card('deck: pull CB-1, CB-2\n deck: pull CB-1');
        const spans = lower(text)
            .plan.events.filter(each => each.kind === 'operate')
            .map(each => text.slice(each.span.offset, each.span.end));
        expect(spans).toEqual(['CB-1', 'CB-2', 'deck: pull CB-1']);
    });
});

describe('what cannot be lowered', () => {
    it.each([
        ['tech: open CB-1', '"open" does not suit CB-1, a breaker (at line'],
        ['tech: set DRAIN to OPEN', '"set" does not suit DRAIN, a port'],
        ['deck: set SW to SIDEWAYS', 'SW has no state SIDEWAYS'],
        ['deck: set SW to REMOVED', 'SW is not set to REMOVED'],
        ['deck: see LT is BROKEN', 'LT has no state BROKEN'],
        ['deck: ensure LT is ON', 'Nothing that anybody does brings LT, a light, to ON'],
        ['deck: press SW', '"press" does not suit SW, a control'],
        ['deck: press GO for 4 psi', 'The time'],
        ['wait 3 psi', 'The time'],
        ['tech: read LT 1 to 2 psi', 'LT, a light, shows no value to read'],
        ['tech: tag DRAIN', 'No tag hangs on DRAIN'],
        ['deck: keep LT at ON at most 3 s { }', 'LT, a light, cannot be held at ON'],
        ['tech: pull NOPE', 'NOPE at line'],
        ['nobody: pull CB-1', 'nobody at line'],
        ['deck: see LAMP is ON', 'LAMP at line'],
        ['do Nope', 'Nope at line'],
        ['repeat step s at most 2 times', 'would be repeated'],
        ['stop "Here."\n wait 5 s', 'is never done'],
    ])('%s: is left out and said', (text, said) => {
        const { unknown } = lowered(text);
        expect(unknown.join('\n')).toContain(said);
    });

    it('does not take the rest with it', () => {
        const { events, unknown } = lowered(
            'deck: pull CB-1, NOPE, CB-2 and tag\n deck: see LAMP is ON else { stop "No." }\n wait 5 s',
        );
        expect(unknown).toHaveLength(2);
        expect(events).toEqual([
            '1 deck pull CB-1 PULLED',
            '2 deck pull CB-2 PULLED',
            '3 deck tag CB-1 TAGGED',
            '4 deck tag CB-2 TAGGED',
            '5 wait (5 s)',
        ]);
    });
});
