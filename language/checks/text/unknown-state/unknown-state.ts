import type { AstNode } from 'langium';
import type { Finding } from '../../../findings/finding.js';
import {
    type Item,
    type ItemClause,
    isGoes,
    isItem,
    isLoopName,
    isParameter,
    isPositionsClause,
    isShows,
} from '../../../grammar/generated/ast.js';
import type { ParsedProject } from '../../../names/project.js';
import { kindOf } from '../../../vocabulary/kinds/index.js';
import type { Check } from '../../check.js';
import { article, error, every, list, replaceBy, spanOfProperty, stateMeant, titled } from '../shared.js';
import { type StateUse, statesNamed, stateUses } from '../states.js';

export const unknownState: Check = {
    code: 'unknown-state',
    family: 'text',
    severity: 'error',
    title: 'A state that the item does not have',
    ofText: project => [
        ...ofUses(project),
        ...ofBareNames(project),
        ...ofFeeds(project),
        ...ofEquipment(project),
        ...ofExercises(project),
    ],
};

function* ofUses(project: ParsedProject): Iterable<Finding> {
    for (const use of stateUses(project)) {
        if (!use.state || !use.item || hasNoKind(use.item) || isPosition(project, use)) continue;
        if (isItem(use.item)) {
            const byFailure = kindOf(use.item.kind).byFailure ?? [];
            if (use.brought && byFailure.includes(use.state)) {
                const message = `${titled(use.item)} is ${use.state} only when it fails: nobody brings it there, and no card begins so.`;
                const span = spanOfProperty(project, use.node, use.property, use.index);
                yield error('unknown-state', use.node, span, message, { about: [use.item.name] });
                continue;
            }
            const states = statesNamed(use.item).filter(state => !use.brought || !byFailure.includes(state));
            yield* judge(project, use, titled(use.item), use.item.name, use.item.kind, states);
        } else if (isParameter(use.item)) {
            const states = ofKind(use.item.kind);
            if (states) yield* judge(project, use, use.item.name, use.item.name, use.item.kind, states);
        }
    }
}

/** The word that says what it is could not be read. */
const hasNoKind = (node: AstNode) => (isItem(node) || isParameter(node)) && !node.kind;

/** The state is itself a parameter or a loop name: each call is judged by wrong-arguments. */
function isPosition(project: ParsedProject, { node, state }: StateUse): boolean {
    return project
        .lookup(node, state)
        .some(each => isLoopName(each.node) || (isParameter(each.node) && each.node.kind === 'position'));
}

/** The states of a kind that are the same for every item of it. */
function ofKind(word: string): readonly string[] | undefined {
    if (word === 'role' || word === 'tool' || word === 'position') return undefined;
    const kind = kindOf(word);
    if (kind.states === 'declared') return undefined;
    const states = [...kind.states, ...(kind.byFailure ?? [])];
    return kind.physical && !kind.isPresence ? [...states, 'INSTALLED', 'REMOVED'] : states;
}

function* judge(
    project: ParsedProject,
    use: {
        readonly node: StateUse['node'];
        readonly property: string;
        readonly index?: number;
        readonly state: string;
    },
    title: string,
    name: string,
    kind: string,
    states: readonly string[],
): Iterable<Finding> {
    if (states.includes(use.state)) return;
    const span = spanOfProperty(project, use.node, use.property, use.index);
    const about = [name];
    if (kind === 'gauge') {
        const message = `${title} is a gauge: it has no states, it is read, as in "read ${name} 10 to 20 psi".`;
        yield error('unknown-state', use.node, span, message, { about });
        return;
    }
    const own = states.filter(state => !['INSTALLED', 'REMOVED'].includes(state) || states.length <= 2);
    const meant = stateMeant(use.state, states);
    const said = own.length ? `It is ${list(own, 'or')}.` : 'The equipment gives it no states.';
    const message = `${title} is never ${use.state}. ${meant ? `Did you mean ${meant}? ` : ''}${said}`;
    yield error('unknown-state', use.node, span, message, { about, fixes: meant ? [replaceBy(span, meant)] : [] });
}

/** A name alone in a condition means "live" or "able to run": that is said only of some kinds. */
function* ofBareNames(project: ParsedProject): Iterable<Finding> {
    for (const node of every(project, 'ItemCondition')) {
        const item = node.item.ref;
        if (node.state !== undefined || !item || isLoopName(item) || hasNoKind(item)) continue;
        if (isParameter(item) && ['role', 'tool', 'position'].includes(item.kind)) continue;
        if (kindOf(item.kind).bare !== undefined) continue;
        const states = isItem(item) ? statesNamed(item).filter(state => !['INSTALLED', 'REMOVED'].includes(state)) : [];
        const example = states[0] ? `, as in "${item.name} is ${states[0]}"` : '';
        const message = `${isItem(item) ? titled(item) : item.name} is ${article(item.kind)}: a name alone does not say in which state${example}.`;
        yield error('unknown-state', node, project.spanOf(node), message, { about: [item.name] });
    }
}

