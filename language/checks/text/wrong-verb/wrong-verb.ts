import type { AstNode } from 'langium';
import type { Finding, Fix, Span } from '../../../findings/finding.js';
import type { Item, ItemClause, ItemMember } from '../../../grammar/generated/ast.js';
import { type Meaning, meaningsOf } from '../../../names/meaning.js';
import type { ParsedProject } from '../../../names/project.js';
import { type Kind, kindOf, kinds, verbOf } from '../../../vocabulary/kinds/index.js';
import type { Check } from '../../check.js';
import { article, error, every, list, replaceBy, spanOfKeyword, spanOfProperty, titled } from '../shared.js';

export const wrongVerb: Check = {
    code: 'wrong-verb',
    family: 'text',
    severity: 'error',
    title: 'A verb or a clause that does not suit its kind of item',
    ofText: project => [
        ...ofActions(project),
        ...ofBranches(project),
        ...ofRules(project),
        ...ofItems(project),
        ...ofBehaviours(project),
    ],
};

/** What can be done to a kind by the verbs that are not in its table. */
const suits: Readonly<Record<string, (kind: Kind) => boolean>> = {
    set: kind => kind.word === 'control',
    press: kind => kind.word === 'button',
    keep: kind => kind.word === 'control' || kind.word === 'button',
    tag: kind => kind.tags,
    untag: kind => kind.tags,
    torque: kind => kind.physical,
    measure: kind => kind.physical,
    read: kind => kind.word === 'gauge',
    // A gauge has no states, and that is said of it as such.
    see: kind => kind.seen,
    ensure: kind => kind.nature === 'operated' || kind.nature === 'wetted' || kind.physical,
};

function suitsKind(verb: string, kind: Kind): boolean {
    return suits[verb]?.(kind) ?? verbOf(kind, verb) !== undefined;
}

/** "It is pulled or closed." */
function whatSuits(kind: Kind): string {
    const words = kind.verbs.map(verb => verb.past);
    if (kind.word === 'control') words.push('set');
    if (kind.word === 'button') words.push('pressed');
    if (kind.word === 'gauge') words.push('read');
    if (words.length) return `${capital(article(kind.word))} is ${list(words, 'or')}.`;
    if (kind.nature === 'moved') return `${capital(article(kind.word))} moves by itself; no role operates it.`;
    return `${capital(article(kind.word))} only shows what is so.`;
}

const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1);

function* ofActions(project: ParsedProject): Iterable<Finding> {
    for (const node of every(project, 'Operate', 'Install')) {
        const verb = node.$type === 'Install' ? 'install' : node.verb;
        const at = () =>
            node.$type === 'Install' ? spanOfKeyword(project, node, 'install') : spanOfProperty(project, node, 'verb');
        const of = node.items.map(each => each.ref);
        yield* judge(project, node, verb, of, at, node.items.length === 1);
        if (node.$type === 'Operate' && node.tag && verb !== 'tag')
            yield* judge(project, node, 'tag', of, () => spanOfProperty(project, node, 'tag'), false);
    }
    for (const [type, verb] of [
        ['SetTo', 'set'],
        ['Press', 'press'],
        ['Keep', 'keep'],
        ['Ensure', 'ensure'],
        ['Torque', 'torque'],
        ['Read', 'read'],
        ['Measure', 'measure'],
        ['See', 'see'],
    ] as const) {
        for (const node of every(project, type)) {
            yield* judge(project, node, verb, [node.item.ref], () => spanOfKeyword(project, node, verb), false);
            if (node.$type === 'Ensure' && node.tag)
                yield* judge(project, node, 'tag', [node.item.ref], () => spanOfProperty(project, node, 'tag'), false);
        }
    }
}

function* ofBranches(project: ParsedProject): Iterable<Finding> {
    for (const node of every(project, 'If'))
        yield* judge(project, node, 'see', [node.item.ref], () => spanOfKeyword(project, node, 'sees'), false);
}

