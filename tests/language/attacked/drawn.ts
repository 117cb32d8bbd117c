/** What a card draws that was written to fool the checks: every code once, in order of the alphabet, then the status of the card named X. */
import { check } from '../../../language/check.js';
import { checks } from '../../../language/checks/index.js';

/** Only these are looked at: a card of three lines lacks much that other checks ask for. */
const LOOKED_AT = new Set(
    `syntax unknown-name wrong-verb unknown-state unit-mismatch wrong-arguments accept-unused feeds-itself moves-two-ways
    breaker-left-pulled left-open left-disconnected left-removed left-installed left-wet left-moved left-connected left-applied control-not-returned
    untagged-at-stop finish-not-reached wait-too-short kept-too-long rest-too-short not-isolated worked-on-live rule-broken test-not-isolated
    opened-under-pressure expectation-contradicted cannot-be-seen not-judged role-not-there not-told inspector-not-independent hold-too-late
    needs-first`.split(/\s+/),
);
const without = new Set(checks.map(each => each.code).filter(code => !LOOKED_AT.has(code)));

/** `card` stands in a card X that uses equipment E, with a role `deck` at the one place `FD`. */
export function drawn(equipment: string, card: string, before = ''): string {
    return drawnBy(`equipment E "e" { place FD "Flight deck" ${equipment} }
${before}
card X "x" { uses E revision "1" role deck "Operator" at FD
${card} }`);
}

export function drawnBy(text: string): string {
    const report = check([{ path: 'a.cotter', text }], {}, { fixes: 'none', without });
    const codes = [...new Set(report.findings.map(each => each.code))].sort();
    return [...codes, report.cards.find(each => each.name === 'X')?.status].join(' ');
}

/** The messages of one code. */
export function saidOf(code: string, equipment: string, card: string): string[] {
    const text = `equipment E "e" { place FD "Flight deck" ${equipment} }
card X "x" { uses E revision "1" role deck "Operator" at FD
${card} }`;
    return check([{ path: 'a.cotter', text }], {}, { fixes: 'none', without })
        .findings.filter(each => each.code === code)
        .map(each => each.message);
}
