/** What differs in what is done: line by line, in the words of the card. */
import type { Span } from '../../findings/finding.js';
import { type Machine, NONE } from '../../machine/machine.js';
import { atomsOf, conditionsOf } from '../../paths/rules.js';
import type { Argument } from '../../plan/plan.js';
import { list, upperFirst } from '../../vocabulary/sentences.js';
import { gravest } from './classes.js';
import type { Guard, Kind } from './comparison.js';
import { type Found, found } from './found.js';
import type { Matching } from './matching.js';
import type { Side } from './names.js';
import { allIn, type Node } from './nodes.js';
import { nameIn, quoted } from './words.js';

interface Sides {
    readonly old: Side;
    readonly new: Side;
}

export function changesOfLines(old: readonly Node[], now: readonly Node[], matching: Matching, sides: Sides): Found[] {
    const guarded = { old: guardedItems(sides.old.judged.machine), new: guardedItems(sides.new.judged.machine) };
    const kindOf = (node: Node, side: 'old' | 'new'): Kind => kindOfNode(node, guarded[side], sides[side]);
    const { partner, moved, otherArguments, withNewArguments } = matching;
    const changes: Found[] = [];
    for (const one of allIn(old)) {
        const two = partner.get(one);
        if (!two) continue;
        if (moved.has(one)) changes.push(movedNode(one, two, kindOf));
        if (otherArguments.has(one)) changes.push(changedArguments(one, two, sides));
        const was = withNewArguments.get(one) ?? one;
        if (was.sig !== two.sig) changes.push(...changed(was, two, kindOf, sides));
    }
    for (const one of matching.removed) changes.push(whole(one, 'removed', node => kindOf(node, 'old'), sides.old));
    for (const two of matching.added) changes.push(whole(two, 'added', node => kindOf(node, 'new'), sides.new));
    return ofWholeLines(changes);

    function movedNode(one: Node, two: Node, kind: typeof kindOf): Found {
        const crossed = crossing(one, two);
        const name = one.kind === 'step' ? `Step “${one.says}”` : quoted(one);
        const [from, to] = [whereOf(one, sides.old), whereOf(two, sides.new)];
        const sentence = crossed
            ? `${name} now comes ${crossed.side} ${crossed.node.kind === 'step' ? `step “${crossed.node.says}”` : quoted(crossed.node)}.`
            : from !== to
              ? `${name} now stands in ${to}; it stood in ${from}.`
              : `${name} now stands in another place.`;
        const says = sentence.replace(/([.?!:]’?”)\.$/, '$1');
        return found({
            kind: kind(two, 'new') === 'wording' ? 'wording' : 'order',
            how: 'moved',
            says,
            where: to,
            old: spanOf(one),
            new: spanOf(two),
            about: aboutNode(two, sides.new),
            nodes: { old: [one], new: [two] },
        });
    }

    /** What it has overtaken, or what has overtaken it: of the neighbours in its new place the one that stood on the other side of it. */
    function crossing(one: Node, two: Node): { node: Node; side: 'before' | 'after' } | undefined {
        const [before, after] = [listWith(old, one), listWith(now, two)];
        if (!before || !after) return undefined;
        const [from, at] = [before.indexOf(one), after.indexOf(two)];
        const candidates: { node: Node; side: 'before' | 'after'; distance: number }[] = [];
        for (const [n, other] of after.entries()) {
            const was = partner.get(other);
            const then = was ? before.indexOf(was) : -1;
            if (then < 0 || other === two || other.kind === 'alert' || then < from === n < at) continue;
            candidates.push({ node: other, side: at < n ? 'before' : 'after', distance: Math.abs(n - at) });
        }
        return candidates.sort((a, b) => a.distance - b.distance)[0];
    }
}

/** A line that does one thing to several items and goes, comes or moves as a whole, or is done by somebody else, is told once. */
function ofWholeLines(changes: readonly Found[]): Found[] {
    const groups = new Map<Node['line'], Map<string, Found[]>>();
    const keyOf = ({ how, aspect, nodes }: Found): string => {
        const line = nodes.new[0]?.span ?? nodes.old[0]?.span;
        return `${how} ${aspect} ${line?.file} ${line?.offset}`;
    };
    const groupOf = (change: Found): Found[] | undefined => {
        const [node] = change.nodes.old.length > 0 ? change.nodes.old : change.nodes.new;
        if (!node || node.line.parts < 2) return undefined;
        const byKey = groups.get(node.line) ?? new Map<string, Found[]>();
        groups.set(node.line, byKey);
        const group = byKey.get(keyOf(change)) ?? [];
        byKey.set(keyOf(change), group);
        return group;
    };
    for (const change of changes) groupOf(change)?.push(change);
    return changes.flatMap(change => {
        const group = groupOf(change);
        const [node] = change.nodes.old.length > 0 ? change.nodes.old : change.nodes.new;
        if (!group || !node || group.length < node.line.parts) return [change];
        if (group[0] !== change) return [];
        const [one, two] = [change.nodes.old[0], change.nodes.new[0]];
        return [
            {
                ...change,
                kind: gravest(group.map(each => each.kind)),
                says: sayWhole(change, one, two),
                span: { old: one?.span ?? null, new: two?.span ?? null },
                about: unique(group.flatMap(each => each.about)),
                nodes: { old: group.flatMap(each => each.nodes.old), new: group.flatMap(each => each.nodes.new) },
            },
        ];
    });
}

