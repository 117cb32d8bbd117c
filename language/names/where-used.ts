/** Where a thing is used: by name, in texts, and through the calls and loops that hand it on under another name. */
import type { AstNode } from 'langium';
import type { Span } from '../findings/finding.js';
import {
    type Argument,
    type Do,
    type ForEach,
    isCard,
    isDo,
    isForEach,
    isItem,
    isModification,
    isPair,
    isRule,
    isStep,
    isSubtask,
    type Modification,
    type Row,
} from '../grammar/generated/ast.js';
import type { ParsedProject } from './project.js';
import { reachedFrom } from './reach.js';
import { type Owner, standingOf } from './scope.js';
import { nodesOf } from './survey.js';
import { whatIs } from './unknown.js';

/** A thing that has a name. What stands once in each arm of a `where` is one thing. */
export interface NamedThing {
    readonly name: string;
    readonly label: string;
    /** "breaker", "role", "card". */
    readonly what: string;
    /** The equipment, subtask or card that declares it; empty for what a project declares. */
    readonly owner: string;
    /** Where it is declared, once for each arm. */
    readonly declared: readonly Span[];
    readonly nodes: readonly AstNode[];
}

export interface Named {
    readonly what: string;
    readonly name: string;
}

/** One place where it is used. */
export interface Use {
    readonly span: Span;
    /** The equipment, subtask, card or exercise that the place is in, or the modification. */
    readonly in: Named & { readonly label: string };
    /** The step, rule or item there. */
    readonly within?: Named;
    /** What is done with it: a verb of the language, "text", "argument", or the word that goes before it. */
    readonly how: string;
    /** The calls and rows that hand it on, outermost first, with the name that it has there. */
    readonly via: readonly { readonly span: Span; readonly as: string }[];
    /** The cards that come to this place. */
    readonly cards: readonly string[];
}

/** Everything in the project with this name; `OWNER.NAME` is the one that OWNER declares. */
export function thingsNamed(project: ParsedProject, name: string): readonly NamedThing[] {
    return [...allThings(project)].filter(each => each.name === name || qualified(each) === name);
}

/** As it is asked for where its name alone could mean several. */
export const qualified = ({ owner, name }: Pick<NamedThing, 'owner' | 'name'>): string =>
    owner ? `${owner}.${name}` : name;

/** Every thing that has a name, in the order of the files. */
export function* allThings(project: ParsedProject): Iterable<NamedThing> {
    const { offered } = project.scopes;
    const tables = [offered.modifications, offered.equipments, offered.callees, offered.exercises];
    for (const table of tables) {
        for (const [name, those] of table)
            for (const { node } of those) if (name) yield thing(project, '', name, [node]);
    }
    for (const owner of [...project.equipments, ...project.subtasks, ...project.cards]) {
        const { names, steps, rules } = project.scopes.own(owner);
        for (const table of [names, steps, rules]) {
            for (const [name, those] of table) {
                const nodes = those.map(each => each.node);
                yield thing(project, owner.name, name, nodes);
            }
        }
    }
}

function thing(project: ParsedProject, owner: string, name: string, nodes: readonly AstNode[]): NamedThing {
    const [first] = nodes;
    const label = (first as { label?: string } | undefined)?.label ?? '';
    return {
        name,
        label,
        what: first ? wordOf(first) : 'thing',
        owner,
        declared: nodes.map(project.spanOf),
        nodes,
    };
}

const wordOf = (node: AstNode): string => (isStep(node) ? node.kind : whatIs(node).replace(/^an? /, ''));

/** Ways in which a thing is handed on, beyond which it is not followed further. */
const mostUses = 20_000;

/** Every place where a thing is used, by file and place; where it is declared is no use. */
export function whereUsed(project: ParsedProject, { nodes }: NamedThing): readonly Use[] {
    const cards = cardsThatReach(project);
    const references = referencesByTarget(project);
    const handed = argumentsByTarget(project);
    const found: Use[] = [];
    const follow = (
        node: AstNode,
        via: Use['via'],
        outermost: Owner | Modification | undefined,
        above: ReadonlySet<AstNode>,
    ): void => {
        if (above.has(node) || found.length >= mostUses) return;
        const seen = new Set([...above, node]);
        const add = (place: AstNode, span: Span, how: string): Owner | Modification | undefined => {
            // A modification names others after `after` and `not with`.
            const owner = standingOf(place).owner ?? (isModification(place) ? place : undefined);
            if (!owner) return undefined;
            const within = withinOf(place);
            found.push({
                span,
                in: { what: owner.$type.toLowerCase(), name: owner.name ?? '', label: owner.label ?? '' },
                ...(within && { within }),
                how,
                via,
                cards: cards.get(outermost ?? owner) ?? [],
            });
            return owner;
        };
        for (const { container, span } of references.get(node) ?? []) add(container, span, howOf(container, node));
        for (const { argument, becomes } of handed.get(node) ?? []) {
            const span = project.spanOf(argument);
            const owner = add(argument, span, 'argument');
            if (becomes) follow(becomes, [...via, { span, as: becomes.name }], outermost ?? owner, seen);
        }
    };
    for (const node of nodes) follow(node, [], undefined, new Set());
    const files = new Map(project.files.map((file, index) => [file.path, index]));
    const at = ({ span }: Use): number => files.get(span.file) ?? 0;
    return found.sort((a, b) => at(a) - at(b) || a.span.offset - b.span.offset);
}

