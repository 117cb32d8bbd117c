import type { Finding, Span } from '../../language/findings/finding.js';
import type { Judgement } from '../workspace/judge.js';

/** Findings for a program. The shape is a promise: it changes only with `version`. */
export function json({ findings, cards }: Judgement): string {
    const report = {
        version: 1,
        findings: findings.map(finding => ({
            code: finding.code,
            severity: finding.severity,
            ...stretch(finding.span),
            message: finding.message,
            related: finding.related.map(({ span, message }) => ({ file: span.file, line: span.line, message })),
            fixes: finding.fixes.map(({ title, edits }) => ({
                title,
                edits: edits.map(edit => ({ ...stretch(edit.span), newText: edit.newText })),
            })),
            accepted: accepted(finding),
            only: finding.only?.replace(/^only /, '') ?? null,
        })),
        cards: cards.map(({ name, file, status, why }) => ({ name, file, status, why })),
    };
    return `${JSON.stringify(report, null, 2)}\n`;
}

function stretch({ file, line, column, endLine, endColumn }: Span) {
    return { file, line, column, endLine, endColumn };
}

function accepted({ accepted: by }: Finding) {
    return by ? { because: by.because, line: by.span.line } : null;
}
