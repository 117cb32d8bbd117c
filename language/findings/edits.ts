import type { Edit, Span } from './finding.js';

/** The line ending that the text uses. */
export function lineEnding(text: string): string {
    return text.includes('\r\n') ? '\r\n' : '\n';
}

/** White space before the first character of the line that the offset is on; undefined when something else stands before the offset. */
function indentBefore(text: string, offset: number): string | undefined {
    const start = text.lastIndexOf('\n', offset - 1) + 1;
    const before = text.slice(start, offset);
    return /^[ \t]*$/.test(before) ? before : undefined;
}

const at = (span: Span, offset: number, end: boolean): Span => ({
    file: span.file,
    offset,
    end: offset,
    line: end ? span.endLine : span.line,
    column: end ? span.endColumn : span.column,
    endLine: end ? span.endLine : span.line,
    endColumn: end ? span.endColumn : span.column,
});

/** A line of its own before the statement, indented like it; within the line where the statement does not begin it. */
export function insertBefore(text: string, statement: Span, line: string): Edit {
    const indent = indentBefore(text, statement.offset);
    return {
        span: at(statement, statement.offset, false),
        newText: indent === undefined ? `${line} ` : `${line}${lineEnding(text)}${indent}`,
    };
}

/** A line of its own after the statement, indented like it. */
export function insertAfter(text: string, statement: Span, line: string): Edit {
    const indent = indentBefore(text, statement.offset);
    return {
        span: at(statement, statement.end, true),
        newText: indent === undefined ? ` ${line}` : `${lineEnding(text)}${indent}${line}`,
    };
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

/** A stretch inside another span on one line, given by offsets into the text. */
export function spanWithin(text: string, file: string, offset: number, end: number): Span {
    const lineStart = text.lastIndexOf('\n', offset - 1) + 1;
    const endStart = text.lastIndexOf('\n', end - 1) + 1;
    let line = 1;
    for (let n = text.indexOf('\n'); n >= 0 && n < offset; n = text.indexOf('\n', n + 1)) line++;
    let endLine = line;
    for (let n = text.indexOf('\n', offset); n >= 0 && n < end; n = text.indexOf('\n', n + 1)) endLine++;
    return { file, offset, end, line, column: offset - lineStart + 1, endLine, endColumn: end - endStart + 1 };
}
