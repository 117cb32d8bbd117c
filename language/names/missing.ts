/** Names that a card speaks of and that some of its aircraft do not have. */
import type { AstNode } from 'langium';
import type { Argument, Card } from '../grammar/generated/ast.js';
import { candidates } from './link.js';
import type { ParsedFile, ParsedProject } from './project.js';
import { reachedFrom } from './reach.js';
import { type Aircraft, type Arm, type Declared, type Owner, presentOn, standingOf } from './scope.js';
import { nodesOf } from './survey.js';

/** A name in a text, all of whose declarations stand inside some `where`. */
export interface Limited {
    readonly name: string;
    /** Where the name is used. */
    readonly node: AstNode;
    readonly place: AstNode | { readonly offset: number; readonly end: number };
    readonly file: ParsedFile;
    /** The sides of `where` around the use, in its own card, subtask or equipment. */
    readonly arms: readonly Arm[];
    readonly declared: readonly Declared<AstNode>[];
}

export interface Missing extends Limited {
    readonly card: Card;
}

const kept = new WeakMap<ParsedProject['scopes'], ReadonlyMap<Owner, readonly Limited[]>>();

/** The names of each owner that not every aircraft has. */
function limitedNames(project: ParsedProject): ReadonlyMap<Owner, readonly Limited[]> {
    const known = kept.get(project.scopes);
    if (known) return known;
    const byOwner = new Map<Owner, Limited[]>();
    const add = (owner: Owner, limited: Limited): void => {
        const list = byOwner.get(owner);
        if (list) list.push(limited);
        else byOwner.set(owner, [limited]);
    };
    for (const file of project.files) {
        for (const reference of file.references) {
            if (!reference.ref || !reference.$refNode) continue;
            const standing = standingOf(reference.container);
            if (!standing.owner) continue;
            const declared = candidates(project.scopes, reference, standing);
            if (declared.length === 0 || declared.some(each => each.arms.length === 0)) continue;
            const { offset, end } = reference.$refNode;
            const place = { offset, end };
            add(standing.owner, {
                name: reference.$refText,
                node: reference.container,
                place,
                file,
                arms: standing.arms,
                declared,
            });
        }
        for (const node of nodesOf(file.root, 'Argument') as readonly Argument[]) {
            const standing = standingOf(node);
            const declared = project.scopes.lookup(standing, node.name);
            if (!standing.owner || declared.length === 0 || declared.some(each => each.arms.length === 0)) continue;
            add(standing.owner, { name: node.name, node, place: node, file, arms: standing.arms, declared });
        }
    }
    kept.set(project.scopes, byOwner);
    return byOwner;
}

/**
 * What a card, and what it does and uses, names although this aircraft has no such thing. `arms` are all sides of `where`
 * on the way there.
 */
export function namesMissingIn(project: ParsedProject, card: Card, aircraft: Aircraft): readonly Missing[] {
    const limited = limitedNames(project);
    if (limited.size === 0) return [];
    const found: Missing[] = [];
    for (const { owner, arms } of reachedFrom(project, card)) {
        if (!presentOn({ arms }, aircraft)) continue;
        for (const each of limited.get(owner) ?? []) {
            if (!presentOn(each, aircraft) || each.declared.some(declared => presentOn(declared, aircraft))) continue;
            found.push({ ...each, arms: [...arms, ...each.arms], card });
        }
    }
    return found;
}
