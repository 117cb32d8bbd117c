/** Texts to begin with. What is to be replaced stands as a placeholder of a snippet; as they stand they check clean. */

export const newEquipment = `equipment \${1:Lamp} "\${2:Landing light}" {
  place   \${3:FlightDeck} "\${4:Flight deck}"
  place   \${5:Wing} "\${6:Left wing}"

  breaker \${7:CB-101} "\${8:LDG LT L}" at $3 grid "\${9:A1}" rated \${10:5 A}
  control \${11:LDG} "\${12:LDG LIGHT}" at $3 positions OFF, ON normal OFF
  unit    \${13:LT} "\${14:left landing light}" at $5 {
  }
  light   \${15:BEAM} "\${16:light beam}" at $5 from $7 { shows ON when $11 is ON  shows OFF otherwise }
}
`;

export const newCard = (equipment: string): string => `card \${1:T84-00-00-01} "\${2:What is done, and why}" {
  uses ${equipment}
  applies to "\${3:T84, all serial numbers}"
  revision "\${4:1}" dated "\${5:2026-01-01}"

  role \${6:tech} "\${7:Technician}"

  step \${8:work} "\${9:Do the work}" takes \${10:10 min} {
    $6: "\${11:Say here what is done.}"
    $0
  }
}
`;

/** The text that a snippet leaves when nothing is filled in. */
export function plainText(snippet: string): string {
    const values = new Map<string, string>();
    const whole = snippet.replace(/\$\{(\d+):([^}]*)\}/g, (_, number: string, text: string) => {
        values.set(number, text);
        return text;
    });
    return whole.replace(/\$(\d+)/g, (_, number: string) => values.get(number) ?? '').replace(/^ *\n(?= *\})/gm, '');
}
