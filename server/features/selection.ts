import { type CstNode, CstUtils } from 'langium';
import type { SelectionRange } from 'vscode-languageserver';
import type { At, Feature } from './feature.js';
import { rangeOf } from './ranges.js';

/** From a word to its clause, its line, its block, its declaration. */
export const selection: Feature = {
    name: 'selection',
    capabilities: () => ({ selectionRangeProvider: true }),
    register({ connection, at: atOf }) {
        connection.onSelectionRanges(async ({ textDocument, positions }) => {
            const at = await atOf(textDocument.uri);
            return at ? positions.map(each => around(at, at.document.offsetAt(each))) : null;
        });
    },
};

function around(at: At, offset: number): SelectionRange {
    const ranges: { offset: number; end: number }[] = [{ offset: 0, end: at.file.text.length }];
    const root = at.file.root.$cstNode;
    const inner: { offset: number; end: number }[] = [];
    let node: CstNode | undefined =
        root && (CstUtils.findLeafNodeAtOffset(root, offset) ?? CstUtils.findLeafNodeBeforeOffset(root, offset));
    for (; node; node = node.container)
        if (node.offset <= offset && offset <= node.end) inner.push({ offset: node.offset, end: node.end });
    for (const each of inner.reverse()) {
        const last = ranges.at(-1);
        if (last && (each.offset !== last.offset || each.end !== last.end)) ranges.push(each);
    }
    let found: SelectionRange | undefined;
    for (const range of ranges) found = { range: rangeOf(at.file.spanOf(range)), ...(found ? { parent: found } : {}) };
    return found ?? { range: rangeOf(at.file.spanOf({ offset, end: offset })) };
}
