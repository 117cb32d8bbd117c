/** What a card comes to: the equipments it uses, the subtasks and cards it does, and with which modifications. */
import type { AstNode } from 'langium';
import {
    type AfterPart,
    type Card,
    type Do,
    type Equipment,
    isCard,
    isSubtask,
    type Subtask,
} from '../grammar/generated/ast.js';
import type { ParsedProject } from './project.js';
import { type Aircraft, type Arm, compatible, type Owner, standingOf } from './scope.js';
import { nodesOf } from './survey.js';

export interface Reached {
    readonly owner: Card | Subtask | Equipment;
    /** The sides of `where` that lead there. */
    readonly arms: readonly Arm[];
}

/** Ways to reach things, beyond which a card is not followed further. Only a maze of `where` has so many. */
const mostWays = 4000;

interface Uses {
    readonly calls: ReadonlyMap<Owner, readonly { readonly node: Do; readonly arms: readonly Arm[] }[]>;
    readonly after: ReadonlyMap<Owner, readonly AfterPart[]>;
    readonly modifications: ReadonlyMap<Owner, ReadonlySet<string>>;
}

const kept = new WeakMap<ParsedProject['scopes'], Uses>();

/** Read once for a project: who does what, and who speaks of which modification. */
function usesOf(project: ParsedProject): Uses {
    const known = kept.get(project.scopes);
    if (known) return known;
    const calls = new Map<Owner, { node: Do; arms: readonly Arm[] }[]>();
    const after = new Map<Owner, AfterPart[]>();
    const modifications = new Map<Owner, Set<string>>();
    for (const { root } of project.files) {
        for (const node of nodesOf(root, 'Do')) {
            const { owner, arms } = standingOf(node);
            if (owner) push(calls, owner, { node, arms });
        }
        for (const node of nodesOf(root, 'AfterPart')) {
            const { owner } = standingOf(node);
            if (owner) push(after, owner, node);
        }
        for (const type of ['WhereParts', 'WhereCard', 'WhereStatements'] as const) {
            for (const node of nodesOf(root, type)) {
                const { owner } = standingOf(node);
                if (!owner || !node.modification.ref) continue;
                const names = modifications.get(owner) ?? new Set();
                modifications.set(owner, names.add(node.modification.$refText));
            }
        }
    }
    const uses: Uses = { calls, after, modifications };
    kept.set(project.scopes, uses);
    return uses;
}

function push<K, V>(map: Map<K, V[]>, key: K, value: V): void {
    const list = map.get(key);
    if (list) list.push(value);
    else map.set(key, [value]);
}

export function callsOf(
    project: ParsedProject,
    owner: Owner,
): readonly { readonly node: Do; readonly arms: readonly Arm[] }[] {
    return usesOf(project).calls.get(owner) ?? [];
}

export function afterOf(project: ParsedProject, owner: Owner): readonly AfterPart[] {
    return usesOf(project).after.get(owner) ?? [];
}

/** The card itself first. A thing that is reached in several arms stands there once for each. */
export function reachedFrom(project: ParsedProject, card: Card): readonly Reached[] {
    const found: Reached[] = [];
    const seen = new Map<AstNode, Set<string>>();
    const reach = (owner: Reached['owner'], arms: readonly Arm[]): void => {
        const plain = simplified(arms);
        if (!plain || found.length >= mostWays) return;
        const key = plain.map(arm => `${arm.embodied ? '+' : '-'}${arm.modification}`).join(' ');
        const ways = seen.get(owner) ?? new Set();
        if (ways.has(key) || ways.has('')) return;
        seen.set(owner, ways.add(key));
        found.push({ owner, arms: plain });
    };
    reach(card, []);
    for (let at = 0; at < found.length; at++) {
        const { owner, arms } = found[at] as Reached;
        if (!isCard(owner) && !isSubtask(owner)) continue;
        for (const used of project.scopes.equipmentsOf(owner)) reach(used.node, [...arms, ...used.arms]);
        for (const call of callsOf(project, owner)) {
            const callee = call.node.callee.ref;
            if (callee) reach(callee, [...arms, ...call.arms]);
        }
    }
    return found;
}