function* ofRules(project: ParsedProject): Iterable<Finding> {
    for (const node of every(project, 'VerbTrigger')) {
        yield* judge(project, node, node.verb, [node.item.ref], () => spanOfProperty(project, node, 'verb'), true);
    }
    for (const node of every(project, 'KeepRule')) {
        yield* judge(project, node, 'keep', [node.item.ref], () => spanOfKeyword(project, node, 'keep'), false);
    }
    for (const node of every(project, 'MovesTrigger')) {
        const item = node.item.ref;
        if (!item?.kind || kindOf(item.kind).nature === 'moved') continue;
        const message = `${titled(item)} is ${article(item.kind)} and never moves: a rule on what moves needs a valve, relay, timer, sensor, mechanism or level.`;
        yield error('wrong-verb', node, spanOfKeyword(project, node, 'moves'), message, { about: [item.name] });
    }
}

function* judge(
    project: ParsedProject,
    node: AstNode,
    verb: string,
    items: readonly (AstNode | undefined)[],
    at: () => Span,
    single: boolean,
): Iterable<Finding> {
    const told = new Set<string>();
    for (const each of items) {
        if (!each) continue;
        for (const meaning of meaningsOf(project, each)) {
            const kind = kindNamed(meaning);
            if (!kind || suitsKind(verb, kind) || told.has(nameOf(meaning, each))) continue;
            told.add(nameOf(meaning, each));
            const span = at();
            const instead =
                verb === 'see' ? 'Nobody sees it: look at a gauge, a light or a mark that shows it.' : whatSuits(kind);
            const message = `${nameOf(meaning, each)} is ${article(kind.word)}: "${verb}" does not suit it. ${instead}`;
            yield error('wrong-verb', node, span, message, {
                about: [nameOnly(each)],
                fixes: single ? fixesOf(verb, kind, span) : [],
            });
        }
    }
}

function kindNamed(meaning: Meaning): Kind | undefined {
    return kinds.find(kind => kind.word === meaning.word);
}

const nameOnly = (node: AstNode) => (node as AstNode & { name?: string }).name ?? '';
const nameOf = (meaning: Meaning, node: AstNode) => (meaning.item ? titled(meaning.item) : nameOnly(node));

/** What was meant by a verb of another kind that does the same to this one. */
const opposite: readonly (readonly string[])[] = [
    ['pull', 'open', 'disconnect', 'remove'],
    ['close', 'connect', 'install'],
];

/** Only where exactly one verb of the kind does what the written one does elsewhere. */
function fixesOf(verb: string, kind: Kind, span: Span): Fix[] {
    const group = opposite.find(words => words.includes(verb));
    const meant = kind.verbs.filter(each => group?.includes(each.word));
    return meant.length === 1 && meant[0] ? [replaceBy(span, meant[0].word)] : [];
}

/** Which kinds a clause says something about; absent: all. */
const clauseSuits: Readonly<
    Record<string, { readonly word: string; readonly suits: (kind: Kind) => boolean; readonly of: string }>
> = {
    PositionsClause: {
        word: 'positions',
        suits: kind => kind.word === 'control' || kind.nature === 'moved',
        of: 'a control or of what moves',
    },
    GridClause: { word: 'grid', suits: kind => kind.word === 'breaker', of: 'a breaker' },
    RatedClause: { word: 'rated', suits: kind => kind.word === 'breaker', of: 'a breaker' },
    WireClause: { word: 'wire', suits: kind => kind.word === 'breaker', of: 'a breaker' },
    ThreadClause: { word: 'thread', suits: kind => kind.word === 'fastener', of: 'a fastener' },
    TorqueClause: { word: 'torque', suits: kind => kind.physical, of: 'a part that can be torqued' },
    KeyedClause: { word: 'keyed', suits: kind => kind.word === 'connector' || kind.word === 'lead', of: 'a connector' },
    CarriesClause: { word: 'carries', suits: kind => kind.physical, of: 'a joint' },
    WetsClause: { word: 'wets', suits: kind => kind.physical, of: 'a joint' },
    HoldsClause: {
        word: 'holds',
        suits: kind => ['lock', 'pin', 'fastener', 'panel'].includes(kind.word),
        of: 'a lock, pin, fastener or panel',
    },
    LiveClause: { word: 'live', suits: kind => kind.word === 'source', of: 'a source' },
};

