import { describe, expect, it } from 'vitest';
import { wordsOf } from '../../../language/vocabulary/sentences.js';
import { flow, lower, printed, sample, variantNames } from './show.js';

const without = `
0 step isolate
1 deck pull CB-217 PULLED
2 deck pull CB-218 PULLED
3 deck tag CB-217 TAGGED
4 deck tag CB-218 TAGGED
5 tech remove 147BL REMOVED
6 tech open BLEED OPEN
7 tech tell deck "Clear to try the valve."
8 deck set ISOL SHUT
9 tech see WITNESS IN-LINE for 6 (6 s) -> 13 | 10
10 tech tell deck "It moved. Return the switch."
11 deck set ISOL NORM
12 stop "The valve is not isolated." -> out
13 tech tell deck "The valve did not move. Return the switch."
14 deck set ISOL NORM
15 done isolate
16 step replace
17 tech disconnect P1 DISCONNECTED
18 tech disconnect P2 DISCONNECTED
19 tech remove ACT REMOVED
20 tech "Clean the seat of the isolation valve actuator with a lint-free cloth." on ACT at ValveBay
21 insp hold "The seat of the isolation valve actuator is clean and the packing ring is new." on ACT+RS
22 tech install ACT INSTALLED new RING OIL
23 tech torque ACT 4.2 to 4.8 N·m TW
24 tech connect P1 CONNECTED
25 tech connect P2 CONNECTED
26 tech clear ValveBay
27 done replace
28 test motor_a
29 deck set PUMP ON
30 deck ensure pull CB-218 PULLED
31 deck tag CB-218 TAGGED
32 tech tell deck "Clear to move the valve."
33 deck close CB-217 CLOSED
34 deck set ISOL SHUT
35 tech see WITNESS ACROSS within 6
36 tech see STREAM NONE
37 tech tell deck "Valve is shut. Clear to open."
38 deck set ISOL NORM
39 tech see WITNESS IN-LINE within 6
40 tech see STREAM STEADY
41 done motor_a
42 test motor_b
43 deck ensure pull CB-217 PULLED
44 deck tag CB-217 TAGGED
45 tech tell deck "Clear to move the valve."
46 deck close CB-218 CLOSED
47 deck set ISOL SHUT
48 tech see WITNESS ACROSS within 6
49 tech see STREAM NONE
50 tech tell deck "Valve is shut. Clear to open."
51 deck set ISOL NORM
52 tech see WITNESS IN-LINE within 6
53 tech see STREAM STEADY
54 deck set PUMP OFF
55 wait (90 s)
56 tech close BLEED CLOSED
57 tech clean DRIP DRY
58 done motor_b
59 test leaks
60 deck set PUMP ON
61 wait (120 s)
62 tech see WEEP DRY
63 tech see DRIP DRY
64 deck set PUMP OFF
65 done leaks
66 step close_up
67 deck close CB-217 CLOSED
68 insp hold "The isolation valve actuator and the bleed port are secure, the area is clean and no tools remain." on ACT+BLEED
69 tech install 147BL INSTALLED
70 done close_up
71 end -> out
`;

/** On aircraft with the lamp four looks more, each after the look at the flow. */
const lampLooks: readonly (readonly [after: number, look: string])[] = [
    [36, 'deck see SHUT-LT ON'],
    [40, 'deck see SHUT-LT OFF'],
    [49, 'deck see SHUT-LT ON'],
    [53, 'deck see SHUT-LT OFF'],
];

