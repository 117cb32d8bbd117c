/** What stands in what: lines that may have blocks, blocks that hold lines. */
import type { Token } from './tokens.js';
import { is } from './tokens.js';

/** A declaration, a part of one, a statement or a member. */
export interface Entry {
    /** Index of its first word. */
    readonly first: number;
    /** Index of its last word. */
    last: number;
    readonly blocks: Block[];
}

export interface Block {
    /** Index of its brace; -1 for the whole text. */
    readonly open: number;
    close: number;
    readonly entries: Entry[];
    /** It may stay on the line of its opening brace: it stands there now, and holds no two actions. */
    mayStay: boolean;
    /** It is written on the line of its opening brace. */
    stays: boolean;
}

/** Blocks that open a section of a text and so always stand on lines of their own. */
const sections = new Set(['Equipment', 'Subtask', 'Card', 'Step', 'Exercise']);

export function treeOf(text: string, tokens: readonly Token[]): Block {
    const root: Block = { open: -1, close: tokens.length, entries: [], mayStay: false, stays: false };
    const open: Block[] = [root];
    let last = -1;
    tokens.forEach((token, index) => {
        if (token.comment) return;
        const block = open.at(-1) ?? root;
        if (token.begins) {
            finish(block, last);
            block.entries.push({ first: index, last: index, blocks: [] });
        }
        if (is(token, '{')) {
            const inner: Block = { open: index, close: index, entries: [], mayStay: false, stays: false };
            block.entries.at(-1)?.blocks.push(inner);
            open.push(inner);
        } else if (is(token, '}') && open.length > 1) {
            finish(block, last);
            open.pop();
            block.close = index;
            block.mayStay = mayStay(text, tokens, block);
        }
        last = index;
    });
    finish(root, last);
    return root;
}

function finish(block: Block, last: number): void {
    const entry = block.entries.at(-1);
    if (entry) entry.last = last;
}

function mayStay(text: string, tokens: readonly Token[], { open, close, entries }: Block): boolean {
    if (close === open + 1) return true;
    const [from, to] = [tokens[open], tokens[close]];
    if (!from || !to || /[\r\n]/.test(text.slice(from.end, to.start))) return false;
    if (entries.length === 0) return true;
    const kind = from.owner?.$type ?? '';
    if (sections.has(kind) || (kind !== 'Item' && entries.length > 1)) return false;
    return entries.every(entry => entry.blocks.every(block => block.mayStay));
}