function* ofItems(project: ParsedProject): Iterable<Finding> {
    for (const item of every(project, 'Item')) {
        // The word that says what it is could not be read.
        if (!item.kind) continue;
        const kind = kindOf(item.kind);
        const seen = new Set<string>();
        for (const clause of item.clauses) {
            yield* ofClause(project, item, kind, clause, seen);
        }
        for (const member of item.members) yield* ofMember(project, item, kind, member);
    }
}

/** Of these an item may have several. */
const several = new Set(['MeasuredClause', 'HoldsClause']);

function* ofClause(
    project: ParsedProject,
    item: Item,
    kind: Kind,
    clause: ItemClause,
    seen: Set<string>,
): Iterable<Finding> {
    const rule = clauseSuits[clause.$type];
    const span = project.spanOf(clause);
    const about = { about: [item.name] };
    if (rule && !rule.suits(kind)) {
        yield error(
            'wrong-verb',
            clause,
            span,
            `${titled(item)} is ${article(kind.word)}: "${rule.word}" is said only of ${rule.of}.`,
            about,
        );
    } else if (seen.has(clause.$type) && !several.has(clause.$type)) {
        const word = (clause.$cstNode?.text ?? '').split(/\s/)[0];
        yield error(
            'wrong-verb',
            clause,
            span,
            `${titled(item)} has "${word}" twice: only the first would count.`,
            about,
        );
    }
    seen.add(clause.$type);
}

function* ofMember(project: ParsedProject, item: Item, kind: Kind, member: ItemMember): Iterable<Finding> {
    const about = { about: [item.name] };
    if (member.$type === 'Goes' && kind.nature !== 'moved') {
        const what = kind.nature === 'shown' ? ': write "shows".' : ' and does not move by itself.';
        const span = spanOfKeyword(project, member, 'goes');
        const fixes =
            kind.nature === 'shown' && kind.word !== 'source' && !timed(member) ? [replaceBy(span, 'shows')] : [];
        yield error('wrong-verb', member, span, `${titled(item)} is ${article(kind.word)}${what}`, { ...about, fixes });
    } else if (
        member.$type === 'Shows' &&
        (kind.nature !== 'shown' || kind.word === 'source' || kind.word === 'motor')
    ) {
        const span = spanOfKeyword(project, member, 'shows');
        const fixes = kind.nature === 'moved' ? [replaceBy(span, 'goes')] : [];
        const what =
            kind.nature === 'moved'
                ? ': write "goes".'
                : kind.word === 'source'
                  ? ': write "live when".'
                  : ' and shows nothing.';
        yield error('wrong-verb', member, span, `${titled(item)} is ${article(kind.word)}${what}`, { ...about, fixes });
    }
}

const timed = (member: ItemMember) => 'time' in member && member.time !== undefined;

/** What equipment does rests on states alone: how long, who was told and who is where belong in rules. */
function* ofBehaviours(project: ParsedProject): Iterable<Finding> {
    for (const node of every(project, 'ItemCondition', 'ToldCondition', 'PeopleCondition')) {
        if (node.$type === 'ItemCondition' && !node.atLeast) continue;
        let at: AstNode | undefined = node.$container;
        while (at && at.$type !== 'Rule' && at.$type !== 'Item' && at.$type !== 'OwnFailure') at = at.$container;
        if (!at || at.$type === 'Rule') continue;
        const message =
            node.$type === 'ItemCondition'
                ? 'What equipment does cannot ask "for at least": only a rule can. Give it a timer that goes after that time.'
                : `What equipment does cannot rest on people: "${node.$type === 'ToldCondition' ? 'told' : node.who}" belongs in a rule.`;
        yield error('wrong-verb', node, project.spanOf(node), message);
    }
}
