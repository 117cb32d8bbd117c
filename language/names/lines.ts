/** Offsets to lines and columns. */
import type { AstNode, CstNode } from 'langium';
import type { Span } from '../findings/finding.js';
import { lineOf, lineStarts } from '../grammar/lines.js';

export interface Range {
    readonly offset: number;
    readonly end: number;
}

export class Lines {
    private readonly starts: readonly number[];
    /** Editors show a text without its byte order mark. */
    private readonly mark: number;

    constructor(
        private readonly file: string,
        private readonly text: string,
    ) {
        this.starts = lineStarts(text);
        this.mark = text.charCodeAt(0) === 0xfeff ? 1 : 0;
    }

    span({ offset, end }: Range): Span {
        const from = clamp(offset, this.mark, this.text.length);
        const to = clamp(end, from, this.text.length);
        const line = lineOf(this.starts, from);
        const endLine = lineOf(this.starts, to);
        return {
            file: this.file,
            offset: from,
            end: to,
            line: line + 1,
            column: this.column(line, from),
            endLine: endLine + 1,
            endColumn: this.column(endLine, to),
        };
    }

    private column(line: number, offset: number): number {
        return offset - (this.starts[line] ?? 0) + 1 - (line === 0 ? this.mark : 0);
    }
}

const clamp = (value: number, low: number, high: number) => Math.max(low, Math.min(high, value));

/** Where a node stands; what the parser put in for something missing stands where its container does. */
export function rangeOf(node: AstNode): Range {
    let at: AstNode | undefined = node;
    while (at) {
        const cst: CstNode | undefined = at.$cstNode;
        if (cst && cst.end > cst.offset) return cst;
        at = at.$container;
    }
    return { offset: 0, end: 0 };
}