interface Reference {
    readonly container: AstNode;
    readonly span: Span;
}

function referencesByTarget(project: ParsedProject): ReadonlyMap<AstNode, readonly Reference[]> {
    const found = new Map<AstNode, Reference[]>();
    for (const file of project.files) {
        for (const reference of file.references) {
            const { ref, container, $refNode } = reference;
            if (!ref || !$refNode) continue;
            const use = { container, span: file.spanOf({ offset: $refNode.offset, end: $refNode.end }) };
            const known = found.get(ref);
            if (known) known.push(use);
            else found.set(ref, [use]);
        }
    }
    return found;
}

interface HandedOn {
    readonly argument: Argument;
    /** The parameter or loop name that stands for it from there on. */
    readonly becomes: (AstNode & { readonly name: string }) | undefined;
}

function argumentsByTarget(project: ParsedProject): ReadonlyMap<AstNode, readonly HandedOn[]> {
    const found = new Map<AstNode, HandedOn[]>();
    for (const { root } of project.files) {
        for (const argument of nodesOf(root, 'Argument')) {
            const target = project.lookup(argument, argument.name)[0]?.node;
            if (!target) continue;
            const handed = { argument, becomes: becomesOf(argument) };
            const known = found.get(target);
            if (known) known.push(handed);
            else found.set(target, [handed]);
        }
    }
    return found;
}

function becomesOf(argument: Argument): HandedOn['becomes'] {
    const container = argument.$container as Do | Row;
    if (isDo(container)) {
        const callee = container.callee.ref;
        return isSubtask(callee) ? callee.parameters[container.args.indexOf(argument)] : undefined;
    }
    const loop = container.$container as ForEach;
    return isForEach(loop) ? loop.names[container.args.indexOf(argument)] : undefined;
}

/** For each card, subtask: the cards that come to it, themselves included. */
function cardsThatReach(project: ParsedProject): ReadonlyMap<AstNode, readonly string[]> {
    const found = new Map<AstNode, string[]>();
    for (const card of project.cards) {
        const reached = new Set(reachedFrom(project, card).map(each => each.owner));
        for (const owner of reached) {
            if (!isCard(owner) && !isSubtask(owner)) continue;
            const known = found.get(owner);
            if (known) known.push(card.name);
            else found.set(owner, [card.name]);
        }
    }
    return found;
}

/** The innermost thing around a place that a reader would name: a step or test, a rule, an item. */
function withinOf(place: AstNode): Named | undefined {
    let node: AstNode | undefined = place;
    while (node) {
        if (isStep(node)) return { what: node.kind, name: node.name };
        if (isRule(node)) return { what: 'rule', name: node.name };
        if (isItem(node)) return { what: node.kind, name: node.name };
        node = node.$container;
    }
    return undefined;
}

/** Words for what has no verb of its own. */
const words: Readonly<Record<string, string>> = {
    SetTo: 'set',
    GoTo: 'go to',
    Act: 'acts',
    If: 'if',
    Hold: 'hold',
    LeaveFor: 'leave for',
    UsesPart: 'uses',
    Equipment: 'uses',
    Subtask: 'uses',
    WhereParts: 'where',
    WhereCard: 'where',
    WhereStatements: 'where',
    Setting: 'start or finish',
    Step: 'of',
    Place: 'behind or in',
    Exercise: 'on',
    WorkTrigger: 'work on',
    MovesTrigger: 'moves',
};

function howOf(container: AstNode, target: AstNode): string {
    if (isPair(container)) return 'pair';
    if (isModification(container)) return container.after.some(each => each.ref === target) ? 'after' : 'not with';
    const { verb } = container as { verb?: string };
    if (verb) return verb;
    const type = container.$type;
    if (type === 'Role') return target.$type === 'Role' ? 'independent of' : 'at';
    if (type.endsWith('Condition')) return 'condition';
    return words[type] ?? type.replace(/(Clause|Part|Rule|Trigger)$/, '').toLowerCase();
}
