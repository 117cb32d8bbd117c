/** One text without mistakes as a row of words and comments, each knowing what begins with it. */
import { type AstNode, type CstNode, GrammarAST, isCompositeCstNode, type LeafCstNode } from 'langium';
import type { File } from '../grammar/generated/ast.js';

export interface Token {
    readonly start: number;
    readonly end: number;
    readonly text: string;
    /** The keyword or sign itself, the name of the terminal, or nothing for a comment. */
    readonly type: string;
    /** A word or sign of the grammar, and no name that is spelt like one. */
    readonly isKeyword: boolean;
    readonly comment?: 'line' | 'block';
    /** Line breaks that stand before it. */
    readonly breaks: number;
    /** What the word is a part of. */
    readonly owner?: AstNode;
    /** The declaration, part, statement or member that begins here. */
    readonly begins?: AstNode;
    /** A clause of an item begins here. */
    readonly isClause?: boolean;
}

/** Lists whose members stand on lines of their own. */
const listed = new Set(['declarations', 'parts', 'otherwise', 'statements', 'members']);
const aBreak = /\r\n|\n|\r/g;
const aComment = /\/\/[^\n\r]*|\/\*[\s\S]*?\*\//g;

/** The words and comments of a text; nothing where something stands between them that is neither. */
export function tokensOf(text: string, root: File): Token[] | undefined {
    const tree = root.$cstNode;
    if (!tree) return undefined;
    const tokens: Token[] = [];
    let from = text.startsWith('\uFEFF') ? 1 : 0;
    let begins: AstNode | undefined;
    let isClause = false;
    const visit = (place: CstNode): boolean => {
        if (isCompositeCstNode(place)) {
            const node = place.astNode;
            if (node.$cstNode === place && node.$containerIndex !== undefined) {
                if (listed.has(node.$containerProperty ?? '')) begins ??= node;
                else if (node.$containerProperty === 'clauses') isClause = true;
            }
            return place.content.every(visit);
        }
        const leaf = place as LeafCstNode;
        if (leaf.hidden) return true;
        const { offset: start, end } = leaf;
        if (!commentsBetween(text, from, start, tokens)) return false;
        tokens.push({
            start,
            end,
            text: text.slice(start, end),
            type: leaf.tokenType.name,
            isKeyword: GrammarAST.isKeyword(leaf.grammarSource),
            breaks: breaksIn(text.slice(tokens.at(-1)?.end ?? 0, start)),
            owner: leaf.astNode,
            ...(begins && { begins }),
            isClause,
        });
        from = end;
        begins = undefined;
        isClause = false;
        return true;
    };
    return visit(tree) && commentsBetween(text, from, text.length, tokens) ? tokens : undefined;
}

/** Adds the comments of a stretch in which nothing else but blanks may stand. */
function commentsBetween(text: string, from: number, to: number, tokens: Token[]): boolean {
    let at = from;
    if (to <= from + 1 && text[from] === ' ') return true;
    const stretch = text.slice(from, to);
    for (const match of stretch.matchAll(aComment)) {
        const start = from + match.index;
        const end = start + match[0].length;
        const before = text.slice(at, start);
        if (before.trim() !== '') return false;
        const comment = match[0].startsWith('//') ? 'line' : 'block';
        tokens.push({ start, end, text: match[0], type: '', isKeyword: false, comment, breaks: breaksIn(before) });
        at = end;
    }
    return text.slice(at, to).trim() === '';
}

function breaksIn(blanks: string): number {
    return blanks.match(aBreak)?.length ?? 0;
}

/** The sign or word of the grammar, and not a name that is spelt so. */
export function is(token: Token | undefined, keyword: string): boolean {
    return token?.isKeyword === true && token.text === keyword;
}
