import type { AstNode } from 'langium';
import type { Expected, Filled } from '../../../language/grammar/expected.js';
import type { Item, Parameter, Subtask } from '../../../language/grammar/generated/ast.js';
import { isGoes, isPositionsClause, isShows, reflection } from '../../../language/grammar/generated/ast.js';
import { NONE } from '../../../language/machine/machine.js';
import { labelOf } from '../../../language/names/occurrences.js';
import { reach } from '../../../language/paths/places.js';
import { type KindWord, kindOf } from '../../../language/vocabulary/kinds/index.js';
import { unitOf, units } from '../../../language/vocabulary/units.js';
import type { Proposal } from './proposal.js';
import { filledIn, type Situation, vectorHere, visible } from './situation.js';

/** Everything that may come next at a place of a text. */
export function propose(situation: Situation): readonly Proposal[] {
    const { here } = situation;
    if (here.within === 'reference') return names(situation, 'Referable', () => true, 10);
    if (here.within !== 'nothing') return [];
    const found = [
        ...wanted(situation),
        ...here.expected.flatMap(each => {
            switch (each.kind) {
                case 'keyword':
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

/* ---- words of the language ---- */

/** Verbs in the order in which writers need them. */
const verbs =
    'see set tell close pull remove install disconnect connect open read ensure clean torque press measure clear keep go apply tag untag leave'.split(
        ' ',
    );
/** Words that continue a line come before those that begin the next. */
const continuing = new Set(
    'is to within for after else and record in at from with of rated wire grid positions normal when otherwise carries wets torque uses range part quantity because require'.split(
        ' ',
    ),
);

function keyword(
    situation: Situation,
    { word: text, type, filled }: Extract<Expected, { kind: 'keyword' }>,
): Proposal[] {
    if (!/^[a-z]/.test(text))
        return text === '{' ? [{ text, kind: 'keyword', detail: 'opens the block', rank: 35 }] : [];
    const verb = verbs.indexOf(text);
    const isVerb =
        verb >= 0 &&
        [
            'Operate',
            'Install',
            'SetTo',
            'Press',
            'Ensure',
            'Clear',
            'GoTo',
            'Tell',
            'Torque',
            'Keep',
            'See',
            'Read',
            'Measure',
        ].includes(type);
    if (isVerb) return [{ text, kind: 'verb', detail: '', rank: 20 + verbRank(situation, text, verb) }];
    // Words that no card should hold: what the grammar reads only to say that it is wrong.
    if (type === 'UnknownAction' || text === 'meanwhile') return [];
    const isKind = type === 'Item';
    return [
        {
            text,
            kind: 'keyword',
            detail: '',
            rank: continuing.has(text) ? 30 : isKind ? 50 + kindRank(situation, text, filled) : 40,
        },
    ];
}

/** What this role can do something with, here, comes before what it cannot. */
function verbRank(situation: Situation, text: string, order: number): number {
    const { card, last, here } = situation;
    const role = actorOf(here.expected[0]?.filled);
    if (!card || !last || role === undefined) return order / 100;
    const { machine, plan, paths } = card;
    const state = paths.at[last.id];
    const index = plan.roles.findIndex(each => each.name === role);
    if (!state || index < 0) return order / 100;
    const fits = machine.items.some(
        item =>
            kindOf(item.kind).verbs.some(each => each.word === text) &&
            (item.place === NONE || reach(machine, state, index, item.place).ok),
    );
    const needsItem = !['see', 'tell', 'read', 'clear', 'go', 'measure', 'keep', 'ensure', 'torque', 'leave'].includes(
        text,
    );
    return order / 100 + (fits || !needsItem ? 0 : 1);
}

/** Kinds that the equipment has already are likely to come again. */
function kindRank({ project, standing }: Situation, text: string, _filled: Filled | undefined): number {
    const count = [...project.scopes.visibleFrom(standing)].filter(
        each => (each.node as Item).$type === 'Item' && (each.node as Item).kind === text,
    ).length;
    return 1 / (1 + count);
}

const actorOf = (filled: Filled | undefined): string | undefined => filledIn(filled, 'Act', 'actor')?.word;

/* ---- names ---- */

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

function names(
    situation: Situation,
    type: string,
    test: (node: AstNode) => boolean,
    rank: number,
    more: (name: string, node: AstNode) => number = () => 0,
): Proposal[] {
    return visible(situation)
        .filter(each => reflection.isSubtype(each.node.$type, type) && test(each.node))
        .map(({ name: text, node }, n) => ({
            text,
            kind: 'name' as const,
            detail: [kindSaid(node), labelOf(node)].filter(Boolean).join(' '),
            rank: rank + more(text, node) + n / 10_000,
        }));
}

const kindSaid = (node: AstNode): string => (node as { kind?: string }).kind ?? node.$type.toLowerCase();

/** Whether what is to be done can be done with something of its kind. */
function fits(node: AstNode, type: string, filled: Filled | undefined): boolean {
    const { kind } = node as Item | Parameter;
    if (node.$type === 'LoopName') return true;
    if (kind === 'role' || kind === 'tool' || kind === 'position') return false;
    const known = kindOf(kind as KindWord);
    const does = (...words: readonly string[]): boolean => known.verbs.some(each => words.includes(each.word));
    switch (type) {
        case 'SetTo':
            return does('set');
        case 'Press':
            return does('press');
        case 'Keep':
            return does('set', 'press');
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
        case 'KeepRule':
            return does('set', 'press');
        default:
            return true;
    }
}

/** What the role reaches here, and what the act would change, comes first. */
function itemRank(situation: Situation, type: string, filled: Filled | undefined): (name: string) => number {
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

function actors(situation: Situation, { isActor }: Extract<Expected, { kind: 'reference' }>): Proposal[] {
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

function callees(situation: Situation): Proposal[] {
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

/* ---- states, units, texts ---- */

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
        default:
            return [];
    }
}

/** By type of node, the property that names the thing whose states are due. */
function states(situation: Situation, type: string, filled: Filled | undefined): Proposal[] {
    if (type === 'PositionsClause') return [];
    const own = ['Goes', 'Shows', 'NormalClause'].includes(type);
    const name = own ? filledIn(filled, 'Item', 'name')?.word : filledIn(filled, type, 'item')?.word;
    if (name === undefined) return [];
    const written = own ? statesWritten(filled) : [];
    const node = visible(situation).find(each => each.name === name)?.node as Item | Parameter | undefined;
    const { card } = situation;
    const index = card?.machine.itemIndex[name];
    const item = index === undefined ? undefined : card?.machine.items[index];
    const known = written.length > 0 ? written : item ? item.states : node?.kind ? statesOfNode(node) : [];
    const vector = vectorHere(situation);
    const now = item && vector ? item.states[vector[item.slot] ?? NONE] : undefined;
    const presence = item && item.presence !== NONE && item.presence !== item.slot ? ['INSTALLED', 'REMOVED'] : [];
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

/** What a subtask asks for at this place of its call. */
function argument(situation: Situation, filled: Filled | undefined): Proposal[] {
    const before: string[] = [];
    let callee: string | undefined;
    for (let each = filled; each && callee === undefined; each = each.before) {
        if (each.type === 'Argument') before.push(each.word);
        else if (each.type === 'Do' && each.property === 'callee') callee = each.word;
        else if (each.type === 'LoopName' || each.type === 'ForEach') return names(situation, 'Item', () => true, 10);
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

function positions(situation: Situation): Proposal[] {
    const all = visible(situation).flatMap(({ node }) => (node.$type === 'Item' ? statesOfNode(node) : []));
    return [...new Set(all)].map(text => ({ text, kind: 'state', detail: '', rank: 10 }));
}

/** Dimensions of figures by where they stand, and the unit that writers use most there. */
const dimensions: Readonly<Record<string, readonly string[]>> = {
    'Wait.time': ['s', 'min', 'h'],
    'Timing.within': ['s', 'min', 'h'],
    'Timing.for': ['s', 'min', 'h'],
    'Timing.after': ['s', 'min', 'h'],
    'Press.time': ['s', 'min'],
    'Keep.atMost': ['s', 'min'],
    'KeepRule.atMost': ['s', 'min', 'h'],
    'KeepRule.rest': ['s', 'min', 'h'],
    'KeepRule.longRest': ['s', 'min', 'h'],
    'Step.takes': ['min', 'h', 's'],
    'Goes.time': ['s', 'min', 'h'],
    'ItemCondition.atLeast': ['s', 'min', 'h'],
    'Setting.atLeast': ['s', 'min', 'h'],
    'RatedClause.quantity': ['A'],
    'WireClause.quantity': ['AWG'],
    'Torque.extension': ['in', 'mm'],
    'TorqueClause.limits': ['N·m', 'lbf·in', 'lbf·ft'],
    'Torque.limits': ['N·m', 'lbf·in', 'lbf·ft'],
    'Tool.range': ['N·m', 'lbf·in', 'lbf·ft'],
};

function unitsDue(situation: Situation, { outer, filled }: Extract<Expected, { kind: 'word' }>): Proposal[] {
    const due = dimensions[outer] ?? [];
    const same = due.length > 0 ? [] : unitsOfThing(situation, outer, filled);
    const first = [...due, ...same];
    const dimension = unitOf(first[0] ?? '')?.dimension;
    const others = units.map(each => each.symbol).filter(each => !first.includes(each));
    return [...first, ...others].map((text, n) => ({
        text,
        kind: 'unit',
        detail: unitOf(text)?.dimension ?? '',
        rank: (n < first.length ? 8 : unitOf(text)?.dimension === dimension ? 9 : 30) + n / 1000,
    }));
}

/** The unit in which the thing itself is given. */
function unitsOfThing(situation: Situation, outer: string, filled: Filled | undefined): string[] {
    const type = outer.split('.')[0] ?? '';
    const name = filledIn(filled, type, 'item')?.word;
    const node = visible(situation).find(each => each.name === name)?.node;
    const text = node?.$cstNode?.text ?? '';
    return [...new Set(text.match(/(?<=\d )[A-Za-z°%·]+/g) ?? [])].filter(each => unitOf(each));
}

/* ---- what a rule wants ---- */

/** Acts that a finding just behind this place asks for, by the role that is about to act: the line of its fix. */
function wanted(situation: Situation): Proposal[] {
    const { at, here, findings, offset } = situation;
    const text = at.document.getText();
    const role = here.expected.some(each => each.kind === 'keyword' && each.type === 'See')
        ? actorOf(here.expected[0]?.filled)
        : undefined;
    const isStart = here.expected.some(each => each.kind === 'reference' && each.isActor);
    if (role === undefined && !isStart) return [];
    return findings.flatMap(finding => {
        const edit = finding.fixes[0]?.edits[0];
        if (
            !edit ||
            edit.span.file !== at.path ||
            edit.span.offset !== edit.span.end ||
            edit.span.offset < offset - 200
        )
            return [];
        // Only what belongs exactly here: nothing stands between this line and the place of the fix.
        const end = text.indexOf('\n', offset);
        const between = text.slice(end < 0 ? text.length : end, Math.max(end, edit.span.offset));
        if (between.trim() !== '' || edit.span.offset < text.lastIndexOf('\n', offset - 1)) return [];
        const line = edit.newText.trim().split('\n')[0]?.trim() ?? '';
        const [, actor = '', act = ''] = /^([\w-]+): (.+)$/.exec(line) ?? [];
        if (!act || (role !== undefined && actor !== role)) return [];
        return [
            {
                text: role === undefined ? line : act,
                kind: 'act' as const,
                detail: finding.message,
                rank: 0,
            },
        ];
    });
}
