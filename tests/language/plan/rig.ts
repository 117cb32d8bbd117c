/** A small aircraft with one thing of every sort that a card can act on, and a card around the statements under test. */
export const rig = `
modification M1 "Modification 1: lamp added"
modification M2 "Modification 2" after M1
equipment Rig "Test rig" {
  place   Deck "Flight deck"
  place   Hall "Hall"
  panel   12AL "lower access panel" at Hall
  place   Bay  "Pump bay" in Hall behind 12AL
  control SW   "MASTER" at Deck positions OFF, ON, START
  source  BUS  "main bus" live when SW is ON
  breaker CB-1 "PUMP A" at Deck grid "A2" from BUS
  breaker CB-2 "PUMP B" at Deck grid "A10" from BUS
  button  GO   "PUMP TEST" at Deck
  unit    BOX  "control box" at Bay torque 2 to 3 N·m
  connector P1 "connector P1" in BOX
  connector P2 "connector P2" in BOX
  seal    RING "packing ring" in BOX
  fastener B1  "bolt" in BOX thread "1/4-28"
  port    DRAIN "drain port" at Bay
  pin     PIN  "lock pin" at Bay
  lead    GPU  "ground power lead" at Hall
  area    SPOT "drip area" at Bay
  stimulus HEAT "test heat" at Bay
  light   LT   "PUMP ON" at Deck from BUS { shows ON when CB-1  shows OFF otherwise }
  gauge   PG   "pressure gauge" at Hall { shows 900 to 1,100 psi when CB-1  shows 0 psi otherwise }
  where M1 { light LAMP "ready lamp" at Deck from BUS { shows ON when CB-2  shows OFF otherwise } }
  otherwise { mark FLAG "ready flag" at Deck { shows UP when CB-2  shows DOWN otherwise } }
}
`;

/** A card whose one step \`s\` holds the statements. \`more\`: declarations besides; \`parts\`: card parts besides. */
export function card(statements: string, more = '', parts = ''): string {
    return `${rig}${more}
card C-1 "Card" {
  uses Rig
  role tech "Technician" at Hall
  role deck "Flight-deck operator" at Deck
  role insp "Inspector" at Hall independent of tech
  tool TW "Torque wrench, small" range 1 to 5 N·m
  spare SP "Packing ring" part "R-1" for RING quantity 1
  material OIL "Oil, system grade"
  ${parts}
  step s "Step" {
${statements}
  }
}
`;
}
