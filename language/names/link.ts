/** References to what they name. */
import type { AstNode } from 'langium';
import { reflection } from '../grammar/generated/ast.js';
import type { NameReference } from '../grammar/reference.js';
import { compatible, type Declared, type Scopes, type Standing, standingOf } from './scope.js';

/** The type that a reference asks for: "Item", "Place", "Operand" and so on. */
export function wanted(reference: NameReference): string {
    const { container, property } = reference;
    return reflection.getReferenceType({ reference, container, property });
}

/** Everything a reference could mean by its name, of whatever type. */
export function candidates(scopes: Scopes, reference: NameReference, standing: Standing): readonly Declared<AstNode>[] {
    const name = reference.$refText;
    const { offered } = scopes;
    switch (wanted(reference)) {
        case 'Modification':
            return offered.modifications.get(name) ?? [];
        case 'Equipment':
            return offered.equipments.get(name) ?? [];
        case 'Card':
        case 'Callee':
            return offered.callees.get(name) ?? [];
        case 'Step':
            return (standing.owner && scopes.steps(standing.owner).get(name)) ?? [];
        default:
            return scopes.lookup(standing, name);
    }
}

/** Sets `ref`. Where a name stands once in each arm of a `where`, the reference leads to the one of its own arm, else to the first. */
export function link(scopes: Scopes, references: Iterable<NameReference>): void {
    let last: AstNode | undefined;
    let standing: Standing = { owner: undefined, arms: [], loops: [] };
    for (const reference of references) {
        reference.ref = undefined;
        if (!reference.$refText) continue;
        if (reference.container !== last) {
            last = reference.container;
            standing = standingOf(last);
        }
        const type = wanted(reference);
        const fitting = candidates(scopes, reference, standing).filter(each =>
            reflection.isSubtype(each.node.$type, type),
        );
        reference.ref = (fitting.find(each => compatible(each.arms, standing.arms)) ?? fitting[0])?.node;
    }
}