function sayWhole({ says, how, aspect }: Found, one: Node | undefined, two: Node | undefined): string {
    const whole = (node: Node): string => quoted({ ...node, says: node.line.says });
    if (one && two && how === 'changed' && aspect !== 'by') return nowIs(whole(one), whole(two));
    const node = two ?? one;
    return node ? says.replace(quoted(node), whole(node)) : says;
}

/** “Wait 90 s.” is now “Wait 60 s.” */
const nowIs = (was: string, is: string): string => `${was} is now ${is}`.replace(/(?<![.?!]’?)”$/, '”.');

const spanOf = (node: Node): Span => node.event?.span ?? node.span;

function listWith(nodes: readonly Node[], wanted: Node): readonly Node[] | undefined {
    if (nodes.includes(wanted)) return nodes;
    for (const node of nodes)
        for (const block of node.blocks) {
            const inside = listWith(block.nodes, wanted);
            if (inside) return inside;
        }
    return undefined;
}

function whereOf(node: Node, side: Side): string {
    const step = side.judged.plan.steps[node.step];
    return step ? `step ${step.number}, ${step.label}` : 'the card';
}

function aboutNode(node: Node, side: Side): string[] {
    const names = [...allIn([node])].flatMap(each => {
        const event = each.event;
        if (!event) return [];
        const refs = 'refs' in event ? event.refs : [];
        return [event.item, ...refs].filter(item => item !== NONE).map(side.item);
    });
    return [...new Set(names)];
}

/** The items that some rule asks about: acting on them makes or breaks an isolation. */
function guardedItems(machine: Machine): ReadonlySet<number> {
    return new Set(
        machine.rules.flatMap(({ body }) =>
            body.kind === 'test'
                ? []
                : conditionsOf(body).flatMap(condition =>
                      atomsOf(condition).flatMap(atom => ('item' in atom ? [atom.item] : [])),
                  ),
        ),
    );
}

function kindOfNode(node: Node, guarded: ReadonlySet<number>, side: Side): Kind {
    switch (node.kind) {
        case 'alert':
            return node.fields['alert'] === 'note' ? 'wording' : 'warning';
        case 'operate': {
            const item = node.event?.item ?? NONE;
            if (side.itemOf(item)?.kind === 'breaker') return 'breaker';
            return guarded.has(item) ? 'isolation' : 'work';
        }
        case 'press':
        case 'keep':
            return guarded.has(node.event?.item ?? NONE) ? 'isolation' : 'work';
        case 'tag':
            return 'isolation';
        case 'clear':
            return node.fields['verb'] === 'leave' ? 'isolation' : 'work';
        case 'wait':
            return 'wait';
        case 'hold':
            return 'hold';
        case 'look':
        case 'branch':
            return 'indication';
        case 'torque':
            return 'torque';
        case 'tell':
            return 'told';
        case 'stop':
        case 'leave-for':
        case 'repeat':
            return 'order';
        default:
            return 'work';
    }
}

const guardOf = (node: Node): Guard | null =>
    node.kind === 'hold'
        ? 'hold'
        : node.kind === 'look'
          ? 'look'
          : node.kind === 'alert' && node.fields['alert'] !== 'note'
            ? 'warning'
            : null;

/** A part with all that lies in it. */
function whole(node: Node, how: 'added' | 'removed', kind: (node: Node) => Kind, side: Side): Found {
    const all = [...allIn([node])];
    const guards =
        (['hold', 'warning', 'look'] as const).find(guard => all.some(each => guardOf(each) === guard)) ?? null;
    const lines = all.filter(each => each.blocks.length === 0).length;
    const much = node.blocks.length > 0 && lines > 1 ? ` with its ${lines} lines` : '';
    const what =
        node.kind === 'step'
            ? `Step “${node.says}”${much}`
            : node.kind === 'group'
              ? `${node.text ? `“${node.says}”` : `The round for ${node.says}`}${argumentsOf(node, side)}${much}`
              : node.kind === 'card'
                ? `Card ${node.says}${much}`
                : `${quoted(node)}${much}`;
    const says = how === 'added' ? `New: ${what}.` : `Gone: ${what}.`;
    return found({
        kind: gravest(all.map(kind)),
        how,
        says: says.replace(/([.?!:]’?”)\.$/, '$1'),
        where: whereOf(node, side),
        [how === 'added' ? 'new' : 'old']: spanOf(node),
        lost: how === 'removed' ? guards : null,
        gained: how === 'added' ? guards : null,
        about: aboutNode(node, side),
        nodes: how === 'added' ? { old: [], new: [node] } : { old: [node], new: [] },
    });
}

