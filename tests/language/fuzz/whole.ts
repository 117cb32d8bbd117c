/** What holds of every project, however its texts look. */
import { type AstNode, AstUtils } from 'langium';
import { textChecks } from '../../../language/checks/text/index.js';
import type { Finding, Span } from '../../../language/findings/finding.js';
import { reflection } from '../../../language/grammar/generated/ast.js';
import { type ParsedProject, parseProject } from '../../../language/names/project.js';

/** Everything that is wrong with how one text was taken; empty for all texts. */
export function wrongWith(text: string): string[] {
    const began = performance.now();
    const project = parseProject([{ path: 'any.cotter', text }]);
    const findings = [...project.findings, ...textChecks.flatMap(check => [...(check.ofText?.(project) ?? [])])];
    const took = performance.now() - began;
    return [
        ...(took > 10_000 ? [`took ${took} ms`] : []),
        ...findings.flatMap(finding =>
            spansOf(finding)
                .filter(span => !isInside(span, text))
                .map(span => `${finding.code}: ${JSON.stringify(span)} is outside`),
        ),
        ...missing(project),
    ];
}

function spansOf(finding: Finding): Span[] {
    const related = finding.related.map(each => each.span);
    const edits = finding.fixes.flatMap(fix => fix.edits.map(edit => edit.span));
    return [finding.span, ...related, ...edits];
}

/** Offsets within the text, and lines and columns that say the same as the offsets. */
function isInside(span: Span, text: string): boolean {
    const { offset, end, line, column, endLine, endColumn } = span;
    if (!(offset >= 0 && offset <= end && end <= text.length)) return false;
    return isAt(text, offset, line, column) && isAt(text, end, endLine, endColumn);
}

function isAt(text: string, offset: number, line: number, column: number): boolean {
    const before = text.slice(0, offset).replace(/^\uFEFF/, '');
    // A lone CR ends a line, the CR of a CR LF does not.
    const lines = before.split(/\r\n|\n|\r(?!\n)/);
    const isSplit = before.endsWith('\r') && text.charAt(offset) === '\n';
    if (isSplit) return true;
    return lines.length === line && (lines.at(-1)?.length ?? 0) + 1 === column;
}

/** Properties that the types of the tree promise and that are not there. */
function missing(project: ParsedProject): string[] {
    const found: string[] = [];
    for (const { root } of project.files) {
        for (const node of AstUtils.streamAst(root)) {
            const { properties } = reflection.getTypeMetaData(node.$type);
            for (const property of Object.values(properties)) {
                const value = (node as AstNode & Record<string, unknown>)[property.name];
                if (value === undefined && !property.optional) found.push(`${node.$type} has no ${property.name}`);
            }
            if (node.$type === 'Text') {
                const { parts, refs } = node as AstNode & { parts: unknown[]; refs: unknown[] };
                if (parts.length !== refs.length + 1) found.push('a text has not one part more than references');
            }
        }
    }
    return found;
}
