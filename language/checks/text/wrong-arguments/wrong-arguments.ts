import { type AstNode, AstUtils, type Reference } from 'langium';
import type { Finding } from '../../../findings/finding.js';
import {
    type Argument,
    type Card,
    type Do,
    isCard,
    isItem,
    isLoopName,
    isParameter,
    isRole,
    isSubtask,
    type Parameter,
} from '../../../grammar/generated/ast.js';
import { type Binding, instancesOf, withRows } from '../../../names/bindings.js';
import { type Meaning, meaningsOf, meaningsOfArgument } from '../../../names/meaning.js';
import type { ParsedProject } from '../../../names/project.js';
import { standingOf } from '../../../names/scope.js';
import { kindOf } from '../../../vocabulary/kinds/index.js';
import type { Check } from '../../check.js';
import { article, error, every, list, spanOfProperty, titled } from '../shared.js';
import { type StateUse, statesNamed, stateUses } from '../states.js';

export const wrongArguments: Check = {
    code: 'wrong-arguments',
    family: 'text',
    severity: 'error',
    title: 'Too few, too many or the wrong things handed to a subtask, a loop or a clause',
    ofText: project => [
        ...ofCalls(project),
        ...ofLoops(project),
        ...ofNames(project),
        ...ofClauses(project),
        ...ofInsides(project),
        ...ofRepeats(project),
        ...ofPositions(project),
    ],
};

const code = 'wrong-arguments';

function* ofCalls(project: ParsedProject): Iterable<Finding> {
    for (const call of every(project, 'Do')) {
        const callee = call.callee.ref;
        if (!callee) continue;
        const span = project.spanOf(call);
        if (isCard(callee)) {
            if (call.args.length)
                yield error(code, call, span, `${callee.name} is a card: nothing is handed to it.`, {
                    about: [callee.name],
                });
            yield* ofRoles(project, call, callee);
            continue;
        }
        if (!isSubtask(callee)) continue;
        const due = callee.parameters;
        const related = [{ span: project.spanOf(callee), message: `${callee.name} is declared here` }];
        if (call.args.length !== due.length) {
            const wants = due.length
                ? `${count(due.length)}: ${list(due.map(each => `${article(each.kind)} "${each.name}"`))}`
                : 'nothing';
            const message = `${callee.name} wants ${wants}. Here stand ${call.args.length || 'none'}.`;
            yield error(code, call, span, message, { about: [callee.name], related });
        }
        for (const [index, argument] of call.args.entries()) {
            const parameter = due[index];
            if (parameter) yield* fits(project, argument, parameter, callee.name);
        }
    }
}

/** Roles match by name: whoever acts in the card done must be in the card that does it. */
function* ofRoles(project: ParsedProject, call: Do, callee: Card): Iterable<Finding> {
    const card = AstUtils.getContainerOfType(call, isCard);
    if (!card || card === callee) return;
    const own = new Set(
        AstUtils.streamAllContents(card)
            .filter(isRole)
            .map(each => each.name),
    );
    const acting = AstUtils.streamAllContents(callee)
        .filter(each => !isRole(each))
        .flatMap(each =>
            AstUtils.streamReferences(each).map(({ reference }) => ('ref' in reference ? reference.ref : undefined)),
        )
        .filter(isRole)
        .filter(each => AstUtils.getContainerOfType(each, isCard) === callee);
    for (const role of new Map([...acting].map(each => [each.name, each])).values()) {
        if (own.has(role.name)) continue;
        yield error(
            code,
            call,
            project.spanOf(call),
            `${callee.name} is done by "${role.name}" too, and this card has no role of that name. Declare one.`,
            {
                about: [callee.name, role.name],
                related: [{ span: project.spanOf(role), message: `${role.name} is declared here` }],
            },
        );
    }
}

const count = (number: number) => (number === 1 ? 'one thing' : `${number} things`);

function* fits(project: ParsedProject, argument: Argument, parameter: Parameter, callee: string): Iterable<Finding> {
    if (!argument.name || !parameter.kind || parameter.kind === 'position') return;
    for (const meaning of meaningsOfArgument(project, argument)) {
        if (!meaning.word || meaning.word === parameter.kind) continue;
        const span = project.spanOf(argument);
        const about = [argument.name];
        // A name that nothing has: unknown-name says so.
        if (meaning.isUnknown) continue;
        const what = meaning.item ? titled(meaning.item) : argument.name;
        const message = `${what} is ${article(meaning.word)}: ${callee} wants ${article(parameter.kind)} as "${parameter.name}".`;
        yield error(code, argument, span, message, { about });
        return;
    }
}