/** Each modification once, in order of name; nothing where no aircraft is on both sides. */
function simplified(arms: readonly Arm[]): readonly Arm[] | undefined {
    if (arms.length === 0) return arms;
    if (!compatible(arms, arms)) return undefined;
    const byName = new Map(arms.map(arm => [arm.modification, arm]));
    return [...byName.values()].sort((left, right) => (left.modification < right.modification ? -1 : 1));
}

/** The modifications that make a difference to a card, in the order in which the project declares them. */
export function modificationsOf(project: ParsedProject, card: Card): readonly string[] {
    const { modifications } = usesOf(project);
    const names = new Set<string>();
    for (const { owner, arms } of reachedFrom(project, card)) {
        for (const arm of arms) names.add(arm.modification);
        for (const name of modifications.get(owner) ?? []) names.add(name);
    }
    return [...project.scopes.offered.modifications.keys()].filter(name => names.has(name));
}

/** Variants of the aircraft for which one card is judged. */
export const mostVariants = 16;

/**
 * The aircraft with and without each modification that the card mentions, but for combinations that cannot be (`after`,
 * `not with`); the one with none first. Undefined where there are more than `most`.
 */
export function variantsOf(project: ParsedProject, card: Card, most = mostVariants): readonly Aircraft[] | undefined {
    return combinationsOf(project, modificationsOf(project, card), most);
}

/** The modifications that `where`s in these speak of, in the order in which the project declares them. */
export function mentionedBy(project: ParsedProject, owners: readonly Owner[]): readonly string[] {
    const { modifications } = usesOf(project);
    const names = new Set(owners.flatMap(owner => [...(modifications.get(owner) ?? [])]));
    return [...project.scopes.offered.modifications.keys()].filter(name => names.has(name));
}

/** Every combination of these that can be, the one with none first; undefined where there are more than `most`. */
export function combinationsOf(
    project: ParsedProject,
    mentioned: readonly string[],
    most: number,
): readonly Aircraft[] | undefined {
    const needs = new Map(mentioned.map(name => [name, neededBy(project, name)]));
    // What a modification needs is decided before it, so that no choice is ever taken back.
    const order = [...mentioned].sort((left, right) => (needs.get(left)?.size ?? 0) - (needs.get(right)?.size ?? 0));
    const found: Aircraft[] = [];
    const choose = (index: number, chosen: readonly string[]): boolean => {
        const name = order[index];
        if (name === undefined) return found.push(new Set(mentioned.filter(each => chosen.includes(each)))) <= most;
        if (!choose(index + 1, chosen)) return false;
        return !canHave(project, name, chosen, needs, mentioned) || choose(index + 1, [...chosen, name]);
    };
    return choose(0, []) ? found : undefined;
}

function canHave(
    project: ParsedProject,
    name: string,
    chosen: readonly string[],
    needs: ReadonlyMap<string, ReadonlySet<string>>,
    mentioned: readonly string[],
): boolean {
    const all = new Set([name, ...(needs.get(name) ?? [])]);
    // Needs itself, in a ring: no aircraft ever has it.
    if (needs.get(name)?.has(name)) return false;
    for (const each of needs.get(name) ?? []) if (mentioned.includes(each) && !chosen.includes(each)) return false;
    for (const each of chosen) for (const one of [each, ...(needs.get(each) ?? [])]) all.add(one);
    for (const one of all) for (const other of excluded(project, one)) if (all.has(other)) return false;
    return true;
}

/** Everything that comes before a modification, by `after`, however far back. */
function neededBy(project: ParsedProject, name: string): ReadonlySet<string> {
    const found = new Set<string>();
    const queue = [name];
    for (const each of queue) {
        for (const { $refText } of project.scopes.offered.modifications.get(each)?.[0]?.node.after ?? []) {
            if (!$refText || found.has($refText)) continue;
            found.add($refText);
            queue.push($refText);
        }
    }
    return found;
}

const excluded = (project: ParsedProject, name: string): readonly string[] =>
    (project.scopes.offered.modifications.get(name)?.[0]?.node.notWith ?? []).map(each => each.$refText);
