/** Cards of any length on one and the same equipment, as a writer would write them: looks with and without else, waits, tells, tests. */
import { readFileSync } from 'node:fs';
import type { SourceText } from '../../language/names/project.js';

export const equipment: readonly SourceText[] = [
    'aircraft/electrical',
    'aircraft/modifications',
    'isolation-valve/equipment',
].map(name => {
    const path = `examples/northlight/${name}.cotter`;
    return { path, text: readFileSync(path, 'utf8') };
});

/** Forty actions that leave everything as it was. */
const round = (n: number) => `  step isolate_${n} "Make the valve safe, ${n}" takes 10 min {
    warning "The valve moves without warning. Keep hands clear until both motors are isolated."
    deck: pull CB-217, CB-218 and tag
    tech: remove 147BL
    tech: open BLEED
    tech: tell deck "Clear to try the valve."
    deck: set ISOL to SHUT
    tech: see WITNESS is IN-LINE for 6 s else {
      tech: tell deck "It moved. Return the switch."
      deck: set ISOL to NORM
      stop "The valve is not isolated."
    }
    tech: tell deck "The valve did not move. Return the switch."
    deck: set ISOL to NORM
  }
  step work_${n} "Take the actuator off and on, ${n}" takes 20 min {
    tech: disconnect P1, P2
    tech: remove ACT
    tech: "Clean the seat of [ACT] with a lint-free cloth."
    hold for insp "The seat of [ACT] is clean and [RS] is new."
    tech: install new ACT with RING, OIL
    tech: torque ACT with TW
    tech: connect P1, P2
    tech: clear ValveBay
  }
  test motor_a_${n} "Motor A alone, ${n}" of MA, VLV takes 5 min {
    deck: set PUMP to ON
    tech: tell deck "Clear to move the valve."
    deck: close CB-217
    deck: set ISOL to SHUT
    tech: see WITNESS is ACROSS within 6 s
    tech: see STREAM is NONE
    tech: tell deck "Valve is shut. Clear to open."
    deck: set ISOL to NORM
    tech: see WITNESS is IN-LINE within 6 s
    tech: see STREAM is STEADY
    deck: close CB-218
    deck: set PUMP to OFF
    wait 90 s
    tech: close BLEED
    tech: clean DRIP
  }
  test leaks_${n} "Leak check, ${n}" of RS, BLEED takes 5 min {
    deck: set PUMP to ON
    wait 2 min
    tech: see WEEP is DRY
    tech: see DRIP is DRY
    deck: set PUMP to OFF
    tech: install 147BL
  }
`;
export const actionsOfRound = 40;

export function card(actions: number, name = 'T84-99-99-01'): string {
    const rounds = Array.from({ length: Math.max(1, Math.round(actions / actionsOfRound)) }, (_, n) => round(n + 1));
    return `card ${name} "Isolation valve actuator, again and again" {
  uses Hyd2
  applies to "T84, all serial numbers"
  revision "1" dated "2026-11-01"
  role tech "Technician" at WheelWell
  role deck "Flight-deck operator" at FlightDeck
  role insp "Independent inspector" at WheelWell independent of tech, deck
  tool     TW   "Torque wrench, 1/4 in drive" range 2 to 12 N·m
  spare    RING "Packing ring" part "T84-29-117" for RS quantity ${rounds.length}
  material OIL  "Hydraulic fluid, system specification"
  start with BATT is ON, PUMP is OFF, ISOL is NORM
${rounds.join('')}}
`;
}