/** What feeds something is made or live, or it is not: said only of the same kinds. */
function* ofFeeds(project: ParsedProject): Iterable<Finding> {
    for (const node of every(project, 'FromClause')) {
        for (const [index, feed] of node.feeds.entries()) {
            const item = feed.ref;
            if (!item || hasNoKind(item) || kindOf(item.kind).bare !== undefined) continue;
            const message = `${titled(item)} is ${article(item.kind)}: it is never simply on or off, so nothing can be fed from it. Say "live when ${item.name} is ..." of a source, and feed it from that.`;
            yield error('unknown-state', node, spanOfProperty(project, node, 'feeds', index), message, {
                about: [item.name],
            });
        }
    }
}

/** "on" beside OFF, or beside ON, is taken for another state than ON. */
function* inOtherLetters(project: ParsedProject, item: Item): Iterable<Finding> {
    const known = [...(kindOf(item.kind).states0 ?? [])];
    const written: { readonly node: AstNode; readonly property: string; readonly index?: number; state: string }[] = [];
    for (const clause of item.clauses)
        if (isPositionsClause(clause))
            for (const [index, state] of clause.states.entries())
                written.push({ node: clause, property: 'states', index, state });
    for (const member of item.members)
        if ((isShows(member) || isGoes(member)) && member.state)
            written.push({ node: member, property: 'state', state: member.state });
    for (const { node, property, index, state } of written) {
        const meant = known.find(each => each.toUpperCase() === state.toUpperCase());
        if (meant === undefined) known.push(state);
        if (meant === undefined || meant === state) continue;
        const span = spanOfProperty(project, node, property, index);
        const message = `${titled(item)} is ${state} here, which is another state than ${meant}: write it in the same letters.`;
        yield error('unknown-state', node, span, message, { about: [item.name], fixes: [replaceBy(span, meant)] });
    }
}

function* ofEquipment(project: ParsedProject): Iterable<Finding> {
    for (const item of every(project, 'Item')) {
        if (hasNoKind(item)) continue;
        const declared = item.clauses.find(clause => clause.$type === 'PositionsClause');
        yield* inOtherLetters(project, item);
        for (const clause of item.clauses) {
            if (isNormal(clause))
                yield* judge(
                    project,
                    { node: clause, property: 'state', state: clause.state },
                    titled(item),
                    item.name,
                    item.kind,
                    statesNamed(item),
                );
        }
        if (!declared || !('states' in declared)) continue;
        const positions = declared.states as string[];
        for (const member of item.members) {
            if (member.$type === 'Goes' && 'state' in member) {
                yield* judge(
                    project,
                    { node: member, property: 'state', state: member.state as string },
                    titled(item),
                    item.name,
                    item.kind,
                    positions,
                );
            }
        }
    }
    for (const node of every(project, 'Fails')) {
        const item = node.item.ref;
        if (item && !hasNoKind(item) && node.state)
            yield* judge(
                project,
                { node, property: 'state', state: node.state },
                titled(item),
                item.name,
                item.kind,
                failed(item),
            );
    }
}

type Normal = ItemClause & { readonly $type: 'NormalClause'; readonly state: string };
const isNormal = (clause: ItemClause): clause is Normal =>
    clause.$type === 'NormalClause' && (clause as { state?: string }).state !== '';

/** Every word that may stand after `is` where something fails. */
export function failed(item: Item): readonly string[] {
    const kind = kindOf(item.kind);
    const words = [...statesNamed(item)];
    if (kind.word === 'motor') words.push('DEAD');
    if (kind.word === 'breaker') words.push('NOT-OPENING');
    if (kind.word === 'connector') words.push('OFF', 'CROSSED');
    if (kind.nature === 'moved') words.push('SLOW');
    if (kind.word === 'timer') words.push('EARLY');
    if (item.clauses.some(clause => clause.$type === 'CarriesClause')) words.push('LEAKING');
    return words;
}

function* ofExercises(project: ParsedProject): Iterable<Finding> {
    for (const node of every(project, 'FailurePart')) {
        const item = node.item.ref;
        if (!item || hasNoKind(item)) continue;
        if (node.state)
            yield* judge(
                project,
                { node, property: 'state', state: node.state },
                titled(item),
                item.name,
                item.kind,
                failed(item),
            );
        else if (node.label !== undefined) {
            const labels = [...every(project, 'Fails')]
                .filter(each => each.item.ref === item || each.$container === (item as unknown))
                .map(each => each.label);
            if (labels.includes(node.label)) continue;
            const span = spanOfProperty(project, node, 'label');
            const message = `${titled(item)} has no failure "${node.label}". ${labels.length ? `It has ${list(labels.map(label => `"${label}"`))}.` : 'The equipment gives it none by label.'}`;
            yield error('unknown-state', node, span, message, { about: [item.name] });
        }
    }
}