function* ofLoops(project: ParsedProject): Iterable<Finding> {
    for (const loop of every(project, 'ForEach')) {
        for (const row of loop.rows) {
            if (row.args.length === loop.names.length) continue;
            const names = list(loop.names.map(each => each.name));
            const message = `This row has ${count(row.args.length)}; the loop wants ${count(loop.names.length)} in each row: ${names}.`;
            yield error(code, row, project.spanOf(row), message);
        }
    }
}

/** What may stand where a name is used: by property of the node it stands in. */
interface Use {
    readonly node: AstNode;
    readonly property: string;
    readonly index?: number;
    readonly reference: Reference | undefined;
    /** Said in the message: "a role". */
    readonly due: string;
    readonly suits: (word: string) => boolean;
}

const noItem = new Set(['role', 'tool', 'spare', 'material', 'position', 'place']);
const isItemWord = (word: string) => !noItem.has(word);

function* uses(project: ParsedProject): Iterable<Use> {
    for (const node of every(project, 'Act'))
        yield { node, property: 'actor', reference: node.actor, due: 'a role', suits: word => word === 'role' };
    for (const node of every(project, 'Hold', 'Tell', 'If')) {
        yield { node, property: 'role', reference: node.role, due: 'a role', suits: word => word === 'role' };
    }
    for (const node of every(project, 'Operate', 'Install')) {
        for (const [index, reference] of node.items.entries())
            yield { node, property: 'items', index, reference, due: 'an item', suits: isItemWord };
    }
    for (const node of every(
        project,
        'SetTo',
        'Press',
        'Ensure',
        'Torque',
        'Keep',
        'See',
        'Read',
        'Measure',
        'If',
        'ItemCondition',
    )) {
        yield { node, property: 'item', reference: node.item, due: 'an item', suits: isItemWord };
    }
    for (const node of every(project, 'Torque')) {
        if (node.tool)
            yield { node, property: 'tool', reference: node.tool, due: 'a tool', suits: word => word === 'tool' };
    }
    for (const node of every(project, 'Install')) {
        for (const [index, reference] of node.with.entries()) {
            yield {
                node,
                property: 'with',
                index,
                reference,
                due: 'a spare or a material',
                suits: word => word === 'spare' || word === 'material',
            };
        }
    }
}

/** Parameters and loop names are known to the grammar only as such: what they stand for must suit what is done with them. */
function* ofNames(project: ParsedProject): Iterable<Finding> {
    for (const { node, property, index, reference, due, suits } of uses(project)) {
        const target = reference?.ref;
        if (!target) continue;
        for (const meaning of meaningsOf(project, target)) {
            if (!meaning.word || suits(meaning.word)) continue;
            if (meaning.isUnknown) continue;
            const message = `${reference?.$refText} is ${article(meaning.word)}${ofRow(meaning, reference)}: ${due} is due here.`;
            yield error(code, node, spanOfProperty(project, node, property, index), message, {
                about: [reference?.$refText ?? ''],
            });
            break;
        }
    }
}

const ofRow = (meaning: Meaning, reference: Reference | undefined) =>
    meaning.argument && meaning.argument.name !== reference?.$refText ? ` (${meaning.argument.name})` : '';

/** A clause of the equipment that points to a thing of the wrong kind. */
function* ofClauses(project: ParsedProject): Iterable<Finding> {
    const points = [
        ['CarriesClause', 'source', 'source', 'a joint carries a source'],
        ['WetsClause', 'area', 'area', 'what leaks out wets an area'],
    ] as const;
    for (const [type, property, kind, why] of points) {
        for (const node of every(project, type)) {
            const reference = (node as unknown as Record<string, Reference | undefined>)[property];
            const item = reference?.ref;
            if (!item || !isItem(item) || !item.kind || item.kind === kind) continue;
            const message = `${titled(item)} is ${article(item.kind)}: ${why}.`;
            yield error(code, node, spanOfProperty(project, node, property), message, { about: [item.name] });
        }
    }
}

