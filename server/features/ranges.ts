import type { Location, Range } from 'vscode-languageserver-types';
import type { Span } from '../../language/findings/finding.js';
import type { OpenedProject } from '../workspace/editor-workspace.js';

/** 1-based to 0-based; both count columns in UTF-16 units and end where the next thing begins. */
export function rangeOf({ line, column, endLine, endColumn }: Span): Range {
    return {
        start: { line: line - 1, character: column - 1 },
        end: { line: endLine - 1, character: endColumn - 1 },
    };
}

export function locationOf(project: OpenedProject, span: Span): Location {
    return { uri: project.uriOf(span.file), range: rangeOf(span) };
}
