/** Live work on what is fed by a bus that hangs on breakers itself. */
import { expect, test } from 'vitest';
import { drawn } from './drawn.js';

const fed = (live: string): string => `breaker C1 "FEEDER 1" at FD
breaker C2 "FEEDER 2" at FD
control BATT "BATTERY" at FD positions OFF, ON normal ON
source MAIN "main bus" live when ${live}
source SUB "sub bus" live when MAIN
unit U "pump" at FD
motor M "pump motor" in U from SUB`;
const work = (pulled: string): string =>
    `step s "s" { ${pulled && `deck: pull ${pulled} and tag`} deck: remove U deck: install U ${pulled && `deck: close ${pulled}`} }`;

test('a bus that is live through one of two breakers is live until both are pulled', () => {
    expect(drawn(fed('C1 or C2'), work(''))).toBe('worked-on-live findings');
    expect(drawn(fed('C1 or C2'), work('C1'))).toBe('worked-on-live findings');
    expect(drawn(fed('C1 or C2'), work('C1, C2'))).toBe('clean');
});

test('a bus without a breaker is exempt', () => {
    expect(drawn(fed('BATT is ON'), work(''))).toBe('clean');
});
