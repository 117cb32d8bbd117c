import type { Finding, Span } from '../../language/findings/finding.js';
import type { Judgement } from '../../server/workspace/judge.js';
import type { Project, ProjectFile } from '../../server/workspace/project.js';

/** Findings and projects made by hand, for the parts of the command that only read them. */

export function file(path: string, text: string, asked = true): ProjectFile {
    return { path, absolute: `/${path}`, text, mark: '', asked };
}

export function project(...files: ProjectFile[]): Project {
    return { root: '/', settings: {}, files };
}

/** The stretch from one offset to another. */
export function span(path: string, text: string, offset: number, end = offset): Span {
    const at = (place: number) => {
        const lines = text.slice(0, place).split('\n');
        return { line: lines.length, column: lines[lines.length - 1].length + 1 };
    };
    const from = at(offset);
    const to = at(end);
    return { file: path, offset, end, ...from, endLine: to.line, endColumn: to.column };
}

export function finding(at: Span, more: Partial<Finding> = {}): Finding {
    return {
        code: 'left-open',
        severity: 'error',
        message: 'BLEED (bleed port) is still open when the card ends.',
        span: at,
        related: [],
        fixes: [],
        about: [],
        ...more,
    };
}

export function judgement(findings: readonly Finding[], cards: Judgement['cards'] = []): Judgement {
    return { findings, cards, judged: [], equipments: () => [] };
}

export function cardOf(
    path: string,
    status: Judgement['cards'][number]['status'],
    why = '',
): Judgement['cards'][number] {
    return { name: path.replace(/^.*\/|\.cotter$/g, ''), label: 'A card', file: path, status, why };
}
