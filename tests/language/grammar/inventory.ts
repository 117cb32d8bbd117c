/** What a tree holds of each line of its text: what is declared there and what is done there. */
import { type AstNode, AstUtils } from 'langium';
import type { File } from '../../../language/grammar/generated/ast.js';

const counted = new Set(
    `Modification Equipment Subtask Card Exercise Place Item Rule Pair Role Tool Spare Material Step Parameter
     Act Hold Wait Do If ForEach Stop LeaveFor Repeat Alert Goes Shows StartPart FinishPart UsesPart AppliesPart
     RevisionPart FailurePart TraineePart FoundPart DebriefPart`.split(/\s+/),
);

/** By line, counted from 0: each thing that begins there. */
export function inventory(root: File, text: string): Map<number, string[]> {
    const starts = [0];
    for (let at = text.indexOf('\n'); at >= 0; at = text.indexOf('\n', at + 1)) starts.push(at + 1);
    const found = new Map<number, string[]>();
    let line = 0;
    for (const node of AstUtils.streamAst(root)) {
        if (!counted.has(node.$type) || !node.$cstNode) continue;
        while (line > 0 && (starts[line] ?? 0) > node.$cstNode.offset) line--;
        while ((starts[line + 1] ?? Number.POSITIVE_INFINITY) <= node.$cstNode.offset) line++;
        const list = found.get(line) ?? [];
        found.set(line, list);
        list.push(described(node));
    }
    return found;
}

function described(node: AstNode): string {
    const { name, kind, verb, action, label } = node as AstNode & Record<string, unknown>;
    const doing = action as AstNode & { verb?: string };
    return [node.$type, kind, name, verb, label, doing?.$type, doing?.verb]
        .filter(each => each !== undefined)
        .join(' ');
}

/** What the first text has on lines that were not touched, and the second has lost. */
export function lostFrom(
    before: { root: File; text: string },
    after: { root: File; text: string },
    touched: readonly number[],
): string[] {
    const left = new Map<string, number>();
    for (const [line, things] of inventory(after.root, after.text)) {
        const words = (after.text.split('\n')[line] ?? '').trim();
        for (const thing of things) left.set(`${words} | ${thing}`, (left.get(`${words} | ${thing}`) ?? 0) + 1);
    }
    const lost: string[] = [];
    for (const [line, things] of inventory(before.root, before.text)) {
        if (touched.includes(line)) continue;
        const words = (before.text.split('\n')[line] ?? '').trim();
        for (const thing of things) {
            const key = `${words} | ${thing}`;
            const count = left.get(key) ?? 0;
            if (count === 0) lost.push(key);
            else left.set(key, count - 1);
        }
    }
    return lost;
}
