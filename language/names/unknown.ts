/** Names that name nothing, or nothing of the kind that is due. */
import type { AstNode } from 'langium';
import type { Finding } from '../findings/finding.js';
import { isItem, isParameter, reflection } from '../grammar/generated/ast.js';
import { nearest } from '../grammar/nearest.js';
import type { NameReference } from '../grammar/reference.js';
import { candidates, wanted } from './link.js';
import type { ParsedFile, ParsedProject } from './project.js';
import { type Declared, type Owner, type Standing, standingOf } from './scope.js';

export function unknownNames(project: ParsedProject): Finding[] {
    const found: Finding[] = [];
    for (const file of project.files) {
        for (const reference of file.references) {
            if (!reference.ref && reference.$refText && reference.$refNode && !isLost(reference))
                found.push(unknownName(project, file, reference));
        }
    }
    return found;
}

/** A reference that the parser dropped together with the statement around it. */
function isLost(reference: NameReference): boolean {
    const value = (reference.container as unknown as Record<string, unknown>)[reference.property];
    return Array.isArray(value) ? !value.includes(reference) : value !== reference;
}

/** What a type of the grammar is called. */
const called: Readonly<Record<string, string>> = {
    Item: 'item',
    Operand: 'item',
    Referable: 'item, place, role, tool, spare or material',
    Place: 'place',
    Actor: 'role',
    Role: 'role',
    WithItem: 'tool, spare or material',
    Modification: 'modification',
    Equipment: 'equipment',
    Card: 'card',
    Callee: 'subtask or card',
    Step: 'step',
};

/** "a breaker", "a role": what a declared thing is. */
export function whatIs(node: AstNode): string {
    const word =
        isItem(node) || isParameter(node)
            ? node.kind
            : node.$type === 'LoopName'
              ? 'loop name'
              : node.$type.toLowerCase();
    return `${/^[aeiou]/.test(word) && word !== 'unit' ? 'an' : 'a'} ${word}`;
}

function unknownName(project: ParsedProject, file: ParsedFile, reference: NameReference): Finding {
    const name = reference.$refText;
    const type = wanted(reference);
    const standing = standingOf(reference.container);
    const span = file.spanOf(reference.$refNode ?? { offset: 0, end: 0 });
    const other = candidates(project.scopes, reference, standing)[0];
    const due = called[type] ?? 'thing';
    const base = { code: 'unknown-name', severity: 'error' as const, span, about: [name] };
    if (other) {
        const related = [{ span: project.spanOf(other.node), message: `${name} is declared here` }];
        return {
            ...base,
            message: `${name} is ${whatIs(other.node)}; ${article(due)} is due here.`,
            related,
            fixes: [],
        };
    }
    const meant =
        nearest(name, namesOf(project, type, standing)) ?? sameLetters(name, namesOf(project, type, standing));
    if (meant) {
        const fixes = [{ title: `Write ${meant}`, edits: [{ span, newText: meant }] }];
        return {
            ...base,
            message: `There is no ${due} named ${name} here. Did you mean ${meant}?`,
            related: [],
            fixes,
        };
    }
    const elsewhere = isInside(type) ? declaredElsewhere(project, name, type) : undefined;
    if (elsewhere) {
        const message = `${name} is declared in ${elsewhere.owner.name}, which ${standing.owner?.name ?? 'this'} does not use: write "uses ${elsewhere.owner.name}".`;
        return {
            ...base,
            message,
            related: [{ span: project.spanOf(elsewhere.node), message: `${name} is declared here` }],
            fixes: [],
        };
    }
    return { ...base, message: `There is no ${due} named ${name} here.`, related: [], fixes: [] };
}

const article = (due: string) => `${/^[aeiou]/.test(due) ? 'an' : 'a'} ${due}`;
const isInside = (type: string) => !['Modification', 'Equipment', 'Card', 'Callee', 'Step'].includes(type);

function sameLetters(name: string, names: Iterable<string>): string | undefined {
    const plain = (text: string) => text.toLowerCase().replace(/[-_]/g, '');
    for (const each of names) if (plain(each) === plain(name)) return each;
    return undefined;
}

/** The names of the type that could stand there. */
export function* namesOf(project: ParsedProject, type: string, standing: Standing): Iterable<string> {
    const { offered } = project.scopes;
    if (type === 'Modification') yield* offered.modifications.keys();
    else if (type === 'Equipment') yield* offered.equipments.keys();
    else if (type === 'Card') yield* project.cards.map(card => card.name);
    else if (type === 'Callee') yield* offered.callees.keys();
    else if (type === 'Step') yield* standing.owner ? project.scopes.steps(standing.owner).keys() : [];
    else {
        for (const { name, node } of project.scopes.visibleFrom(standing)) {
            if (reflection.isSubtype(node.$type, type)) yield name;
        }
    }
}

function declaredElsewhere(
    project: ParsedProject,
    name: string,
    type: string,
): (Declared & { owner: Owner }) | undefined {
    for (const owner of project.equipments) {
        const declared = project.scopes
            .own(owner)
            .names.get(name)
            ?.find(each => reflection.isSubtype(each.node.$type, type));
        if (declared) return { ...declared, owner };
    }
    return undefined;
}
