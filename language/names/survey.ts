/** The nodes of a tree by their type, so that a check goes only to what it speaks of. */
import { type AstNode, isAstNode } from 'langium';
import type { CotterAstType, File } from '../grammar/generated/ast.js';

type Survey = ReadonlyMap<string, readonly AstNode[]>;

const surveys = new WeakMap<File, Survey>();

/** Every node of a type in a tree, in the order of the text. The tree must not change afterwards. */
export function nodesOf<T extends keyof CotterAstType>(root: File, type: T): readonly CotterAstType[T][] {
    let survey = surveys.get(root);
    if (!survey) {
        survey = read(root);
        surveys.set(root, survey);
    }
    return (survey.get(type) ?? []) as readonly CotterAstType[T][];
}

function read(root: File): Survey {
    const survey = new Map<string, AstNode[]>();
    const visit = (node: AstNode): void => {
        const same = survey.get(node.$type);
        if (same) same.push(node);
        else survey.set(node.$type, [node]);
        for (const property in node) {
            if (property.charCodeAt(0) === 36) continue;
            const value: unknown = (node as unknown as Record<string, unknown>)[property];
            if (Array.isArray(value)) {
                for (const each of value) if (isAstNode(each)) visit(each);
            } else if (isAstNode(value)) visit(value);
        }
    };
    visit(root);
    return survey;
}
