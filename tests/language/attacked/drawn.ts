/** What a card draws that was written to fool the checks: every code once, in order of the alphabet, then the status of the card named X. */
import { check } from '../../../language/check.js';

/** `card` stands in a card X that uses equipment E, with a role `deck` at the one place `FD`. */
export function drawn(equipment: string, card: string, before = ''): string {
    return drawnBy(`equipment E "e" { place FD "Flight deck" ${equipment} }
${before}
card X "x" { uses E revision "1" role deck "Operator" at FD
${card} }`);
}

export function drawnBy(text: string): string {
    const report = check([{ path: 'a.cotter', text }], {}, { fixes: 'none' });
    const codes = [...new Set(report.findings.map(each => each.code))].sort();
    return [...codes, report.cards.find(each => each.name === 'X')?.status].join(' ');
}

/** The messages of one code. */
export function saidOf(code: string, equipment: string, card: string): string[] {
    const text = `equipment E "e" { place FD "Flight deck" ${equipment} }
card X "x" { uses E revision "1" role deck "Operator" at FD
${card} }`;
    return check([{ path: 'a.cotter', text }], {}, { fixes: 'none' })
        .findings.filter(each => each.code === code)
        .map(each => each.message);
}
