/** Machine-made changes of a clean card, at the level of its text: what somebody forgets, shortens, or puts in the wrong place. */
import { type AstNode, AstUtils } from 'langium';
import type * as ast from '../../language/grammar/generated/ast.js';
import { type ParsedProject, parseProject, type SourceText } from '../../language/names/project.js';

export const kinds = [
    'drop a close',
    'drop a pull',
    'drop an ensure',
    'drop a tag',
    'drop a wait',
    'shorten a wait',
    'drop a tell',
    'drop a connect',
    'drop a disconnect',
    'drop an install',
    'drop a remove',
    'drop an open',
    'drop a clean',
    'drop an apply',
    'drop a set',
    'drop a press',
    'drop a keep',
    'drop a look',
    'swap neighbours',
    'swap arguments',
    'move a hold',
    'drop an alert',
    'reverse a range',
    'rate a breaker higher',
    'drop a torque',
    'drop a spare',
] as const;
export type Kind = (typeof kinds)[number];

/** A piece of the old text, or new words. Knowing where a piece comes from tells which statement is which afterwards. */
export type Piece = { readonly from: number; readonly to: number } | string;

export interface Mutant {
    readonly kind: Kind;
    readonly file: string;
    readonly line: number;
    /** "drop `deck: close CB-217`". */
    readonly says: string;
    readonly pieces: readonly Piece[];
    readonly text: string;
    /** Offsets of the statements that are not what they were: dropped, swapped, moved, shortened. */
    readonly touched: readonly number[];
}

export function mutantsOf(sources: readonly SourceText[]): Mutant[] {
    const project = parseProject(sources);
    return project.files.flatMap(file => {
        const nodes = [...AstUtils.streamAllContents(file.root)];
        return nodes.flatMap(node => [
            ...ofStatement(project, file, node),
            ...ofBlock(file, node),
            ...ofArguments(file, node),
            ...ofValue(file, node),
        ]);
    });
}

interface Text {
    readonly path: string;
    readonly text: string;
}

const startOf = (node: AstNode) => node.$cstNode?.offset ?? 0;
const endOf = (node: AstNode) => node.$cstNode?.end ?? 0;

function make(
    file: Text,
    kind: Kind,
    node: AstNode,
    says: string,
    edits: readonly Edit[],
    touched: readonly number[],
): Mutant {
    const pieces: Piece[] = [];
    let at = 0;
    for (const edit of [...edits].sort((one, two) => one.from - two.from)) {
        pieces.push({ from: at, to: edit.from }, ...edit.by);
        at = edit.to;
    }
    pieces.push({ from: at, to: file.text.length });
    const text = pieces.map(each => (typeof each === 'string' ? each : file.text.slice(each.from, each.to))).join('');
    return { kind, file: file.path, line: (node.$cstNode?.range.start.line ?? 0) + 1, says, pieces, text, touched };
}

interface Edit {
    readonly from: number;
    readonly to: number;
    readonly by: readonly Piece[];
}

function words(file: Text, node: AstNode): string {
    const text = file.text.slice(startOf(node), endOf(node)).replaceAll(/\s+/g, ' ');
    return text.length > 70 ? `${text.slice(0, 67)}...` : text;
}

/** Without the statement; a line that held nothing else goes too. */
function without(file: Text, node: AstNode): Edit {
    let from = startOf(node);
    let to = endOf(node);
    const lineStart = file.text.lastIndexOf('\n', from - 1) + 1;
    const lineEnd = file.text.indexOf('\n', to);
    if (/^\s*$/.test(file.text.slice(lineStart, from)) && /^\s*$/.test(file.text.slice(to, lineEnd))) {
        from = lineStart;
        to = lineEnd + 1;
    }
    return { from, to, by: [] };
}

const dropped: Readonly<Record<string, Kind>> = {
    close: 'drop a close',
    pull: 'drop a pull',
    connect: 'drop a connect',
    disconnect: 'drop a disconnect',
    remove: 'drop a remove',
    open: 'drop an open',
    clean: 'drop a clean',
    apply: 'drop an apply',
    tag: 'drop a tag',
};
const droppedTypes: Readonly<Record<string, Kind>> = {
    Ensure: 'drop an ensure',
    Tell: 'drop a tell',
    SetTo: 'drop a set',
    Press: 'drop a press',
    Keep: 'drop a keep',
    See: 'drop a look',
    Read: 'drop a look',
    Measure: 'drop a look',
    Torque: 'drop a torque',
};