const argumentsOf = (node: Node, side: Side): string => {
    const names = node.args.flatMap(arg => (arg.is === 'item' || arg.is === 'word' ? [argumentWords(arg, side)] : []));
    return node.text && names.length > 0 ? ` (${names.join(', ')})` : '';
};

function argumentWords({ is, index, text }: Argument, side: Side): string {
    if (is === 'item') return nameIn(side.judged.machine, index);
    if (is === 'role') return side.judged.plan.roles[index]?.label ?? text;
    if (is === 'tool') return side.judged.plan.tools[index]?.label ?? text;
    return text;
}

/** A call that now does the same to other things. */
function changedArguments(one: Node, two: Node, sides: Sides): Found {
    const differing = one.args.flatMap((was, n) => {
        const is = two.args[n];
        if (!is) return [];
        const [a, b] = [argumentWords(was, sides.old), argumentWords(is, sides.new)];
        return a === b ? [] : [{ was, is, a, b }];
    });
    const [first, second] = differing;
    const swapped = differing.length === 2 && first && second && first.a === second.b && first.b === second.a;
    const what = one.text ? `“${two.says}” in ${whereOf(two, sides.new)},` : `The round for ${one.says}`;
    const says = swapped
        ? `${what} now has ${first.a} and ${second.a} the other way round.`
        : `${what} is now done with ${differing.map(({ a, b }) => `${b} instead of ${a}`).join(', and with ')}.`;
    const kinds = differing.map(({ was, is }): Kind => {
        const item = (side: Side, arg: Argument) => (arg.is === 'item' ? side.itemOf(arg.index)?.kind : undefined);
        if (item(sides.old, was) === 'breaker' || item(sides.new, is) === 'breaker') return 'breaker';
        if (is.is === 'role') return 'role';
        if (is.is === 'tool') return 'torque';
        return 'indication';
    });
    return found({
        kind: gravest(kinds),
        how: 'changed',
        says,
        where: whereOf(two, sides.new),
        old: one.span,
        new: two.span,
        about: unique(
            differing.flatMap(({ was, is }) => [
                ...(was.is === 'item' ? [sides.old.item(was.index)] : []),
                ...(is.is === 'item' ? [sides.new.item(is.index)] : []),
            ]),
        ),
        nodes: { old: [one], new: [two] },
    });
}

/** Which kind of change a field makes; the kind of the part itself where none is given. */
const fieldKinds: Readonly<Record<string, Kind>> = {
    record: 'record',
    revision: 'record',
    within: 'limit',
    for: 'wait',
    after: 'wait',
    seconds: 'wait',
    atMost: 'limit',
    takes: 'work',
    label: 'wording',
    name: 'wording',
    test: 'indication',
    of: 'indication',
    tag: 'isolation',
    fresh: 'work',
    spares: 'work',
    materials: 'work',
};

function changed(one: Node, two: Node, kindOf: (node: Node, side: 'old' | 'new') => Kind, sides: Sides): Found[] {
    const own = gravest([kindOf(one, 'old'), kindOf(two, 'new')]);
    const differing = new Map<Kind, string[]>();
    const note = (kind: Kind, field: string): void => {
        differing.set(kind, [...(differing.get(kind) ?? []), field]);
    };
    for (const field of new Set([...Object.keys(one.fields), ...Object.keys(two.fields)])) {
        if (same(one.fields[field], two.fields[field])) continue;
        const limit = (field === 'low' || field === 'high') && one.kind === 'look' ? 'limit' : undefined;
        const read = one.kind === 'look' && one.fields['look'] !== 'see' && field === 'what' ? 'indication' : undefined;
        note(limit ?? read ?? fieldKinds[field] ?? own, field);
    }
    // A text with the same words under other names prints the same.
    if (one.text !== two.text && one.kind !== 'group' && one.says !== two.says) note(kindOfText(one), 'text');
    if (one.by !== two.by) note('role', 'by');
    if (one.only !== two.only) note('work', 'only');
    if (differing.size === 0 && one.written !== two.written && one.says !== two.says) note('wording', 'written');
    const blocks = (node: Node): string => node.blocks.map(each => each.name).join(' ');
    const common = {
        where: whereOf(two, sides.new),
        old: spanOf(one),
        new: spanOf(two),
        about: [...new Set([...aboutOwn(one, sides.old), ...aboutOwn(two, sides.new)])],
        nodes: { old: [one], new: [two] },
        how: 'changed',
    } as const;
    const changes: Found[] = [];
    for (const [kind, fields] of differing) {
        const aspect = fields.join(' ');
        // What the item itself says is reported there.
        if (one.says === two.says && fields.every(field => field === 'low' || field === 'high')) continue;
        changes.push(found({ ...common, ...guards(one, two), kind, aspect, says: sayChange(one, two, fields, sides) }));
    }
    if (blocks(one) !== blocks(two) && one.kind === 'look') {
        const [lost, gained] = [one.blocks.length > two.blocks.length, two.blocks.length > one.blocks.length];
        const says = lost
            ? `${quoted(two)} no longer says what to do if it is not so.`
            : `${quoted(two)} now says what to do if it is not so.`;
        if (lost || gained) changes.push(found({ ...common, kind: 'indication', says, aspect: 'if-not' }));
    }
    return changes;
}

