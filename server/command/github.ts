import type { Finding, Severity } from '../../language/findings/finding.js';
import { type Problem, problemLine } from '../workspace/problem.js';
import { linesOf } from './excerpt.js';
import { lineOfCard, type Shown, saying, unaccounted } from './shown.js';
import { plain } from './terminal.js';

const commands: Record<Severity, string> = { error: 'error', warning: 'warning', information: 'notice' };

/**
 * Findings as GitHub's workflow commands, one a line: each is shown at its line of a pull request. Cards about which not everything is known come after
 * them, as errors; the last line is for the log.
 * @param last what to say at the end
 */
export function github(
    judgement: Shown,
    textOf: (file: string) => string | undefined,
    problems: readonly Problem[],
    last: string,
): string {
    const lines = judgement.findings.map(annotation);
    for (const problem of problems) lines.push(command('error', { title: 'not read' }, problemLine(problem)));
    for (const { card, says } of unaccounted(judgement)) {
        const line = String(lineOfCard(card, textOf(card.file)));
        lines.push(command('error', { file: card.file, line, title: 'not known' }, says));
    }
    return [...lines, ...linesOf(last)].map(line => `${line}\n`).join('');
}

function annotation(finding: Finding): string {
    const { span, severity, code, accepted, fixes } = finding;
    const here = { file: span.file, line: String(span.line), endLine: String(span.endLine) };
    // Columns are refused for what goes over several lines.
    const columns: Record<string, string> =
        span.line === span.endLine ? { col: String(span.column), endColumn: String(span.endColumn) } : {};
    const says = [saying(finding)];
    if (accepted) says.push(`Accepted in line ${accepted.span.line}: ${accepted.because}`);
    else if (fixes[0]) says.push(`Fix: ${fixes[0].title}`);
    const title = accepted ? `${code} (accepted)` : code;
    return command(accepted ? 'notice' : commands[severity], { ...here, ...columns, title }, says.join('\n'));
}

function command(name: string, properties: Readonly<Record<string, string>>, message: string): string {
    const named = Object.entries(properties).map(([key, value]) => `${key}=${property(value)}`);
    return `::${name} ${named.join(',')}::${data(message)}`;
}

/** Source: GitHub's documentation of workflow commands and the escapes of its own toolkit (from memory). */
function data(text: string): string {
    return text
        .split('\n')
        .map(plain)
        .join('\n')
        .replaceAll('%', '%25')
        .replaceAll('\r', '%0D')
        .replaceAll('\n', '%0A');
}

function property(text: string): string {
    return data(text).replaceAll(':', '%3A').replaceAll(',', '%2C');
}
