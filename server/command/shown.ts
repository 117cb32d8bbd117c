import { checks } from '../../language/checks/index.js';
import type { CardStatus, Finding, Severity } from '../../language/findings/finding.js';
import { nearest } from '../../language/grammar/nearest.js';
import type { Judgement } from '../workspace/judge.js';
import { Misuse } from './exit.js';

/** Worst first. */
export const severities: readonly Severity[] = ['error', 'warning', 'information'];

/** What of the findings is shown. What is not shown still counts for the status of a card and for the exit code. */
export interface Wanted {
    /** This severity and what is worse. */
    readonly severity: Severity;
    /** These codes alone; all where there is none. */
    readonly only: readonly string[];
}

/** A judgement as it is shown. */
export interface Shown extends Judgement {
    /** Findings left out by `--severity` and `--only`, by severity; accepted ones are not among them. */
    readonly hidden: readonly Finding[];
}

export function isWanted({ severity, only }: Wanted, finding: Finding): boolean {
    const isSevere = severities.indexOf(finding.severity) <= severities.indexOf(severity);
    return isSevere && (only.length === 0 || only.includes(finding.code));
}

export function show(judgement: Judgement, wanted: Wanted): Shown {
    const isShown = (finding: Finding): boolean => isWanted(wanted, finding);
    return {
        ...judgement,
        findings: judgement.findings.filter(isShown),
        hidden: judgement.findings.filter(finding => !isShown(finding) && !finding.accepted),
    };
}

/** The code as given, if a check has it; otherwise the command ends. */
export function knownCode(code: string): string {
    if (checks.some(check => check.code === code)) return code;
    const meant = nearest(
        code,
        checks.map(check => check.code),
    );
    const hint = meant ? `did you mean ${meant}?` : '`cotter explain` lists the codes';
    throw new Misuse(`no check has the code "${code}"; ${hint}`);
}

/**
 * Cards that no finding shown here accounts for: about which not everything is known, or whose findings stand in files that were not asked for. A form that
 * lists findings alone would call them well.
 */
export function unaccounted(judgement: Shown): { readonly card: CardStatus; readonly says: string }[] {
    const isOpenFor = (card: CardStatus) => (finding: Finding) =>
        !finding.accepted &&
        finding.severity !== 'information' &&
        (finding.card === undefined || finding.card === card.name);
    return judgement.cards.flatMap(card => {
        if (card.status === 'unknown') return [{ card, says: `${card.name} is not known: ${card.why}.` }];
        if (card.status !== 'findings' || judgement.findings.some(isOpenFor(card))) return [];
        const where = judgement.hidden.some(isOpenFor(card))
            ? 'they are not shown'
            : 'they stand in files that were not asked for; check the whole folder';
        return [{ card, says: `${card.name} has findings (${card.why}): ${where}.` }];
    });
}

/** The line in which a card begins, 1-based; the first where it is not found. */
export function lineOfCard({ name }: CardStatus, text: string | undefined): number {
    const lines = (text ?? '').split(/\r\n|\r|\n/);
    const at = lines.findIndex(line => {
        const [word, next] = line.trim().split(/[\s{]+/);
        return word === 'card' && next === name;
    });
    return at < 0 ? 1 : at + 1;
}

/** The message with the aircraft that it holds for. */
export function saying({ message, only }: Finding): string {
    return only ? `${message} (${only.charAt(0).toUpperCase()}${only.slice(1)}.)` : message;
}