function ofStatement(project: ParsedProject, file: Text, node: AstNode): Mutant[] {
    void project;
    if (node.$type === 'Wait') {
        const { time } = node as ast.Wait;
        return [
            make(file, 'drop a wait', node, `drop \`${words(file, node)}\``, [without(file, node)], [startOf(node)]),
            ...shortened(file, node, time),
        ];
    }
    if (node.$type === 'Alert' && (node as ast.Alert).kind !== 'note')
        return [make(file, 'drop an alert', node, `drop \`${words(file, node)}\``, [without(file, node)], [])];
    if (node.$type !== 'Act') return [];
    const { action } = node as ast.Act;
    const drop = (kind: Kind) =>
        make(file, kind, node, `drop \`${words(file, node)}\``, [without(file, node)], [startOf(node)]);
    const made: Mutant[] = [];
    if (action.$type === 'Operate' || action.$type === 'Install') {
        const { items } = action as ast.Operate | ast.Install;
        const kind = action.$type === 'Install' ? 'drop an install' : dropped[(action as ast.Operate).verb];
        if (kind && items.length === 1) made.push(drop(kind));
        else if (kind) {
            for (const [index, item] of items.entries()) {
                const { offset = 0, end = 0 } = item.$refNode ?? {};
                // The comma goes with it: the one before, or for the first the one behind.
                const next = items[index + 1]?.$refNode?.offset;
                const from = index > 0 ? (items[index - 1]?.$refNode?.end ?? offset) : offset;
                const to = index > 0 ? end : (next ?? end);
                made.push(
                    make(
                        file,
                        kind,
                        node,
                        `drop ${item.$refText} from \`${words(file, node)}\``,
                        [{ from, to, by: [] }],
                        [startOf(node)],
                    ),
                );
            }
        }
    } else if (droppedTypes[action.$type]) made.push(drop(droppedTypes[action.$type] as Kind));
    if ((action as { tag?: boolean }).tag) {
        const at = file.text.lastIndexOf(' and tag', endOf(node));
        made.push(
            make(
                file,
                'drop a tag',
                node,
                `drop "and tag" from \`${words(file, node)}\``,
                [{ from: at, to: at + 8, by: [] }],
                [startOf(node)],
            ),
        );
    }
    if (action.$type === 'Install') made.push(...ofSpares(file, node, action as ast.Install));
    const timing = (action as ast.Look).timing;
    if (timing?.for) made.push(...shortened(file, node, timing.for));
    return made;
}

/** One of what stands behind `with`, where it is a spare. */
function ofSpares(file: Text, node: AstNode, { with: means }: ast.Install): Mutant[] {
    return means.flatMap((each, index) => {
        if (each.ref?.$type !== 'Spare' || !each.$refNode) return [];
        const { offset, end } = each.$refNode;
        const last = means[index - 1]?.$refNode?.end;
        const next = means[index + 1]?.$refNode?.offset;
        const from = last ?? (next === undefined ? file.text.lastIndexOf(' with', offset) : offset);
        const to = last === undefined && next !== undefined ? next : end;
        const says = `drop ${each.$refText} from \`${words(file, node)}\``;
        return [make(file, 'drop a spare', node, says, [{ from, to, by: [] }], [startOf(node)])];
    });
}

/** Half of it, and a second less. */
function shortened(file: Text, node: AstNode, time: ast.Quantity): Mutant[] {
    const seconds = Number(time.value) * ({ s: 1, min: 60, h: 3600 }[time.unit] ?? 1);
    return [Math.floor(seconds / 2), seconds - 1].map(less =>
        make(
            file,
            'shorten a wait',
            node,
            `${less} s in \`${words(file, node)}\``,
            [{ from: startOf(time), to: endOf(time), by: [`${less} s`] }],
            [startOf(node)],
        ),
    );
}

