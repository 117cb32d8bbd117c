/** Small cards on one small equipment: each test says what it adds to them, and what must be found. */

import { check, type Finding } from '../../../language/check.js';
import { ofWholeTexts } from '../../small.js';

/** Two places, a bay behind a lid, a switch that drives a valve, two breakers, a joint. */
export const base = `
  place   Deck "Flight deck"
  place   Well "Wheel well"
  panel   LID  "lid" at Well
  place   Bay  "Valve bay" in Well behind LID
  place   Aft  "Aft bay"
  control SW   "SWITCH" at Deck positions OFF, ON
  button  PB   "BUTTON" at Deck
  breaker CB-1 "ONE" at Deck
  breaker CB-2 "TWO" at Deck
  unit    ARM  "arm" at Well
  area    SPOT "spot" at Well
  valve   VLV  "valve" at Well positions SHUT, OPEN { goes OPEN in 4 s when SW is ON  goes SHUT in 4 s otherwise }
  mark    MARK "mark" at Well { shows O when VLV is OPEN  shows S otherwise }
  gauge   DIAL "dial" at Well { shows 10 to 12 psi when VLV is OPEN  shows 0 psi otherwise }
`;

export interface Small {
    readonly equipment?: string;
    readonly parts?: string;
    readonly roles?: string;
    readonly more?: string;
}

export const roles = `role tech "Technician" at Well
  role help "Helper" at Well
  role deck "Operator" at Deck
  role insp "Inspector" at Well independent of tech, help, deck`;

/** A card with these lines in its one step; \`steps\` in place of it where they begin with a step of their own. */
export function card(lines: string, small: Small = {}): string {
    const steps = /^\s*(step|test)\s/.test(lines) ? lines : `step work "Work" {\n${lines}\n}`;
    return `equipment Small "Small" {${base}${small.equipment ?? ''}}
card C-1-1 "Small" {
  uses Small
  revision "1"
  ${small.roles ?? roles}
  tool TW "Wrench"
  ${small.parts ?? ''}
${steps}
}
${small.more ?? ''}`;
}

/** "code: the line", for each finding of meaning; a thing left behind is told by its code and name alone. */
export function answers(lines: string, small: Small = {}): string[] {
    const text = card(lines, small);
    const { findings, cards } = check([{ path: 'c.cotter', text }], {}, { fixes: 'none' });
    const wrong = findings.filter(each => textual.has(each.code));
    if (wrong.length > 0)
        throw new Error(`${wrong.map(each => `${each.span.line} ${each.message}`).join('\n')}\n${text}`);
    const why = cards.find(each => each.status === 'unknown' && !each.why.includes('not judged'))?.why;
    if (why) throw new Error(`${why}\n${text}`);
    return findings.filter(each => !beside.has(each.code)).map(each => said(each, text));
}

const textual = new Set([
    'syntax',
    'unknown-name',
    'duplicate-name',
    'wrong-verb',
    'unknown-state',
    'unit-mismatch',
    'wrong-arguments',
]);
/** What these little cards give besides, and no test here is about. */
const beside = new Set([
    ...ofWholeTexts,
    'not-judged',
    'expectation-contradicted',
    'test-not-isolated',
    'cannot-be-seen',
]);

function said(finding: Finding, text: string): string {
    const line = text.split('\n')[finding.span.line - 1]?.trim() ?? '';
    return `${finding.code}: ${line}`;
}

/** Only the findings of these codes. */
export function only(codes: readonly string[], lines: string, small: Small = {}): string[] {
    return answers(lines, small).filter(each => codes.includes(each.split(':')[0] ?? ''));
}

export function messages(lines: string, small: Small = {}): string[] {
    const { findings } = check([{ path: 'c.cotter', text: card(lines, small) }], {}, { fixes: 'none' });
    return findings.filter(each => !beside.has(each.code)).map(each => `${each.code}: ${each.message}`);
}