/** What can be taken out together with what it is in. */
function* ofInsides(project: ParsedProject): Iterable<Finding> {
    for (const node of every(project, 'InClause')) {
        const item = node.unit.ref;
        if (!item?.kind || kindOf(item.kind).physical) continue;
        const message = `${titled(item)} is ${article(item.kind)}: nothing can be in it. Where something stands is said with "at".`;
        yield error(code, node, spanOfProperty(project, node, 'unit'), message, { about: [item.name] });
    }
}

/** What is counted is counted in whole numbers, and what is repeated has been done before. */
function* ofRepeats(project: ParsedProject): Iterable<Finding> {
    for (const node of every(project, 'Repeat')) {
        const step = node.step.ref;
        if (step?.$cstNode && node.$cstNode && step.$cstNode.offset > node.$cstNode.offset) {
            const message = `The step ${step.name} comes later: only this step or an earlier one can be repeated.`;
            yield error(code, node, spanOfProperty(project, node, 'step'), message, { about: [step.name] });
        }
    }
    for (const node of every(project, 'Repeat', 'KeepRule', 'Spare')) {
        const property = node.$type === 'Spare' ? 'quantity' : 'times';
        const written = node.$type === 'Spare' ? node.quantity : node.times;
        if (written === undefined || /^[1-9][\d,]*$/.test(written)) continue;
        const message = `${written} is no number to count with: write a whole number, 1 or more.`;
        yield error(code, node, spanOfProperty(project, node, property), message);
    }
}

/** A position handed on by a parameter must be one of the item that it is used with, in every call. */
function* ofPositions(project: ParsedProject): Iterable<Finding> {
    const byOwner = new Map<AstNode, StateUse[]>();
    for (const use of stateUses(project)) {
        const { owner } = standingOf(use.node);
        const isHandedOn = use.item && !isItem(use.item) && !hasFixedStates(use.item);
        if (!owner || (!isHandedOn && !namesPosition(project, use))) continue;
        const same = byOwner.get(owner);
        if (same) same.push(use);
        else byOwner.set(owner, [use]);
    }
    if (byOwner.size === 0) return;
    const told = new Set<string>();
    for (const { body, binding } of instancesOf(project)) {
        for (const use of byOwner.get(body) ?? []) {
            for (const rows of withRows(project, use.node, binding)) {
                const found = inCall(project, use, rows, body.name);
                const key = found && `${found.span.file} ${found.span.offset} ${found.message}`;
                if (found && key && !told.has(key)) {
                    told.add(key);
                    yield found;
                }
            }
        }
    }
}

/** A parameter of a kind that always has the same states: unknown-state judges it in the subtask itself. */
function hasFixedStates(node: AstNode): boolean {
    return isParameter(node) && node.kind !== '' && isItemWord(node.kind) && kindOf(node.kind).states !== 'declared';
}

const isHandle = (node: AstNode) => isParameter(node) || isLoopName(node);

function namesPosition(project: ParsedProject, { node, state }: StateUse): boolean {
    return project.lookup(node, state).some(each => isHandle(each.node));
}

function inCall(project: ParsedProject, use: StateUse, binding: Binding, body: string): Finding | undefined {
    const named = project.lookup(use.node, use.state).find(each => isHandle(each.node))?.node;
    const position = named && binding.get(named);
    if (named && !position) return undefined;
    const handed = use.item && !isItem(use.item) ? binding.get(use.item) : undefined;
    // An item of another kind than the parameter: said where it is handed over.
    if (use.item && isParameter(use.item) && handed?.item && handed.item.kind !== use.item.kind) return undefined;
    const item = use.item && isItem(use.item) ? use.item : handed?.item;
    const state = position?.word ?? use.state;
    const origin = position?.origin ?? handed?.origin;
    if (!item?.kind || !origin || !state || item.kind === 'gauge') return undefined;
    const states = statesNamed(item);
    if (states.includes(state)) return undefined;
    const where = origin.$container?.$type === 'Do' ? `, but ${body} wants it so` : '';
    const message = `${titled(item)} is never ${state}${where}. It is ${list(
        states.filter(each => each !== 'INSTALLED' && each !== 'REMOVED'),
        'or',
    )}.`;
    return error(code, origin, project.spanOf(origin), message, { about: [origin.name] });
}