const page = `
1 | Make the valve safe | 10 min
  warning: The valve moves without warning. Keep hands clear until both motors are isolated.
  deck: Pull CB-217 (HYD 2 ISOL VALVE MOTOR A) and CB-218 (HYD 2 ISOL VALVE MOTOR B), and tag them.
  tech: Remove the inboard wheel-well panel 147BL.
  tech: Open the bleed port.
  tech: Tell the flight-deck operator: “Clear to try the valve.”
  deck: Set HYD 2 ISOLATION to SHUT.
  tech: Check that the position mark stays IN-LINE for 6 s.
  if not
    tech: Tell the flight-deck operator: “It moved. Return the switch.”
    deck: Set HYD 2 ISOLATION to NORM.
    stop: The valve is not isolated.
  tech: Tell the flight-deck operator: “The valve did not move. Return the switch.”
  deck: Set HYD 2 ISOLATION to NORM.
2 | Replace the actuator | 50 min
  tech: Disconnect connectors P1 and P2.
  tech: Remove the isolation valve actuator.
  tech: Clean the seat of the isolation valve actuator with a lint-free cloth.
  insp: hold: The seat of the isolation valve actuator is clean and the packing ring is new.
  tech: Install a new isolation valve actuator with a new packing ring and hydraulic fluid (system specification).
  tech: Torque the isolation valve actuator to 4.2 to 4.8 N·m with the torque wrench (1/4 in drive).
  tech: Connect connectors P1 and P2.
  tech: Clear the valve bay of tools and material.
3 | Motor A alone | 5 min | proves motor A and the isolation valve
  deck: Set HYD 2 ELEC PUMP to ON.
  [Prove one motor on its own]
    deck: Make sure that CB-218 (HYD 2 ISOL VALVE MOTOR B) is PULLED and tagged.
    tech: Tell the flight-deck operator: “Clear to move the valve.”
    deck: Close CB-217 (HYD 2 ISOL VALVE MOTOR A).
    deck: Set HYD 2 ISOLATION to SHUT.
    tech: Check that the position mark is ACROSS within 6 s.
    tech: Check that the flow from the bleed port is NONE.
    deck: Check that HYD 2 ISOL SHUT is ON. Only with Modification 29-14.
    tech: Tell the flight-deck operator: “Valve is shut. Clear to open.”
    deck: Set HYD 2 ISOLATION to NORM.
    tech: Check that the position mark is IN-LINE within 6 s.
    tech: Check that the flow from the bleed port is STEADY.
    deck: Check that HYD 2 ISOL SHUT is OFF. Only with Modification 29-14.
4 | Motor B alone | 5 min | proves motor B and the isolation valve
  [Prove one motor on its own]
    deck: Make sure that CB-217 (HYD 2 ISOL VALVE MOTOR A) is PULLED and tagged.
    tech: Tell the flight-deck operator: “Clear to move the valve.”
    deck: Close CB-218 (HYD 2 ISOL VALVE MOTOR B).
    deck: Set HYD 2 ISOLATION to SHUT.
    tech: Check that the position mark is ACROSS within 6 s.
    tech: Check that the flow from the bleed port is NONE.
    deck: Check that HYD 2 ISOL SHUT is ON. Only with Modification 29-14.
    tech: Tell the flight-deck operator: “Valve is shut. Clear to open.”
    deck: Set HYD 2 ISOLATION to NORM.
    tech: Check that the position mark is IN-LINE within 6 s.
    tech: Check that the flow from the bleed port is STEADY.
    deck: Check that HYD 2 ISOL SHUT is OFF. Only with Modification 29-14.
  deck: Set HYD 2 ELEC PUMP to OFF.
  Wait 90 s.
  tech: Close the bleed port.
  tech: Clean the bleed port seat.
5 | Leak check | 5 min | proves the packing ring and the bleed port
  deck: Set HYD 2 ELEC PUMP to ON.
  Wait 2 min.
  tech: Check that the actuator seal area is DRY.
  tech: Check that the bleed port seat is DRY.
  deck: Set HYD 2 ELEC PUMP to OFF.
6 | Close up | 10 min
  deck: Close CB-217 (HYD 2 ISOL VALVE MOTOR A).
  insp: hold: The isolation valve actuator and the bleed port are secure, the area is clean and no tools remain.
  tech: Install the inboard wheel-well panel 147BL.
`;

const lines = (text: string) => text.trim().split('\n');

