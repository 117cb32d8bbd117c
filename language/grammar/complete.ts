/**
 * Makes the tree of a text with mistakes keep what its types promise. Where the parser gave up inside a statement, a
 * property is missing that every reader counts on. A missing word becomes an empty one, a missing reference one that
 * leads nowhere, a missing block an empty block; what still says too little goes.
 */
import { type AstNode, isAstNode, isReference, type Reference } from 'langium';
import { reflection } from './generated/ast.js';

type Loose = AstNode & Record<string, unknown>;
type Fill = (parent: AstNode, property: string) => unknown;

/** Whether the node is whole now; the caller drops it if not. */
export function complete(node: AstNode): boolean {
    const loose = node as Loose;
    for (const [property, value] of Object.entries(loose)) {
        if (property.startsWith('$')) continue;
        if (Array.isArray(value)) {
            const kept = value.filter(each => !isAstNode(each) || complete(each));
            if (kept.length < value.length) replace(loose, property, kept);
        } else if (isAstNode(value) && !complete(value)) {
            delete loose[property];
        }
    }
    for (const { name, isReference } of mandatory(node.$type)) {
        if (loose[name] !== undefined) continue;
        const fill = isReference ? reference : fillOf(node.$type, name);
        if (!fill) return false;
        loose[name] = fill(node, name);
    }
    return enough(loose);
}

interface Mandatory {
    readonly name: string;
    readonly isReference: boolean;
}
const byType = new Map<string, readonly Mandatory[]>();

/** What the type promises beyond lists and flags, which the parser always sets. */
function mandatory(type: string): readonly Mandatory[] {
    let known = byType.get(type);
    if (!known) {
        const properties = Object.values(reflection.getTypeMetaData(type).properties);
        known = properties
            .filter(property => !property.optional && property.defaultValue === undefined)
            .map(property => ({ name: property.name, isReference: property.referenceType !== undefined }));
        byType.set(type, known);
    }
    return known;
}

const node =
    (type: string, content: Readonly<Record<string, unknown>>): Fill =>
    (parent, property) => ({
        $type: type,
        $container: parent,
        $containerProperty: property,
        ...structuredCloneOf(content),
    });
const structuredCloneOf = (content: Readonly<Record<string, unknown>>) =>
    Object.fromEntries(Object.entries(content).map(([key, value]) => [key, Array.isArray(value) ? [...value] : value]));

const word: Fill = () => '';
const block = node('Block', { statements: [] });
const text = node('Text', { parts: [''], refs: [] });
const quantity = node('Quantity', { value: '0', unit: 's' });
const reference: Fill = (): Reference => ({ $refText: '', ref: undefined });

const fills = new Map<string, Fill>([
    ...['name', 'label', 'state', 'verb', 'what', 'code', 'kind', 'revision'].map((name): [string, Fill] => [
        name,
        word,
    ]),
    ['times', () => '1'],
    ['body', block],
    ['then', block],
    ['text', text],
    ['because', text],
    ['time', quantity],
    ['atMost', quantity],
    ['limits', node('Limits', { unit: '' })],
]);
const plainText = new Set(['AppliesPart', 'GridClause', 'ThreadClause']);

function fillOf(type: string, property: string): Fill | undefined {
    if (property === 'text' && plainText.has(type)) return word;
    if (property === 'body' && type === 'Rule') return undefined;
    return fills.get(property);
}

function replace(node: Loose, property: string, kept: unknown[]): void {
    node[property] = kept;
    kept.forEach((each, index) => {
        if (isAstNode(each)) (each as { $containerIndex?: number }).$containerIndex = index;
    });
}

/** Types that the parser gives a node before it knows which one it is. */
const undecided = new Set(['Action', 'Look', 'Condition', 'ItemClause', 'ItemMember', 'RuleBody', 'Trigger']);

/** Lists without which a node says nothing. */
const filled: Readonly<Record<string, readonly string[]>> = {
    OrCondition: ['operands'],
    AndCondition: ['operands'],
    Operate: ['items'],
    Install: ['items'],
    BeforeRule: ['triggers'],
    Setting: ['states'],
    FromClause: ['feeds'],
    HoldsClause: ['items'],
    PositionsClause: ['states'],
    ForEach: ['names', 'rows'],
    Row: ['args'],
};

function enough(node: Loose): boolean {
    if (node.$type === 'Meanwhile' || undecided.has(node.$type)) return false;
    if (node.$type === 'Pair') return Array.isArray(node.items) && node.items.length === 2;
    if (node.$type === 'Text') evenOut(node);
    return (filled[node.$type] ?? []).every(property => Array.isArray(node[property]) && node[property].length > 0);
}

/** A text has one part more than references, always. */
function evenOut(node: Loose): void {
    const parts = node.parts as string[];
    const refs = (node.refs as unknown[]).filter(isReference);
    while (parts.length < refs.length + 1) parts.push('');
    while (refs.length < parts.length - 1) {
        const last = parts.pop() ?? '';
        parts[parts.length - 1] += last;
    }
    node.refs = refs;
}
