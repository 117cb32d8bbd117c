/** Where names stand in a text, and what each of them means there. */
import { type AstNode, isAstNode } from 'langium';
import { type Argument, type CotterAstType, reflection } from '../grammar/generated/ast.js';
import { nameSpan } from './duplicates.js';
import { candidates, wanted } from './link.js';
import type { ParsedFile, ParsedProject } from './project.js';
import { standingOf } from './scope.js';
import { nodesOf } from './survey.js';

/** One name at one place of a file. Offsets as in the text. */
export interface Occurrence {
    readonly name: string;
    readonly offset: number;
    readonly end: number;
    /** What it means: several where a name stands in each arm of a `where`, none where nothing has the name. */
    readonly targets: readonly AstNode[];
    readonly isDeclaration: boolean;
    /** Where the name is used: the action, the clause, the text; for a declaration, itself. */
    readonly within: AstNode;
}

/** What has a name that can be used elsewhere, or that a reader looks for. */
const declaring = [
    'Modification',
    'Equipment',
    'Subtask',
    'Card',
    'Exercise',
    'Item',
    'Place',
    'Role',
    'Tool',
    'Spare',
    'Material',
    'Parameter',
    'LoopName',
    'Step',
    'Rule',
] as const satisfies readonly (keyof CotterAstType)[];

const kept = new WeakMap<ParsedProject['scopes'], Map<ParsedFile, readonly Occurrence[]>>();

/** Every name in a file of the project, in the order of the text. */
export function occurrencesIn(project: ParsedProject, file: ParsedFile): readonly Occurrence[] {
    let ofProject = kept.get(project.scopes);
    if (!ofProject) {
        ofProject = new Map();
        kept.set(project.scopes, ofProject);
    }
    const known = ofProject.get(file);
    if (known) return known;
    const found: Occurrence[] = [];
    for (const reference of file.references) {
        const cst = reference.$refNode;
        if (!cst || !reference.$refText) continue;
        const type = wanted(reference);
        const targets = candidates(project.scopes, reference, standingOf(reference.container))
            .map(each => each.node)
            .filter(each => reflection.isSubtype(each.$type, type));
        found.push({
            name: reference.$refText,
            offset: cst.offset,
            end: cst.end,
            targets,
            isDeclaration: false,
            within: reference.container,
        });
    }
    for (const node of nodesOf(file.root, 'Argument') as readonly Argument[]) {
        const cst = node.$cstNode;
        if (!cst || !node.name) continue;
        const targets = project.lookup(node, node.name).map(each => each.node);
        found.push({
            name: node.name,
            offset: cst.offset,
            end: cst.end,
            targets,
            isDeclaration: false,
            within: node,
        });
    }
    for (const type of declaring) {
        for (const node of nodesOf(file.root, type)) {
            const { name } = node as { name?: string };
            if (!name) continue;
            const { offset, end } = nameSpan(project, node);
            found.push({ name, offset, end, targets: [node], isDeclaration: true, within: node });
        }
    }
    found.sort((one, two) => one.offset - two.offset || one.end - two.end);
    ofProject.set(file, found);
    return found;
}

/** The name that a place in the text lies in, or just behind. */
export function occurrenceAt(project: ParsedProject, file: ParsedFile, offset: number): Occurrence | undefined {
    const all = occurrencesIn(project, file);
    return (
        all.find(each => each.offset <= offset && offset < each.end) ??
        all.find(each => each.offset <= offset && offset === each.end)
    );
}

/** The same thing named elsewhere in the files of the project. */
export function occurrencesOf(
    project: ParsedProject,
    targets: readonly AstNode[],
): readonly { readonly file: ParsedFile; readonly occurrence: Occurrence }[] {
    const wantedNodes = new Set(targets);
    const names = new Set(targets.map(each => (each as { name?: string }).name ?? ''));
    return project.files.flatMap(file =>
        occurrencesIn(project, file)
            .filter(each => names.has(each.name) && each.targets.some(node => wantedNodes.has(node)))
            .map(occurrence => ({ file, occurrence })),
    );
}

/** The label that prints on the card for what has one. */
export function labelOf(node: AstNode): string {
    const { label } = node as { label?: unknown };
    return typeof label === 'string' ? label : '';
}

/** The declaration that a node stands in, itself included. */
export function declarationAround(node: AstNode): AstNode {
    let at = node;
    while (at.$container && isAstNode(at.$container) && at.$container.$type !== 'File') at = at.$container;
    return at;
}
