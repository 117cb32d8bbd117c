/** The aircraft that a card is for: with and without each modification that it, what it calls, and the equipment that it uses mention. */
import type * as ast from '../grammar/generated/ast.js';
import type { ParsedProject } from '../names/project.js';
import type { Variant } from './plan.js';

/** More are refused. */
export const mostVariants = 16;

export interface Variants {
    /** In order of declaration. */
    readonly modifications: readonly ast.Modification[];
    /** All without first, all with last; at most `mostVariants`. */
    readonly variants: readonly Variant[];
    readonly tooMany: boolean;
}

export function variantsOf(project: ParsedProject, card: ast.Card): Variants {
    const modifications = modificationsOf(project, card);
    const found = combinations(modifications, mostVariants + 1);
    const variants = found.slice(0, mostVariants).map(has => ({
        modifications: modifications.map(each => ({ name: each.name, label: each.label, embodied: has.has(each) })),
    }));
    return { modifications, variants, tooMany: found.length > mostVariants };
}

/** Those that the card mentions, in order of declaration. */
export function modificationsOf(project: ParsedProject, card: ast.Card): readonly ast.Modification[] {
    const mentioned = new Set<ast.Modification>();
    const { owners, equipments } = reachOf(project, card);
    for (const owner of owners) {
        for (const node of owner.$type === 'Card' ? owner.parts : owner.statements) gather(node, mentioned);
    }
    for (const equipment of equipments) for (const part of equipment.parts) gather(part, mentioned);
    return project.modifications.filter(each => mentioned.has(each));
}

/** The modifications that an equipment and what it uses mention, in every combination; the first `mostVariants` of them. */
export function variantsOfEquipment(project: ParsedProject, equipment: ast.Equipment): readonly ReadonlySet<string>[] {
    const mentioned = new Set<ast.Modification>();
    for (const each of [equipment, ...project.equipmentsOf(equipment)])
        for (const part of each.parts) gather(part, mentioned);
    const modifications = project.modifications.filter(each => mentioned.has(each));
    return combinations(modifications, mostVariants).map(has => new Set([...has].map(each => each.name)));
}

export function embodiedIn(variant: Variant): ReadonlySet<string> {
    return new Set(variant.modifications.filter(each => each.embodied).map(each => each.name));
}

/** Every equipment that the card uses, or that a subtask or card used by it uses: what its machine is made of. */
export function equipmentsOfCard(project: ParsedProject, card: ast.Card): readonly ast.Equipment[] {
    return reachOf(project, card).equipments;
}

/** The card, and every subtask and card that it does, however deep. */
export function calledBy(card: ast.Card): readonly (ast.Card | ast.Subtask)[] {
    const found = new Set<ast.Card | ast.Subtask>([card]);
    for (const owner of found) {
        const visit = (statement: ast.Statement): void => {
            if (statement.$type === 'Do') {
                if (statement.callee?.ref) found.add(statement.callee.ref);
            } else for (const block of blocksOf(statement)) block.statements.forEach(visit);
        };
        const parts = (all: readonly ast.CardPart[]): void => {
            for (const part of all) {
                if (part.$type === 'Step') part.statements.forEach(visit);
                else if (part.$type === 'WhereCard') {
                    parts(part.parts);
                    parts(part.otherwise);
                }
            }
        };
        if (owner.$type === 'Card') parts(owner.parts);
        else owner.statements.forEach(visit);
    }
    return [...found];
}

function reachOf(project: ParsedProject, card: ast.Card) {
    const owners = calledBy(card);
    const equipments = new Set(owners.flatMap(owner => project.equipmentsOf(owner)));
    return { owners, equipments: [...equipments] };
}

/** The modifications that `where`s name, in all arms. */
function gather(node: ast.CardPart | ast.Statement | ast.EquipmentPart, found: Set<ast.Modification>): void {
    switch (node.$type) {
        case 'WhereCard':
        case 'WhereParts':
        case 'WhereStatements':
            if (node.modification?.ref) found.add(node.modification.ref);
    }
    switch (node.$type) {
        case 'WhereCard':
        case 'WhereParts':
            for (const each of [...node.parts, ...node.otherwise]) gather(each, found);
            return;
        case 'Step':
            for (const each of node.statements) gather(each, found);
            return;
        case 'Act':
        case 'If':
        case 'ForEach':
        case 'WhereStatements':
            for (const block of blocksOf(node)) for (const each of block.statements) gather(each, found);
    }
}

function blocksOf(statement: ast.Statement): readonly ast.Block[] {
    const blocks: readonly (ast.Block | undefined)[] =
        statement.$type === 'If' || statement.$type === 'WhereStatements'
            ? [statement.then, statement.otherwise]
            : statement.$type === 'ForEach'
              ? [statement.body]
              : statement.$type === 'Act'
                ? [
                      (statement.action as Partial<ast.Look> | undefined)?.else,
                      (statement.action as Partial<ast.Keep> | undefined)?.body,
                  ]
                : [];
    return blocks.filter(each => each !== undefined);
}

/** Those that `after` brings along are there too, and no two that do not go together. No choice made on the way turns out impossible later. */
function combinations(modifications: readonly ast.Modification[], most: number): ReadonlySet<ast.Modification>[] {
    const found: ReadonlySet<ast.Modification>[] = [];
    const choose = (index: number, has: ReadonlySet<ast.Modification>, not: ReadonlySet<ast.Modification>): void => {
        if (found.length >= most) return;
        const next = modifications[index];
        if (!next) {
            found.push(has);
            return;
        }
        if (!has.has(next)) choose(index + 1, has, new Set([...not, next]));
        const more = withThoseBefore(next, has);
        if (![...more].some(each => not.has(each)) && goTogether(more)) choose(index + 1, more, not);
    };
    choose(0, new Set(), new Set());
    return found;
}

function withThoseBefore(
    modification: ast.Modification,
    has: ReadonlySet<ast.Modification>,
): ReadonlySet<ast.Modification> {
    const all = new Set(has).add(modification);
    for (const each of all) for (const before of each.after) if (before.ref) all.add(before.ref);
    return all;
}

function goTogether(all: ReadonlySet<ast.Modification>): boolean {
    return [...all].every(each => each.notWith.every(other => !other.ref || !all.has(other.ref)));
}