function ofBlock(file: Text, node: AstNode): Mutant[] {
    const { statements } = node as { statements?: readonly ast.Statement[] };
    if (!statements) return [];
    const made: Mutant[] = [];
    for (const [index, one] of statements.entries()) {
        const two = statements[index + 1];
        if (two && one.$type !== 'Alert' && two.$type !== 'Alert') {
            made.push(
                make(
                    file,
                    'swap neighbours',
                    one,
                    `swap \`${words(file, one)}\` and \`${words(file, two)}\``,
                    [
                        { from: startOf(one), to: endOf(one), by: [{ from: startOf(two), to: endOf(two) }] },
                        { from: startOf(two), to: endOf(two), by: [{ from: startOf(one), to: endOf(one) }] },
                    ],
                    [startOf(one), startOf(two)],
                ),
            );
        }
        if (one.$type === 'Hold') {
            for (const [other, place] of statements.entries()) {
                // Next to its neighbours it is a swap.
                if (Math.abs(other - index) < 2) continue;
                const at = other < index ? startOf(place) : endOf(place);
                const piece = { from: startOf(one), to: endOf(one) };
                made.push(
                    make(
                        file,
                        'move a hold',
                        one,
                        `move \`${words(file, one)}\` ${other < index ? 'before' : 'behind'} \`${words(file, place)}\``,
                        [without(file, one), { from: at, to: at, by: other < index ? [piece, '\n'] : ['\n', piece] }],
                        [
                            startOf(one),
                            ...statements.slice(Math.min(other, index), Math.max(other, index) + 1).map(startOf),
                        ],
                    ),
                );
            }
        }
    }
    return made;
}

function ofArguments(file: Text, node: AstNode): Mutant[] {
    const { args } = node as { args?: readonly ast.Argument[] };
    if (!args || (node.$type !== 'Do' && node.$type !== 'Row')) return [];
    const made: Mutant[] = [];
    const swap = (one: ast.Argument, two: ast.Argument) =>
        make(
            file,
            'swap arguments',
            node,
            `swap ${one.name} and ${two.name} in \`${words(file, node)}\``,
            [
                { from: startOf(one), to: endOf(one), by: [two.name] },
                { from: startOf(two), to: endOf(two), by: [one.name] },
            ],
            [],
        );
    for (const [index, one] of args.entries()) for (const two of args.slice(index + 1)) made.push(swap(one, two));
    // The same column of two rows of a loop.
    const { rows } = (node.$container ?? {}) as { rows?: readonly ast.Row[] };
    for (const row of rows?.slice((rows as readonly AstNode[]).indexOf(node) + 1) ?? []) {
        for (const [index, one] of args.entries()) {
            const two = row.args[index];
            if (two) made.push(swap(one, two));
        }
    }
    return made;
}

/** The ends of a range exchanged, and a breaker of twice the rating. */
function ofValue(file: Text, node: AstNode): Mutant[] {
    if (node.$type === 'Limits') {
        const { low, high } = node as ast.Limits;
        if (low === undefined || high === undefined) return [];
        const written = file.text.slice(startOf(node), endOf(node));
        const [from, to] = [startOf(node), startOf(node) + written.lastIndexOf(high)];
        const edits = [
            { from, to: from + low.length, by: [high] },
            { from: to, to: to + high.length, by: [low] },
        ];
        return [make(file, 'reverse a range', node, `exchange the ends of \`${words(file, node)}\``, edits, [])];
    }
    if (node.$type !== 'RatedClause') return [];
    const { quantity } = node as ast.RatedClause;
    const from = startOf(quantity);
    const edit = { from, to: from + quantity.value.length, by: [String(Number(quantity.value) * 2)] };
    return [make(file, 'rate a breaker higher', node, `twice \`${words(file, node)}\``, [edit], [])];
}

/** Where an offset of the changed text was before; undefined for new words. */
export function cameFrom(mutant: Mutant, offset: number): number | undefined {
    let at = 0;
    for (const piece of mutant.pieces) {
        const length = typeof piece === 'string' ? piece.length : piece.to - piece.from;
        if (offset < at + length) return typeof piece === 'string' ? undefined : piece.from + offset - at;
        at += length;
    }
    return undefined;
}
