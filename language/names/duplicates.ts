/** One name, two things. */
import { type AstNode, AstUtils } from 'langium';
import type { Finding } from '../findings/finding.js';
import { type ForEach, isCard, isForEach, isSubtask } from '../grammar/generated/ast.js';
import type { ParsedProject } from './project.js';
import { compatible, type Declared, type Owner } from './scope.js';
import { whatIs } from './unknown.js';

export function duplicateNames(project: ParsedProject): Finding[] {
    const found: Finding[] = [];
    const { offered } = project.scopes;
    for (const table of [offered.modifications, offered.equipments, offered.callees, offered.exercises]) {
        within<AstNode>(project, table.values(), found);
    }
    const owners: Owner[] = [...project.equipments, ...project.subtasks, ...project.cards];
    for (const owner of owners) {
        const own = project.scopes.own(owner);
        within<AstNode>(project, own.names.values(), found);
        within<AstNode>(project, own.steps.values(), found);
        within<AstNode>(project, own.rules.values(), found);
        hiding(project, owner, found);
    }
    loops(project, found);
    return found;
}

/** Twice in one table, and not on different sides of one `where`. */
function within<T extends AstNode>(
    project: ParsedProject,
    all: Iterable<readonly Declared<T>[]>,
    found: Finding[],
): void {
    for (const same of all) {
        for (let later = 1; later < same.length; later++) {
            const two = same[later];
            const one = same.slice(0, later).find(each => two && compatible(each.arms, two.arms));
            if (one && two) found.push(duplicate(project, two, one));
        }
    }
}

/** The same name in two equipments that one owner sees, or in the owner itself and what it uses. */
function hiding(project: ParsedProject, owner: Owner, found: Finding[]): void {
    const { scopes } = project;
    const own = scopes.own(owner);
    const used = scopes.equipmentsOf(owner);
    for (const same of own.names.values()) {
        for (const mine of same) {
            for (const { node, arms } of used) {
                const theirs = scopes
                    .own(node)
                    .names.get(mine.name)
                    ?.find(each => compatible([...arms, ...each.arms], mine.arms));
                if (theirs) found.push(duplicate(project, mine, theirs));
            }
        }
    }
    if (own.uses.length < 2) return;
    // Two used equipments that do not use one another: only here do they meet.
    const seen = new Map<string, Declared & { of: Owner }>();
    for (const { node: equipment, arms } of used) {
        for (const same of scopes.own(equipment).names.values()) {
            for (const each of same) {
                const placed = { ...each, arms: [...arms, ...each.arms], of: equipment };
                const before = seen.get(each.name);
                if (!before) seen.set(each.name, placed);
                else if (
                    before.of !== equipment &&
                    compatible(before.arms, placed.arms) &&
                    !meetBefore(project, owner, before.of, equipment)
                ) {
                    found.push(meeting(project, owner, before, placed));
                }
            }
        }
    }
}

function meetBefore(project: ParsedProject, owner: Owner, one: Owner, two: Owner): boolean {
    const sees = (each: Owner, other: Owner) =>
        each === other || project.scopes.equipmentsOf(each).some(used => used.node === other);
    return project.scopes.equipmentsOf(owner).some(({ node }) => sees(node, one) && sees(node, two));
}

function meeting(
    project: ParsedProject,
    owner: Owner,
    one: Declared & { of: Owner },
    two: Declared & { of: Owner },
): Finding {
    const name = one.name;
    return {
        code: 'duplicate-name',
        severity: 'error',
        message: `${owner.name} uses ${one.of.name} and ${two.of.name}, and both have something named ${name}: rename one of the two.`,
        span: nameSpan(project, owner),
        related: [one, two].map(each => ({
            span: project.spanOf(each.node),
            message: `${name} in ${each.of.name}, ${whatIs(each.node)}`,
        })),
        fixes: [],
        about: [name],
        ...(isCard(owner) ? { card: owner.name } : {}),
    };
}

function loops(project: ParsedProject, found: Finding[]): void {
    for (const file of project.files) {
        for (const loop of file.root.declarations.flatMap(each =>
            isCard(each) || isSubtask(each) ? loopsIn(each) : [],
        )) {
            for (const [index, node] of loop.names.entries()) {
                const twin = loop.names.slice(0, index).find(each => each.name === node.name && node.name);
                const outer = twin ? undefined : project.lookup(loop, node.name)[0];
                const first = twin ? { name: twin.name, node: twin, arms: [] } : outer;
                if (first && node.name) found.push(duplicate(project, { name: node.name, node, arms: [] }, first));
            }
        }
    }
}

const loopsIn = (root: AstNode): ForEach[] => AstUtils.streamAllContents(root).filter(isForEach).toArray();

function duplicate(project: ParsedProject, two: Declared<AstNode>, one: Declared<AstNode>): Finding {
    const elsewhere = one.node.$container !== two.node.$container && one.node.$container?.$type === 'Equipment';
    const place = elsewhere ? ` in ${(one.node.$container as unknown as Owner).name}` : '';
    return {
        code: 'duplicate-name',
        severity: 'error',
        message: `${two.name} is already the name of something else${place}, ${whatIs(one.node)}: give this one another name.`,
        span: nameSpan(project, two.node),
        related: [{ span: nameSpan(project, one.node), message: `The first ${two.name}` }],
        fixes: [],
        about: [two.name],
    };
}

/** The name itself where it can be found in the text, else the whole. */
export function nameSpan(project: ParsedProject, node: AstNode) {
    const file = project.fileOf(node);
    const cst = node.$cstNode;
    const name = (node as AstNode & { name?: string }).name;
    if (!cst || !name) return file.spanOf(node);
    const at = new RegExp(`(?<![\\w-])${name.replace(/[-]/g, '\\-')}(?![\\w-])`).exec(
        file.text.slice(cst.offset, cst.end),
    )?.index;
    return at === undefined
        ? file.spanOf(node)
        : file.spanOf({ offset: cst.offset + at, end: cst.offset + at + name.length });
}