describe('the sample', () => {
    it('is for aircraft with and without the modification', () => {
        expect(variantNames(sample)).toEqual(['-', 'M29-14']);
    });

    it('is whole', () => {
        for (const embodied of [[], ['M29-14']]) expect(lower(sample, embodied).plan.unknown).toEqual([]);
    });

    it('without the modification', () => {
        expect(flow(lower(sample))).toEqual(lines(without));
    });

    it('with the modification', () => {
        const expected = lines(without).map(each => each.replace(/^\d+ /, ''));
        for (const [after, look] of lampLooks.toReversed()) expected.splice(after + 1, 0, look);
        expect(flow(lower(sample, ['M29-14']))).toEqual(expected.map((each, index) => `${index} ${each}`));
    });

    it('is printed', () => {
        expect(printed(lower(sample, ['M29-14']))).toEqual(lines(page));
        const lampless = lines(page).filter(each => !each.includes('Only with'));
        expect(printed(lower(sample))).toEqual(lampless);
    });

    it('has a head', () => {
        const { plan } = lower(sample, ['M29-14']);
        expect(plan).toMatchObject({
            card: 'T84-29-11-04',
            label: 'Isolation valve actuator: replace and test',
            revision: '3',
            dated: '2026-10-01',
            applies: 'T84, serial numbers 101 and on',
            variant: {
                modifications: [{ name: 'M29-14', label: 'Modification 29-14: position lamp added', embodied: true }],
            },
            finish: [],
            after: [],
            done: [],
            accepts: [],
        });
        expect(plan.roles.map(each => [each.name, each.independentOf])).toEqual([
            ['tech', []],
            ['deck', []],
            ['insp', [0, 1]],
        ]);
        expect(plan.tools).toMatchObject([
            { name: 'TW', label: 'Torque wrench, 1/4 in drive', range: { text: '2 to 12 N·m', unit: 'N·m' } },
        ]);
        expect(plan.spares).toMatchObject([{ name: 'RING', part: 'T84-29-117', quantity: 1 }]);
        expect(plan.materials).toMatchObject([{ name: 'OIL' }]);
        expect(plan.page.start.map(wordsOf)).toEqual([
            'BATTERY is ON.',
            'HYD 2 ELEC PUMP is OFF.',
            'HYD 2 ISOLATION is NORM.',
        ]);
        expect(plan.page.breakers).toMatchObject([
            { place: 'Flight deck', grid: 'C7', name: 'CB-217', label: 'HYD 2 ISOL VALVE MOTOR A' },
            { place: 'Flight deck', grid: 'D7', name: 'CB-218', label: 'HYD 2 ISOL VALVE MOTOR B' },
        ]);
    });

    it('has its steps where they stand', () => {
        const { plan, machine } = lower(sample);
        const named = plan.steps.map(({ number, name, kind, of, takes, header }) => [
            `${number} ${kind} ${name}${of.length > 0 ? ` of ${of.map(each => machine.items[each]?.name).join(', ')}` : ''} ${takes / 60} min`,
            sample.slice(header.offset, header.end),
        ]);
        expect(named).toEqual([
            ['1 step isolate 10 min', 'step isolate "Make the valve safe" takes 10 min'],
            ['2 step replace 50 min', 'step replace "Replace the actuator" takes 50 min'],
            ['3 test motor_a of MA, VLV 5 min', 'test motor_a "Motor A alone" of MA, VLV takes 5 min'],
            ['4 test motor_b of MB, VLV 5 min', 'test motor_b "Motor B alone" of MB, VLV takes 5 min'],
            ['5 test leaks of RS, BLEED 5 min', 'test leaks "Leak check" of RS, BLEED takes 5 min'],
            ['6 step close_up 10 min', 'step close_up "Close up" takes 10 min'],
        ]);
    });

    it('says of every event in a subtask how it was called', () => {
        const { plan } = lower(sample);
        const called = plan.events.filter(each => each.calls.length > 0);
        expect(called).toHaveLength(22);
        for (const { calls, span } of called) {
            expect(calls.map(each => each.name)).toEqual(['DriveAlone']);
            expect(sample.slice(calls[0]?.span.offset, calls[0]?.span.end)).toMatch(/^do DriveAlone\(.*\)$/);
            expect(sample.slice(span.offset, span.end)).toMatch(/^(deck|tech): /);
        }
    });

    it('has states that are looked for stand out', () => {
        const { plan } = lower(sample, ['M29-14']);
        const step = plan.page.steps[2];
        const group = step?.lines.find(each => each.kind === 'group');
        const look = group?.kind === 'group' ? group.lines.find(each => each.kind === 'look') : undefined;
        expect(look).toMatchObject({
            sentence: [
                { text: 'Check that the position mark is ', role: 'plain' },
                { text: 'ACROSS', role: 'expected' },
                { text: ' within 6 s.', role: 'plain' },
            ],
            timed: true,
            record: false,
            ifNot: null,
        });
    });
});
