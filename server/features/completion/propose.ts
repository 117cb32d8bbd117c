import type { AstNode } from 'langium';
import { checks } from '../../../language/checks/index.js';
import type { Expected } from '../../../language/grammar/expected.js';
import { labelOf } from '../../../language/names/occurrences.js';
import { argument, callees } from './calls.js';
import { keyword } from './keywords.js';
import { actors, fits, itemRank, names } from './names.js';
import type { Proposal } from './proposal.js';
import type { Situation } from './situation.js';
import { states } from './states.js';
import { unitsDue } from './units.js';
import { wanted } from './wanted.js';

/** Everything that may come next at a place of a text. */
export function propose(situation: Situation): readonly Proposal[] {
    const { here } = situation;
    if (here.within === 'reference')
        return names(
            situation,
            'Referable',
            () => true,
            10,
            (_, node) => (node.$type === 'Role' ? 1 : 0),
        );
    if (here.within !== 'nothing') return [];
    const found = [
        ...wanted(situation),
        ...here.expected.flatMap(each => {
            switch (each.kind) {
                case 'keyword':
                    // "in" is an inch where a unit is due, and comes with the units.
                    if (each.word === 'in' && here.expected.some(other => 'rule' in other && other.rule === 'Unit'))
                        return [];
                    return keyword(situation, each);
                case 'reference':
                    return reference(situation, each);
                default:
                    return word(situation, each);
            }
        }),
    ];
    const best = new Map<string, Proposal>();
    for (const each of found) {
        const known = best.get(each.text);
        if (!known || each.rank < known.rank) best.set(each.text, each);
    }
    return [...best.values()].sort((one, two) => one.rank - two.rank);
}

function reference(situation: Situation, expected: Extract<Expected, { kind: 'reference' }>): Proposal[] {
    const { to, type, filled } = expected;
    const { project, standing, at } = situation;
    const { offered } = project.scopes;
    switch (to) {
        case 'Modification':
            return declared(offered.modifications, 10);
        case 'Equipment':
            return declared(offered.equipments, 10).filter(each => each.text !== standing.owner?.name);
        case 'Card':
            return [...declared(offered.callees, 10)].filter(
                each => each.kind === 'name' && each.text !== standing.owner?.name,
            );
        case 'Callee':
            return callees(situation);
        case 'Step': {
            const owner = standing.owner;
            return owner
                ? [...project.scopes.steps(owner).keys()].map(text => ({ text, kind: 'name', detail: '', rank: 10 }))
                : [];
        }
        case 'Actor':
            return actors(situation, expected);
        case 'Operand':
        case 'Item':
            return names(situation, to, node => fits(node, type, filled), 10, itemRank(situation, type, filled));
        default:
            return names(situation, to, () => true, 10);
    }
    function declared(table: ReadonlyMap<string, readonly { readonly node: AstNode }[]>, rank: number): Proposal[] {
        // What is declared in the same folder is nearer.
        const folder = at.path.slice(0, at.path.lastIndexOf('/') + 1);
        return [...table].flatMap(([text, [first]]) => {
            if (!first) return [];
            const near = project.fileOf(first.node).path.startsWith(folder) ? 0 : 1;
            return [{ text, kind: 'name' as const, detail: labelOf(first.node), rank: rank + near }];
        });
    }
}

function word(situation: Situation, expected: Extract<Expected, { kind: 'word' }>): Proposal[] {
    const { rule, type, property, filled } = expected;
    switch (rule) {
        case 'StateName':
            return type === 'Argument' ? argument(situation, filled) : states(situation, type, filled);
        case 'Unit':
            return unitsDue(situation, expected);
        case 'STRING':
            return type === 'Text' || property !== ''
                ? [{ text: '""', snippet: '"$0"', kind: 'text', detail: '', rank: 45 }]
                : [];
        case 'NAME':
            return property === 'code'
                ? checks.map(each => ({ text: each.code, kind: 'name', detail: each.title, rank: 10 }))
                : [];
        default:
            return [];
    }
}
