/** Names that name nothing, or nothing of the kind that is due. */
import type { AstNode } from 'langium';
import type { Finding } from '../findings/finding.js';
import {
    type Argument,
    type Do,
    type ForEach,
    isCard,
    isExercise,
    isItem,
    isLoopName,
    isParameter,
    isSubtask,
    type LoopName,
    type Parameter,
    reflection,
} from '../grammar/generated/ast.js';
import { nearest } from '../grammar/nearest.js';
import type { NameReference } from '../grammar/reference.js';
import { candidates, wanted } from './link.js';
import type { ParsedFile, ParsedProject } from './project.js';
import { type Declared, type Owner, type Standing, standingOf } from './scope.js';

export function unknownNames(project: ParsedProject): Finding[] {
    const found: Finding[] = [];
    const lost = wordsLost(project);
    for (const file of project.files) {
        for (const reference of file.references) {
            if (reference.ref || !reference.$refText || !reference.$refNode || isLost(reference)) continue;
            if (follows(project, lost, reference)) continue;
            found.push(unknownName(project, file, reference));
        }
    }
    for (const { argument, kind } of thingsDue(project)) {
        if (argument.name && project.lookup(argument, argument.name).length === 0)
            found.push(unknownArgument(project, argument, kind));
    }
    return found;
}

/** Words on lines that could not be read: what they would have declared is missing for that reason alone. */
function wordsLost(project: ParsedProject): ReadonlySet<string> {
    const words = new Set<string>();
    for (const { text, syntax } of project.files) {
        for (const { span } of syntax) {
            const from = text.lastIndexOf('\n', span.offset - 1) + 1;
            const end = text.indexOf('\n', span.end);
            for (const [word] of text
                .slice(from, end < 0 ? text.length : end)
                .slice(0, 1000)
                .matchAll(/[\w-]+/g))
                words.add(word);
        }
    }
    return words;
}

/** Its cause is reported already: a line that could not be read, an equipment or a card that there is not. */
function follows(project: ParsedProject, lost: ReadonlySet<string>, reference: NameReference): boolean {
    if (lost.has(reference.$refText)) return true;
    const type = wanted(reference);
    if (!isInside(type) && type !== 'Step') return false;
    const { owner } = standingOf(reference.container);
    if (!owner) return false;
    if (isExercise(owner)) return !owner.card.ref || !project.scopes.usesAreKnown(owner.card.ref);
    return type !== 'Step' && !project.scopes.usesAreKnown(owner);
}

/** Arguments, and entries of rows, that must name something: a position may be any word. */
function* thingsDue(project: ParsedProject): Iterable<{ readonly argument: Argument; readonly kind: string }> {
    const calls: { readonly argument: Argument; readonly parameter: Parameter }[] = [];
    const due = new Map<AstNode, string>();
    for (const { references } of project.files) {
        for (const { ref, container, property } of references) {
            if (isLoopName(ref))
                due.set(
                    ref,
                    property === 'actor' || property === 'role' ? 'role' : property === 'tool' ? 'tool' : 'item',
                );
            else if (isSubtask(ref) && container.$type === 'Do') {
                for (const [index, argument] of (container as Do).args.entries()) {
                    const parameter = ref.parameters[index];
                    if (parameter && parameter.kind !== 'position') calls.push({ argument, parameter });
                }
            }
        }
    }
    for (const { argument, parameter } of calls) {
        yield { argument, kind: parameter.kind };
        const handed = project.lookup(argument, argument.name)[0]?.node;
        if (isLoopName(handed) && !due.has(handed)) due.set(handed, parameter.kind);
    }
    for (const [name, kind] of due) {
        const loop = name.$container as ForEach;
        const index = loop.names.indexOf(name as LoopName);
        for (const row of loop.rows) {
            const argument = row.args[index];
            if (argument) yield { argument, kind };
        }
    }
}

function unknownArgument(project: ParsedProject, argument: Argument, kind: string): Finding {
    const { name } = argument;
    const span = project.spanOf(argument);
    const names: string[] = [];
    for (const each of project.visibleFrom(argument)) {
        const word = isItem(each.node) || isParameter(each.node) ? each.node.kind : each.node.$type.toLowerCase();
        if (word === kind || (kind === 'item' && isItem(each.node)) || isLoopName(each.node)) names.push(each.name);
    }
    const meant = nearest(name, names) ?? sameLetters(name, names);
    return {
        code: 'unknown-name',
        severity: 'error',
        message: `There is no ${kind} named ${name} here.${meant ? ` Did you mean ${meant}?` : ''}`,
        span,
        related: [],
        fixes: meant ? [{ title: `Write ${meant}`, edits: [{ span, newText: meant }] }] : [],
        about: [name],
        ...ofCard(argument),
    };
}

const ofCard = (node: AstNode): { readonly card?: string } => {
    const { owner } = standingOf(node);
    return owner && isCard(owner) ? { card: owner.name } : {};
};

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
    const base = {
        code: 'unknown-name',
        severity: 'error' as const,
        span,
        about: [name],
        ...ofCard(reference.container),
    };
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
    else if (type === 'Card') yield* namesOfCards(offered.callees);
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
    for (const [first] of project.scopes.offered.equipments.values()) {
        const owner = first?.node;
        const declared =
            owner &&
            project.scopes
                .own(owner)
                .names.get(name)
                ?.find(each => reflection.isSubtype(each.node.$type, type));
        if (owner && declared) return { ...declared, owner };
    }
    return undefined;
}

function* namesOfCards(callees: ReadonlyMap<string, readonly Declared<AstNode>[]>): Iterable<string> {
    for (const [name, declared] of callees) if (declared.some(each => isCard(each.node))) yield name;
}
