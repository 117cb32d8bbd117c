import type { Edit, Span } from './finding.js';

/** The line ending that the text uses. */
export function lineEnding(text: string): string {
    return text.includes('\r\n') ? '\r\n' : '\n';
}

export function replace(span: Span, newText: string): Edit {
    return { span, newText };
}

/** The text with the edits done; edits that overlap an earlier one are left out. */
export function applyEdits(text: string, edits: readonly Edit[]): string {
    const ordered = [...edits].sort((a, b) => a.span.offset - b.span.offset);
    let done = '';
    let from = 0;
    for (const { span, newText } of ordered) {
        if (span.offset < from) continue;
        done += text.slice(from, span.offset) + newText;
        from = span.end;
    }
    return done + text.slice(from);
}
