import type { Filled } from '../../../language/grammar/expected.js';
import type { Item, Parameter, Subtask } from '../../../language/grammar/generated/ast.js';
import { labelOf } from '../../../language/names/occurrences.js';
import { names } from './names.js';
import type { Proposal } from './proposal.js';
import type { Situation } from './situation.js';
import { positions } from './states.js';

/** Subtasks and cards that can be done here; a subtask with places for what it asks for. */
export function callees(situation: Situation): Proposal[] {
    const { project, standing, at } = situation;
    const folder = at.path.slice(0, at.path.lastIndexOf('/') + 1);
    return [...project.scopes.offered.callees].flatMap(([text, [first]]): Proposal[] => {
        if (!first || text === standing.owner?.name) return [];
        const near = project.fileOf(first.node).path.startsWith(folder) ? 0 : 1;
        const isSubtask = first.node.$type === 'Subtask';
        const { parameters = [] } = first.node as Partial<Subtask>;
        const places = parameters.map((each, n) => `\${${n + 1}:${each.name}}`).join(', ');
        return [
            {
                text,
                ...(isSubtask && parameters.length > 0 ? { snippet: `${text}(${places})` } : {}),
                kind: 'call',
                detail: labelOf(first.node),
                rank: 10 + near + (isSubtask ? 0 : 0.5),
            },
        ];
    });
}

/** What a subtask asks for at this place of its call. */
export function argument(situation: Situation, filled: Filled | undefined): Proposal[] {
    const before: string[] = [];
    let callee: string | undefined;
    for (let each = filled; each && callee === undefined; each = each.before) {
        if (each.type === 'Argument') before.push(each.word);
        else if (each.type === 'Do' && each.property === 'callee') callee = each.word;
        else if (each.type === 'LoopName' || each.type === 'ForEach')
            return names(situation, 'Referable', node => node.$type !== 'Place', 10);
        else break;
    }
    const subtask = callee === undefined ? undefined : situation.project.scopes.offered.callees.get(callee)?.[0]?.node;
    const parameter = (subtask as Subtask | undefined)?.parameters?.[before.length];
    if (!parameter) return names(situation, 'Item', () => true, 10);
    if (parameter.kind === 'position') return positions(situation);
    const type = parameter.kind === 'role' ? 'Role' : parameter.kind === 'tool' ? 'Tool' : 'Item';
    const used = new Set(before);
    return [
        ...names(
            situation,
            type,
            node => type !== 'Item' || (node as Item).kind === parameter.kind,
            10,
            name => (used.has(name) ? 1 : name === parameter.name ? -1 : 0),
        ),
        ...names(situation, 'Parameter', node => (node as Parameter).kind === parameter.kind, 10),
        ...names(situation, 'LoopName', () => true, 12),
    ];
}
