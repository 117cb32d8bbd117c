/**
 * What a name means where it stands. An equipment, a subtask and a card each see what is their own and what they use,
 * with what that uses in turn; an exercise sees what its card sees. Nothing here follows a reference: names are looked
 * up in tables, so that the order of files and of lines never matters.
 */
import type { AstNode } from 'langium';
import {
    type Card,
    type CardPart,
    type Equipment,
    type EquipmentPart,
    type Exercise,
    type File,
    type ForEach,
    type Item,
    isCard,
    isEquipment,
    isExercise,
    isForEach,
    isItem,
    isMaterial,
    isPlace,
    isRole,
    isRule,
    isSpare,
    isStep,
    isSubtask,
    isTool,
    isUsesPart,
    isWhereCard,
    isWhereParts,
    isWhereStatements,
    type LoopName,
    type Material,
    type Modification,
    type Parameter,
    type Place,
    type Role,
    type Rule,
    type Spare,
    type Step,
    type Subtask,
    type Tool,
} from '../grammar/generated/ast.js';

/** What has names of its own. */
export type Owner = Equipment | Subtask | Card | Exercise;
/** What a name inside an owner can mean. */
export type Named = Item | Place | Role | Parameter | Tool | Spare | Material | LoopName | Step | Rule;

/** Which side of a `where` something stands on: only on aircraft that have the modification, or only on those without. */
export interface Arm {
    readonly modification: string;
    readonly embodied: boolean;
}

export interface Declared<T extends AstNode = Named> {
    readonly name: string;
    readonly node: T;
    /** The outermost `where` first; empty for what every aircraft has. */
    readonly arms: readonly Arm[];
}

/** The modifications that an aircraft has, by name. */
export type Aircraft = ReadonlySet<string>;

export const presentOn = (declared: { readonly arms: readonly Arm[] }, aircraft: Aircraft): boolean =>
    declared.arms.every(arm => aircraft.has(arm.modification) === arm.embodied);

export const compatible = (left: readonly Arm[], right: readonly Arm[]): boolean =>
    left.every(one => right.every(two => one.modification !== two.modification || one.embodied === two.embodied));

type Table<T extends AstNode = Named> = Map<string, Declared<T>[]>;

/** What an owner declares itself, and which equipments it uses, directly (with where it says so). */
export interface Own {
    /** Items, places, roles, parameters, tools, spares, materials. */
    readonly names: Table;
    readonly steps: Table<Step>;
    readonly rules: Table<Rule>;
    readonly uses: readonly { readonly name: string; readonly arms: readonly Arm[] }[];
}

const none: readonly Arm[] = [];

export function add<T extends AstNode>(
    table: Map<string, Declared<T>[]>,
    name: string,
    node: T,
    arms: readonly Arm[],
): void {
    if (!name) return;
    const same = table.get(name);
    if (same) same.push({ name, node, arms });
    else table.set(name, [{ name, node, arms }]);
}

export function readOwn(owner: Owner): Own {
    const names: Table = new Map();
    const steps: Table<Step> = new Map();
    const rules: Table<Rule> = new Map();
    const uses: { name: string; arms: readonly Arm[] }[] = [];
    if (isEquipment(owner)) {
        for (const { $refText } of owner.uses) uses.push({ name: $refText, arms: none });
        const read = (parts: readonly EquipmentPart[], arms: readonly Arm[]): void => {
            for (const part of parts) {
                if (isItem(part) || isPlace(part)) add<Named>(names, part.name, part, arms);
                else if (isRule(part)) add(rules, part.name, part, arms);
                else if (isWhereParts(part)) {
                    read(part.parts, inside(arms, part.modification.$refText, true));
                    read(part.otherwise, inside(arms, part.modification.$refText, false));
                }
            }
        };
        read(owner.parts, none);
    } else if (isSubtask(owner)) {
        for (const { $refText } of owner.uses) uses.push({ name: $refText, arms: none });
        for (const parameter of owner.parameters) add<Named>(names, parameter.name, parameter, none);
    } else if (isCard(owner)) {
        const read = (parts: readonly CardPart[], arms: readonly Arm[]): void => {
            for (const part of parts) {
                if (isUsesPart(part)) for (const { $refText } of part.equipment) uses.push({ name: $refText, arms });
                else if (isRole(part) || isTool(part) || isSpare(part) || isMaterial(part))
                    add<Named>(names, part.name, part, arms);
                else if (isStep(part)) add(steps, part.name, part, arms);
                else if (isWhereCard(part)) {
                    read(part.parts, inside(arms, part.modification.$refText, true));
                    read(part.otherwise, inside(arms, part.modification.$refText, false));
                }
            }
        };
        read(owner.parts, none);
    }
    return { names, steps, rules, uses };
}

const inside = (arms: readonly Arm[], modification: string, embodied: boolean): readonly Arm[] =>
    modification ? [...arms, { modification, embodied }] : arms;

/** The owner that a node stands in, the sides of `where` around it, and the loops whose names it sees, innermost first. */
export interface Standing {
    readonly owner: Owner | undefined;
    readonly arms: readonly Arm[];
    readonly loops: readonly ForEach[];
}