/** A warning made a note is a warning lost. */
function guards(one: Node, two: Node): { lost: Guard | null; gained: Guard | null } {
    const [a, b] = [guardOf(one), guardOf(two)];
    return { lost: a && !b ? a : null, gained: b && !a ? b : null };
}

const kindOfText = (node: Node): Kind =>
    node.kind === 'hold'
        ? 'hold'
        : node.kind === 'alert'
          ? node.fields['alert'] === 'note'
              ? 'wording'
              : 'warning'
          : node.kind === 'prose'
            ? 'work'
            : 'wording';

function aboutOwn(node: Node, side: Side): string[] {
    const event = node.event;
    if (!event) return [];
    return [event.item, ...('refs' in event ? event.refs : [])].filter(item => item !== NONE).map(side.item);
}

/** Written in another unit a value is the same. */
function same(a: string | number | undefined, b: string | number | undefined): boolean {
    if (typeof a !== 'number' || typeof b !== 'number') return a === b;
    return a === b || Math.abs(a - b) <= 1e-9 * Math.max(Math.abs(a), Math.abs(b));
}

function sayChange(one: Node, two: Node, fields: readonly string[], sides: Sides): string {
    const only = fields.length === 1 ? fields[0] : undefined;
    switch (only) {
        case 'by':
            return `${quoted(two)} is now done by ${two.byLabel} instead of ${one.byLabel}.`;
        case 'revision':
            return `The revision of ${two.says}, which is done here, is now “${two.fields['revision']}”; it was “${one.fields['revision']}”.`;
        case 'record':
            return `What is found by ${quoted(two)} is ${two.fields['record'] ? 'now written down' : 'no longer written down'}.`;
        case 'tag':
            return two.fields['tag']
                ? `${nameIn(sides.new.judged.machine, two.event?.item ?? NONE)} is now tagged when it is ${pulled(two)}.`
                : `${nameIn(sides.new.judged.machine, two.event?.item ?? NONE)} is no longer tagged when it is ${pulled(two)}.`;
        case 'takes':
            return `Step “${two.says}” is now said to take ${minutes(two)} instead of ${minutes(one)}.`;
        case 'name':
            return `Step “${two.says}” is now called ${two.fields['name']} in the text instead of ${one.fields['name']}.`;
        case 'only':
            return two.only ? `${quoted(two)} now says: ${two.only}` : `${quoted(two)} no longer says: ${one.only}`;
        case 'alert':
            return `${upperFirst(String(one.fields['alert']))} “${one.says}” is now a ${two.fields['alert']}${one.says === two.says ? '' : `: “${two.says}”`}.`;
        case 'to':
            return `${quoted(two)} goes to somebody else; it was ${quoted(one)}.`;
    }
    if (two.kind === 'step') {
        if (fields.includes('label')) return `Step “${one.says}” is now headed “${two.says}”.`;
        const proves = (node: Node, side: Side): string =>
            list((side.judged.plan.steps[node.step]?.of ?? []).map(item => nameIn(side.judged.machine, item))) ||
            'nothing';
        return `${two.fields['test'] ? 'Test' : 'Step'} “${two.says}” now proves ${proves(two, sides.new)}; it proved ${proves(one, sides.old)}.`;
    }
    if (one.says !== two.says) return nowIs(quoted(one), quoted(two));
    return `${quoted(two)} is now meant otherwise: ${fields.join(', ')}.`;
}

const unique = (names: readonly string[]): string[] => [...new Set(names)];
const pulled = (node: Node): string => (node.fields['verb'] === 'pull' ? 'pulled' : 'set');
const minutes = (node: Node): string => {
    const takes = Number(node.fields['takes']);
    return takes > 0 ? `${Number((takes / 60).toFixed(1))} min` : 'no time given';
};
