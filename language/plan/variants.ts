/** The aircraft that a card is for, as a Plan says it, and what its machine is made of. */
import type * as ast from '../grammar/generated/ast.js';
import type { ParsedProject } from '../names/project.js';
import * as reach from '../names/reach.js';
import type { Variant } from './plan.js';

/** More are refused. */
export const mostVariants = reach.mostVariants;

export interface Variants {
    /** In order of declaration. */
    readonly modifications: readonly ast.Modification[];
    /** The one with none of them first. Empty where there are too many: then none is judged. */
    readonly variants: readonly Variant[];
    readonly tooMany: boolean;
}

export function variantsOf(project: ParsedProject, card: ast.Card): Variants {
    const modifications = modificationsOf(project, card);
    const aircraft = reach.variantsOf(project, card);
    const variants = (aircraft ?? []).map(has => ({
        modifications: modifications.map(({ name, label }) => ({ name, label, embodied: has.has(name) })),
    }));
    return { modifications, variants, tooMany: aircraft === undefined };
}

/** Those that make a difference to the card, in order of declaration. */
export function modificationsOf(project: ParsedProject, card: ast.Card): readonly ast.Modification[] {
    return reach
        .modificationsOf(project, card)
        .flatMap(name => project.modifications.find(each => each.name === name) ?? []);
}

/** Those that make a difference to an equipment or to what it uses, in order of declaration. */
export function modificationsOfEquipment(
    project: ParsedProject,
    equipment: ast.Equipment,
): readonly ast.Modification[] {
    return reach
        .mentionedBy(project, [equipment, ...project.equipmentsOf(equipment)])
        .flatMap(name => project.modifications.find(each => each.name === name) ?? []);
}

/** Every combination of the modifications that an equipment and what it uses mention; none where there are too many. */
export function variantsOfEquipment(project: ParsedProject, equipment: ast.Equipment): readonly ReadonlySet<string>[] {
    const mentioned = reach.mentionedBy(project, [equipment, ...project.equipmentsOf(equipment)]);
    return reach.combinationsOf(project, mentioned, mostVariants) ?? [];
}

export function embodiedIn(variant: Variant): ReadonlySet<string> {
    return new Set(variant.modifications.filter(each => each.embodied).map(each => each.name));
}

/** Every equipment that the card uses, or that a subtask or card used by it uses: what its machine is made of. */
export function equipmentsOfCard(project: ParsedProject, card: ast.Card): readonly ast.Equipment[] {
    return [...new Set(calledBy(project, card).flatMap(owner => project.equipmentsOf(owner)))];
}

/** The card, and every subtask and card that it does, however deep. */
export function calledBy(project: ParsedProject, card: ast.Card): readonly (ast.Card | ast.Subtask)[] {
    const found = new Set<ast.Card | ast.Subtask>([card]);
    for (const owner of found) {
        for (const { node } of reach.callsOf(project, owner)) if (node.callee.ref) found.add(node.callee.ref);
    }
    return [...found];
}