export function standingOf(start: AstNode): Standing {
    let arms: Arm[] | undefined;
    let loops: ForEach[] | undefined;
    let node: AstNode = start;
    for (;;) {
        const owner = isEquipment(node) || isCard(node) || isSubtask(node) || isExercise(node) ? node : undefined;
        const container = node.$container;
        if (owner || !container) return { owner, arms: arms?.reverse() ?? none, loops: loops ?? [] };
        if (isWhereParts(container) || isWhereCard(container) || isWhereStatements(container)) {
            const modification = container.modification.$refText;
            arms ??= [];
            if (modification) arms.push({ modification, embodied: node.$containerProperty !== 'otherwise' });
        } else if (isForEach(container) && node.$containerProperty === 'body') {
            loops ??= [];
            loops.push(container);
        }
        node = container;
    }
}

/** What a project offers by name to every file of it. */
export interface Offered {
    readonly modifications: Map<string, Declared<Modification>[]>;
    readonly equipments: Map<string, Declared<Equipment>[]>;
    /** Subtasks and cards: what `do` can name. */
    readonly callees: Map<string, Declared<Subtask | Card>[]>;
    readonly exercises: Map<string, Declared<Exercise>[]>;
}

export function readOffered(roots: Iterable<File>): Offered {
    const offered: Offered = {
        modifications: new Map(),
        equipments: new Map(),
        callees: new Map(),
        exercises: new Map(),
    };
    for (const root of roots) {
        for (const node of root.declarations) {
            switch (node.$type) {
                case 'Modification':
                    add(offered.modifications, node.name, node, none);
                    break;
                case 'Equipment':
                    add(offered.equipments, node.name, node, none);
                    break;
                case 'Exercise':
                    add(offered.exercises, node.name, node, none);
                    break;
                default:
                    add(offered.callees, node.name, node, none);
            }
        }
    }
    return offered;
}

/** Looks names up. One for a project; what it computes it keeps. */
export class Scopes {
    private readonly owns = new Map<Owner, Own>();
    private readonly closures = new Map<Owner, readonly Declared<Equipment>[]>();

    constructor(readonly offered: Offered) {}

    own(owner: Owner): Own {
        let own = this.owns.get(owner);
        if (!own) {
            own = readOwn(owner);
            this.owns.set(owner, own);
        }
        return own;
    }

    card(name: string): Card | undefined {
        return this.offered.callees.get(name)?.find(each => isCard(each.node))?.node as Card | undefined;
    }

    /** Every equipment that an owner sees, nearest first; one that uses itself in a ring appears once. */
    equipmentsOf(owner: Owner): readonly Declared<Equipment>[] {
        const known = this.closures.get(owner);
        if (known) return known;
        const seen = new Set<AstNode>([owner]);
        const found: Declared<Equipment>[] = [];
        const queue = [...this.own(owner).uses];
        for (let at = 0; at < queue.length; at++) {
            const use = queue[at];
            const node = use && this.offered.equipments.get(use.name)?.[0]?.node;
            if (!node || seen.has(node)) continue;
            seen.add(node);
            found.push({ name: use.name, node, arms: use.arms });
            for (const next of this.own(node).uses) queue.push({ name: next.name, arms: use.arms });
        }
        this.closures.set(owner, found);
        return found;
    }

    /** Whether everything that an owner uses, directly or not, is there. */
    usesAreKnown(owner: Owner): boolean {
        const all = [owner, ...this.equipmentsOf(owner).map(each => each.node)];
        return all.every(each => this.own(each).uses.every(use => !use.name || this.offered.equipments.has(use.name)));
    }

    /** Everything that a name means for an owner, its own first. One entry a name, unless it stands in several arms or twice. */
    declarationsNamed(owner: Owner, name: string): readonly Declared[] {
        if (isExercise(owner)) {
            const card = this.card(owner.card?.$refText ?? '');
            return card ? this.declarationsNamed(card, name) : [];
        }
        const found = [...(this.own(owner).names.get(name) ?? [])];
        for (const { node, arms } of this.equipmentsOf(owner)) {
            const those = this.own(node).names.get(name);
            if (those)
                found.push(...(arms.length ? those.map(each => ({ ...each, arms: [...arms, ...each.arms] })) : those));
        }
        return found;
    }

    steps(owner: Owner): ReadonlyMap<string, readonly Declared<Step>[]> {
        if (isExercise(owner)) {
            const card = this.card(owner.card?.$refText ?? '');
            return card ? this.steps(card) : new Map();
        }
        return this.own(owner).steps;
    }

    /** What a name means at a place in the text: loop names first, then as `declarationsNamed`. */
    lookup(standing: Standing, name: string): readonly Declared[] {
        for (const loop of standing.loops) {
            const named = loop.names.find(each => each.name === name);
            if (named) return [{ name, node: named, arms: none }];
        }
        return standing.owner ? this.declarationsNamed(standing.owner, name) : [];
    }

    /** Every name that can be seen from a place in the text. */
    *visibleFrom(standing: Standing): Iterable<Declared> {
        for (const loop of standing.loops) for (const node of loop.names) yield { name: node.name, node, arms: none };
        let owner = standing.owner;
        if (owner && isExercise(owner)) owner = this.card(owner.card?.$refText ?? '');
        if (!owner) return;
        for (const declared of this.own(owner).names.values()) yield* declared;
        for (const { node } of this.equipmentsOf(owner))
            for (const declared of this.own(node).names.values()) yield* declared;
    }
}
