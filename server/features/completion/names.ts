import type { AstNode } from 'langium';
import type { Expected, Filled } from '../../../language/grammar/expected.js';
import type { Item, Parameter } from '../../../language/grammar/generated/ast.js';
import { reflection } from '../../../language/grammar/generated/ast.js';
import { NONE } from '../../../language/machine/machine.js';
import { labelOf } from '../../../language/names/occurrences.js';
import { reach } from '../../../language/paths/places.js';
import { type KindWord, kindOf } from '../../../language/vocabulary/kinds/index.js';
import { nearness } from './nearness.js';
import type { Proposal } from './proposal.js';
import { actorOf, filledIn, type Situation, vectorHere, visible } from './situation.js';

/** Names of what may stand here, the likeliest first. `more` is added to the rank. */
export function names(
    situation: Situation,
    type: string,
    test: (node: AstNode) => boolean,
    rank: number,
    more: (name: string, node: AstNode) => number = () => 0,
): Proposal[] {
    const near = nearness(situation);
    return visible(situation)
        .filter(each => reflection.isSubtype(each.node.$type, type) && test(each.node))
        .map(({ name: text, node }) => ({
            text,
            kind: 'name' as const,
            detail: [kindSaid(node), labelOf(node)].filter(Boolean).join(' '),
            rank: rank + more(text, node) + near(text),
        }));
}

const kindSaid = (node: AstNode): string => (node as { kind?: string }).kind ?? node.$type.toLowerCase();

/** Whether what is to be done can be done with something of its kind. */
export function fits(node: AstNode, type: string, filled: Filled | undefined): boolean {
    const { kind } = node as Item | Parameter;
    if (node.$type === 'LoopName') return true;
    if (kind === 'role' || kind === 'tool' || kind === 'position') return false;
    const known = kindOf(kind as KindWord);
    const does = (...words: readonly string[]): boolean => known.verbs.some(each => words.includes(each.word));
    switch (type) {
        case 'SetTo':
            return kind === 'control';
        case 'Press':
            return kind === 'button';
        case 'Keep':
            return kind === 'control' || kind === 'button';
        case 'Install':
            return does('install') || known.physical;
        case 'Ensure':
            return known.verbs.length > 0;
        case 'Operate': {
            const verb = filledIn(filled, 'Operate', 'verb')?.word ?? '';
            if (verb === 'tag' || verb === 'untag') return known.tags;
            return does(verb) || (verb === 'remove' && known.physical);
        }
        case 'See':
        case 'If':
            return known.seen;
        case 'Read':
            return kind === 'gauge';
        case 'Torque':
            return known.physical;
        case 'CarriesClause':
            return kind === 'source';
        case 'WetsClause':
            return kind === 'area';
        case 'InClause':
            return kind === 'unit';
        case 'FromClause':
            return known.bare !== undefined || kind === 'breaker' || kind === 'source';
        case 'Step':
        case 'TestRule':
            // What a test proves is what was worked on, not what tells of it or feeds it.
            return !known.tags && !['gauge', 'light', 'horn', 'mark', 'source'].includes(kind);
        case 'Setting':
            return kind === 'control' || does('pull', 'open', 'connect', 'remove', 'install', 'apply');
        case 'MovesTrigger':
            return known.nature === 'moved' || known.nature === 'shown';
        case 'VerbTrigger': {
            const verb = filledIn(filled, 'VerbTrigger', 'verb')?.word ?? '';
            if (verb === 'set') return kind === 'control';
            if (verb === 'press') return kind === 'button';
            return does(verb) || known.physical;
        }
        case 'KeepRule':
            return kind === 'control' || kind === 'button';
        default:
            return true;
    }
}

/** What the role reaches here, and what the act would change, comes first. */
export function itemRank(situation: Situation, type: string, filled: Filled | undefined): (name: string) => number {
    const { card, last } = situation;
    if (!card || !last) return () => 0;
    const { machine, plan, paths } = card;
    const state = paths.at[last.id];
    const role = plan.roles.findIndex(each => each.name === actorOf(filled));
    const vector = vectorHere(situation);
    const verb = filledIn(filled, type, 'verb')?.word ?? (type === 'Install' ? 'install' : '');
    const near = new Set(plan.steps[last.step]?.of ?? []);
    // What the line before spoke of is likely to come again.
    const recent = new Map<number, number>();
    for (const [n, each] of plan.events.slice(0, last.id + 1).entries())
        if (each.item !== NONE) recent.set(each.item, n);
    return name => {
        const index = machine.itemIndex[name];
        const item = index === undefined ? undefined : machine.items[index];
        if (!item || index === undefined) return 1;
        const away = state && role >= 0 && item.place !== NONE && !reach(machine, state, role, item.place).ok ? 2 : 0;
        const to = kindOf(item.kind).verbs.find(each => each.word === verb)?.to;
        const slot = (verb === 'remove' || verb === 'install') && item.presence !== NONE ? item.presence : item.slot;
        const names = machine.slots[slot]?.states ?? [];
        const is = to !== undefined && vector ? names[vector[slot] ?? NONE] === to : false;
        const age = recent.has(index) ? (last.id - (recent.get(index) ?? 0)) / (last.id + 1) : 1;
        return away + (is ? 1 : 0) + (near.has(index) ? -0.3 : 0) + age * 0.5;
    };
}

/** Roles, whoever acted last first. */
export function actors(situation: Situation, { isActor }: Extract<Expected, { kind: 'reference' }>): Proposal[] {
    const previous = actorBefore(situation);
    const found = visible(situation).filter(
        ({ node }) =>
            node.$type === 'Role' || (node.$type === 'Parameter' && node.kind === 'role') || node.$type === 'LoopName',
    );
    return found.map(({ name, node }) => ({
        text: isActor ? `${name}: ` : name,
        kind: 'role',
        detail: labelOf(node),
        // Whoever acted last is likely to go on.
        rank: name === previous ? 5 : 6,
    }));
}

function actorBefore({ here, last, card }: Situation): string | undefined {
    const written = here.expected.map(each => actorOf(each.filled)).find(Boolean);
    return written ?? (last && card ? card.plan.roles[last.role]?.name : undefined);
}
