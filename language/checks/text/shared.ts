/** What the checks of text have in common. */
import { type AstNode, GrammarUtils } from 'langium';
import type { Edit, Finding, Fix, Severity, Span } from '../../findings/finding.js';
import { type CotterAstType, type Item, isCard } from '../../grammar/generated/ast.js';
import { nearest } from '../../grammar/nearest.js';
import { nameAndLabel } from '../../machine/compile-conditions.js';
import type { ParsedProject } from '../../names/project.js';
import { standingOf } from '../../names/scope.js';
import { nodesOf } from '../../names/survey.js';

/** Every node of these types in the project, with the file it stands in. */
export function* every<T extends keyof CotterAstType>(
    project: ParsedProject,
    ...types: readonly T[]
): Iterable<CotterAstType[T]> {
    for (const { root } of project.files) for (const type of types) yield* nodesOf(root, type);
}

export interface Said {
    readonly related?: Finding['related'];
    readonly fixes?: readonly Fix[];
    readonly about?: readonly string[];
    readonly only?: string;
}

/** An error about a place in a text. It belongs to the card that the place lies in, if it lies in one. */
export function error(code: string, at: AstNode, span: Span, message: string, said: Said = {}): Finding {
    return finding('error', code, at, span, message, said);
}

/** The same with another severity. */
export function finding(
    severity: Severity,
    code: string,
    at: AstNode,
    span: Span,
    message: string,
    said: Said = {},
): Finding {
    const { owner } = standingOf(at);
    return {
        code,
        severity,
        message,
        span,
        related: said.related ?? [],
        fixes: said.fixes ?? [],
        about: said.about ?? [],
        ...(owner && isCard(owner) ? { card: owner.name } : {}),
        ...(said.only ? { only: said.only } : {}),
    };
}

/** Where a property of a node is written; the node itself where it is not. */
export function spanOfProperty(project: ParsedProject, node: AstNode, property: string, index?: number): Span {
    const file = project.fileOf(node);
    const cst = GrammarUtils.findNodeForProperty(node.$cstNode, property, index);
    return file.spanOf(cst ?? node);
}

/** Where a keyword of a node is written. */
export function spanOfKeyword(project: ParsedProject, node: AstNode, keyword: string): Span {
    const file = project.fileOf(node);
    return file.spanOf(GrammarUtils.findNodeForKeyword(node.$cstNode, keyword) ?? node);
}

export function replaceBy(span: Span, newText: string, title = `Write ${newText}`): Fix {
    const edit: Edit = { span, newText };
    return { title, edits: [edit] };
}

/** "CB-218 (HYD 2 ISOL VALVE MOTOR B)". */
export function titled(item: Item): string {
    return nameAndLabel({ name: item.name, label: item.label ?? '' });
}

export const article = (word: string): string => `${/^(?!unit)[aeiou]/.test(word) ? 'an' : 'a'} ${word}`;

export function list(words: readonly string[], last = 'and'): string {
    return words.length < 2 ? (words[0] ?? '') : `${words.slice(0, -1).join(', ')} ${last} ${words.at(-1)}`;
}

/** The state that a slip of the hand explains, small letters and blanks aside. */
export function stateMeant(written: string, states: readonly string[]): string | undefined {
    const plain = (text: string) => text.toUpperCase().replace(/[-_]/g, '');
    return states.find(state => plain(state) === plain(written)) ?? nearest(written.toUpperCase(), states);
}
