import type { Finding, Severity, Span, Status } from '../../language/findings/finding.js';
import type { Judgement } from '../workspace/judge.js';
import { excerpt, linesOf } from './excerpt.js';
import { type Shown, saying } from './shown.js';
import { count, plain, type Style } from './terminal.js';

const colours: Record<Severity, Parameters<Style>[0]> = {
    error: ['bold', 'red'],
    warning: ['bold', 'yellow'],
    information: ['bold', 'cyan'],
};

export const statusWords: Record<Status, string> = {
    unknown: 'not known',
    findings: 'findings',
    accepted: 'accepted',
    clean: 'clean',
};

/** Findings for a person: place, code, message, the line with a mark under it, related places, what to do. */
export function text(
    judgement: Judgement & Partial<Shown>,
    textOf: (file: string) => string | undefined,
    style: Style,
    unread = 0,
): string {
    const known = new Map<string, readonly string[]>();
    const linesIn = (file: string): readonly string[] => {
        const lines = known.get(file) ?? linesOf(textOf(file) ?? '');
        known.set(file, lines);
        return lines;
    };
    const blocks = judgement.findings.map(finding => block(finding, linesIn, style));
    return [...blocks, summary(judgement, style, unread)].map(part => `${part}\n`).join('\n');
}

function block(finding: Finding, linesIn: (file: string) => readonly string[], style: Style): string {
    const { span, severity, code, accepted } = finding;
    const level = accepted ? style('dim', 'accepted') : style(colours[severity], severity);
    const out = [`${style('bold', place(span))}  ${level}  ${code}`];
    out.push(`  ${plain(saying(finding))}`);
    if (accepted) {
        out.push(`  Accepted in line ${accepted.span.line}: ${plain(accepted.because)}`);
        return out.join('\n');
    }
    out.push(...quoted(span, linesIn, style(colours[severity], '^'), style));
    for (const { span: at, message } of finding.related) out.push(`  ${style('dim', place(at))}  ${plain(message)}`);
    const [fix] = finding.fixes;
    if (fix) out.push(`  ${style('bold', 'fix:')} ${plain(fix.title)}`);
    return out.join('\n');
}

function quoted(span: Span, linesIn: (file: string) => readonly string[], caret: string, style: Style): string[] {
    const shown = excerpt(linesIn(span.file), span);
    if (!shown) return [];
    const number = String(span.line);
    const bar = style('dim', '|');
    return [
        `  ${style('dim', number)} ${bar} ${shown.line}`,
        `  ${' '.repeat(number.length)} ${bar} ${shown.mark.replaceAll('^', caret)}`,
    ];
}

/** One line: how many cards of each status, how many findings of each severity, and what is not known. */
export function summary(judgement: Judgement & Partial<Shown>, style: Style, unread = 0): string {
    const { findings, cards, hidden = [] } = judgement;
    const open = findings.filter(finding => !finding.accepted);
    const byStatus = (['clean', 'accepted', 'findings', 'unknown'] as const)
        .map(status => ({ status, of: cards.filter(card => card.status === status).length }))
        .filter(({ of }) => of > 0)
        .map(
            ({ status, of }) =>
                `${of.toLocaleString('en-US')} ${status === 'findings' ? 'with findings' : statusWords[status]}`,
        );
    const counts = counted(open);
    const accepted = findings.length - open.length;
    if (accepted) counts.push(`${accepted} accepted`);
    const parts = [
        cards.length ? `${count(cards.length, 'card')}: ${byStatus.join(', ')}.` : 'No card.',
        `${open.length || accepted ? capital(counts.join(', ')) : hidden.length ? 'No findings of those asked for' : 'No findings'}.`,
    ];
    const mended = open.filter(finding => finding.fixes.length > 0).length;
    if (mended) parts.push(`${mended.toLocaleString('en-US')} can be mended by --fix.`);
    const elsewhere = cards.filter(card => card.status === 'findings');
    if (hidden.length) parts.push(`Not shown: ${counted(hidden).join(', ')}.`);
    if (elsewhere.length > 0 && [...findings, ...hidden].every(finding => finding.severity === 'information'))
        parts.push(
            `What ${elsewhere.map(card => card.name).join(', ')} draws on has findings in files that were not asked for: check the whole folder.`,
        );
    const unknown = cards.filter(card => card.status === 'unknown');
    if (unknown.length) {
        const named = unknown.slice(0, 5).map(card => `${card.name} (${card.why.replace(/\.$/, '')})`);
        if (unknown.length > named.length) named.push(`${unknown.length - named.length} more`);
        parts.push(`Not known: ${named.join('; ')}.`);
    }
    if (unread) parts.push(`${count(unread, 'file')} could not be read.`);
    return style('bold', plain(parts.join(' ')));
}

function counted(findings: readonly Finding[]): string[] {
    const of = (severity: Severity) => findings.filter(finding => finding.severity === severity).length;
    return [count(of('error'), 'error'), count(of('warning'), 'warning'), `${of('information')} information`];
}

function place(span: Span): string {
    return plain(`${span.file}:${span.line}:${span.column}`);
}

function capital(words: string): string {
    return words.charAt(0).toUpperCase() + words.slice(1);
}
