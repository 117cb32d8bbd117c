import type { Finding, Span } from '../../language/findings/finding.js';
import { lineOf, lineStarts } from '../../language/grammar/lines.js';
import type { ParsedFile } from '../../language/names/project.js';

export interface Shown {
    readonly finding: Finding;
    /** Found before the text was broken, and not looked for since. */
    readonly isOld: boolean;
}

interface Held {
    text: string;
    findings: readonly Finding[];
}

/** Findings of meaning speak of a card; while the text is broken they cannot be looked for. */
const isOfMeaning = (finding: Finding): boolean => finding.card !== undefined && !ofNames.has(finding.code);
const ofNames: ReadonlySet<string> = new Set(['syntax', 'unknown-name', 'duplicate-name', 'accept-unused']);

/**
 * Keeps the list calm: while a file cannot be read whole, what was found in it before stays listed where it stood, moved along with the text, instead of vanishing or
 * drowning in what follows from the half-written line.
 */
export class HeldFindings {
    private readonly byUri = new Map<string, Held>();

    /** The text changed: what is held moves along. */
    edited(uri: string, text: string): void {
        const held = this.byUri.get(uri);
        if (!held) return;
        held.findings = moved(held.findings, held.text, text);
        held.text = text;
    }

    shown(uri: string, file: ParsedFile, findings: readonly Finding[]): readonly Shown[] {
        if (!file.broken) {
            this.byUri.set(uri, { text: file.text, findings: findings.filter(isOfMeaning) });
            return findings.map(finding => ({ finding, isOld: false }));
        }
        const now = findings.filter(each => !isOfMeaning(each)).map(finding => ({ finding, isOld: false }));
        const before = this.byUri.get(uri)?.findings ?? [];
        return [...now, ...before.map(finding => ({ finding, isOld: true }))];
    }

    forget(uri: string): void {
        this.byUri.delete(uri);
    }
}

/** Findings at the same words after the text between the two ends that both texts share has changed; those inside that are gone. */
function moved(findings: readonly Finding[], before: string, after: string): readonly Finding[] {
    const most = Math.min(before.length, after.length);
    let same = 0;
    while (same < most && before.charCodeAt(same) === after.charCodeAt(same)) same++;
    let tail = 0;
    while (
        tail < most - same &&
        before.charCodeAt(before.length - 1 - tail) === after.charCodeAt(after.length - 1 - tail)
    )
        tail++;
    const changedTo = before.length - tail;
    const by = after.length - before.length;
    const starts = lineStarts(after);
    return findings.flatMap(finding => {
        const { span } = finding;
        if (span.end <= same) return [finding];
        if (span.offset >= changedTo) return [{ ...finding, span: at(span, span.offset + by, span.end + by, starts) }];
        // The edit lies in the words themselves.
        if (span.offset <= same && span.end >= changedTo && span.end + by > span.offset)
            return [{ ...finding, span: at(span, span.offset, span.end + by, starts) }];
        return [];
    });
}

function at(span: Span, offset: number, end: number, starts: readonly number[]): Span {
    const line = lineOf(starts, offset);
    const endLine = lineOf(starts, end);
    return {
        file: span.file,
        offset,
        end,
        line: line + 1,
        column: offset - (starts[line] ?? 0) + 1,
        endLine: endLine + 1,
        endColumn: end - (starts[endLine] ?? 0) + 1,
    };
}
