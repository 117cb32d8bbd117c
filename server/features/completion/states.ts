import { modesOf } from '../../../language/failures/which.js';
import type { Filled } from '../../../language/grammar/expected.js';
import type { Item, Parameter } from '../../../language/grammar/generated/ast.js';
import { isGoes, isPositionsClause, isShows } from '../../../language/grammar/generated/ast.js';
import { NONE } from '../../../language/machine/machine.js';
import { type KindWord, kindOf } from '../../../language/vocabulary/kinds/index.js';
import type { Proposal } from './proposal.js';
import { filledIn, meant, type Situation, vectorHere, visible } from './situation.js';

/** By type of node, the property that names the thing whose states are due. */
export function states(situation: Situation, type: string, filled: Filled | undefined): Proposal[] {
    if (type === 'PositionsClause') return [];
    const own = ['Goes', 'Shows', 'NormalClause'].includes(type);
    const name = own ? filledIn(filled, 'Item', 'name')?.word : filledIn(filled, type, 'item')?.word;
    if (name === undefined) return [];
    const written = own ? statesWritten(filled) : [];
    const node = meant(situation, name) as Item | Parameter | undefined;
    const { card } = situation;
    const index = card?.machine.itemIndex[node && 'name' in node ? node.name : name];
    const item = index === undefined ? undefined : card?.machine.items[index];
    if (type === 'FailurePart' && card && index !== undefined)
        return modesOf(card.machine, index).map(({ mode, word, label }, n) => ({
            text: mode === 'OWN' ? `"${word}"` : word,
            kind: 'state',
            detail: label,
            rank: 10 + n / 100,
        }));
    const known = written.length > 0 ? written : item ? item.states : node?.kind ? statesOfNode(node) : [];
    const vector = vectorHere(situation);
    const now = item && vector ? item.states[vector[item.slot] ?? NONE] : undefined;
    // What is worked by hand in its place is not spoken of as removed, though it can be.
    const isWorked = item !== undefined && kindOf(item.kind).tags;
    const presence =
        item && !isWorked && item.presence !== NONE && item.presence !== item.slot ? ['INSTALLED', 'REMOVED'] : [];
    return [...known, ...presence].map((text, n) => ({
        text,
        kind: 'state',
        detail: text === now ? 'so here' : '',
        // A look is for what is so; an act is for what is not.
        rank: 10 + n / 100 + ((type === 'See' || type === 'If') === (text === now) ? 0 : 0.5),
    }));
}

/** Positions and states that the item has in the text that stands before. */
function statesWritten(filled: Filled | undefined): string[] {
    const found: string[] = [];
    let kind: string | undefined;
    for (let each = filled; each; each = each.before) {
        if (each.type === 'PositionsClause' || (each.type === 'Shows' && each.property === 'state'))
            found.push(each.word);
        if (each.type === 'Item' && each.property === 'kind') {
            kind = each.word;
            break;
        }
    }
    const own = kind === undefined ? undefined : kindOf(kind as KindWord).states;
    return [...new Set([...found.reverse(), ...(Array.isArray(own) ? own : [])])];
}

function statesOfNode(node: Item | Parameter): readonly string[] {
    const written: string[] = [];
    if (node.$type === 'Item') {
        for (const each of node.clauses) if (isPositionsClause(each)) written.push(...each.states);
        for (const each of node.members) if ((isShows(each) || isGoes(each)) && each.state) written.push(each.state);
    }
    const ofKind = kindOf(node.kind as KindWord)?.states;
    return [...new Set([...written, ...(Array.isArray(ofKind) ? ofKind : [])])];
}
/** Positions of everything in sight. */
export function positions(situation: Situation): Proposal[] {
    const all = visible(situation).flatMap(({ node }) => (node.$type === 'Item' ? statesOfNode(node) : []));
    return [...new Set(all)].map(text => ({ text, kind: 'state', detail: '', rank: 10 }));
}
