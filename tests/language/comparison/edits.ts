/**
 * Typed edits of clean cards: what an author does to a text, and by which class and kind it must be reported. What is expected follows from the
 * edit alone, made on the syntax tree; nothing here knows how the comparison finds it.
 */
import { type AstNode, AstUtils, GrammarUtils } from 'langium';
import type { SourceFile } from '../../../language/check.js';
import type * as ast from '../../../language/grammar/generated/ast.js';
import { type ParsedProject, parseProject } from '../../../language/names/project.js';
import { calledBy, equipmentsOfCard } from '../../../language/plan/variants.js';
import type { Change } from '../../../language/readers/comparison/index.js';

export interface Edit {
    readonly type: string;
    /** "drop `deck: close CB-217`". */
    readonly says: string;
    readonly expected: Expected;
    /** Which cards it reaches. */
    readonly cards: ReadonlySet<string>;
    readonly replacements: readonly Replacement[];
    /** Stretches of the old text that no other edit may touch, so that each edit stays itself. */
    readonly claims: readonly Range[];
}

export interface Expected {
    readonly kind: Change['kind'];
    readonly how: Change['how'];
    /** Whether a change reported of the right kind is the one meant. */
    readonly fits: (change: Change) => boolean;
}

interface Range {
    readonly file: string;
    readonly from: number;
    readonly to: number;
}

export interface Replacement extends Range {
    readonly text: string;
}

/** A round number that no two edits of a run share, for texts that are found again. */
export type Mark = () => string;

const from = (node: AstNode): number => node.$cstNode?.offset ?? 0;
const to = (node: AstNode): number => node.$cstNode?.end ?? 0;
const words = (node: AstNode): string => (node.$cstNode?.text ?? '').replaceAll(/\s+/g, ' ').slice(0, 60);

/** What stands behind a way out is never done; alerts and blocks are edited otherwise. */
const unmoved = new Set(['Alert', 'WhereStatements', 'Stop', 'LeaveFor', 'Repeat']);

export function editsOf(files: readonly SourceFile[]): Edit[] {
    const project = parseProject(files);
    return project.files.flatMap(file =>
        [...AstUtils.streamAllContents(file.root)].flatMap(node => new Maker(project, file.path, node).edits()),
    );
}

class Maker {
    constructor(
        private readonly project: ParsedProject,
        private readonly file: string,
        private readonly node: AstNode,
    ) {}

    edits(): Edit[] {
        const { node } = this;
        switch (node.$type) {
            case 'Wait':
                return this.ofWait(node as ast.Wait);
            case 'Act':
                return this.ofAct(node as ast.Act);
            case 'Hold':
                return [this.drop('drop a hold', 'hold'), ...this.reword('reword a hold', 'hold'), ...this.moves()];
            case 'Alert': {
                const { kind } = node as ast.Alert;
                const is = kind === 'note' ? 'wording' : 'warning';
                return [this.drop(`drop a ${kind}`, is), ...this.reword(`reword a ${kind}`, is)];
            }
            case 'Stop':
                return this.reword('reword a stop', 'wording');
            case 'Do':
                return [...this.swapBreakers(node as ast.Do), ...this.moves()];
            case 'Step':
                return this.ofStep(node as ast.Step);
            case 'Item':
                return this.ofItem(node as ast.Item);
            case 'Rule':
                return [this.drop('drop a rule', 'rule')];
            case 'Role':
                // A card that does this one calls the person by its own word.
                return this.relabel('relabel a role', 'wording').map(each => ({ ...each, cards: this.ownCard() }));
            case 'RevisionPart':
                return [
                    this.value(
                        'raise the revision',
                        'record',
                        this.at('revision'),
                        () => '"77"',
                        ({ says }) => says.includes('“77”'),
                    ),
                ];
            case 'Spare':
                return [this.value('change a part number', 'work', this.at('part'), mark => `"T84-00-${mark()}"`)];
            default:
                return [];
        }
    }

    private at(property: string, node = this.node): { from: number; to: number } {
        const cst = GrammarUtils.findNodeForProperty(node.$cstNode, property);
        return { from: cst?.offset ?? 0, to: cst?.end ?? 0 };
    }

    /** Those whose own text, subtasks or equipment this is. */
    private cards(): ReadonlySet<string> {
        const owner = AstUtils.getContainerOfType(this.node, (each): each is AstNode =>
            ['Card', 'Subtask', 'Equipment'].includes(each.$type),
        );
        return new Set(
            this.project.cards
                .filter(
                    card =>
                        calledBy(this.project, card).some(each => each === owner) ||
                        equipmentsOfCard(this.project, card).some(each => each === owner),
                )
                .map(card => card.name),
        );
    }

    private ownCard(): ReadonlySet<string> {
        const card = AstUtils.getContainerOfType(this.node, (each): each is ast.Card => each.$type === 'Card');
        return new Set(card ? [card.name] : []);
    }

    private make(
        type: string,
        expected: Expected,
        replacements: readonly Omit<Replacement, 'file'>[],
        claims: readonly { from: number; to: number }[],
    ): Edit {
        const { file } = this;
        return {
            type,
            says: `${type}: ${words(this.node)}`,
            expected,
            cards: this.cards(),
            replacements: replacements.map(each => ({ ...each, file })),
            claims: [...replacements, ...claims].map(each => ({ file, from: each.from, to: each.to })),
        };
    }

    /** Reported where the statement stood. */
    private fitsHere = (...nodes: readonly AstNode[]) => {
        const ranges = (nodes.length > 0 ? nodes : [this.node]).map(node => ({ from: from(node), to: to(node) }));
        return ({ span: { old } }: Change): boolean =>
            old !== null &&
            old.file === this.file &&
            ranges.some(each => each.from <= old.offset && old.end <= each.to);
    };

    private get own() {
        return { from: from(this.node), to: to(this.node) };
    }

    /** The neighbours too: what stands next to what goes must stay to say where it was. */
    private get around(): { from: number; to: number }[] {
        const { siblings, index } = this.place();
        return [index - 1, index, index + 1].flatMap(n => {
            const node = siblings[n];
            return node ? [{ from: from(node), to: to(node) }] : [];
        });
    }

    private place(): { siblings: readonly AstNode[]; index: number } {
        const siblings = (this.node.$container as unknown as Record<string, unknown>)[
            this.node.$containerProperty ?? ''
        ];
        return Array.isArray(siblings)
            ? { siblings, index: siblings.indexOf(this.node) }
            : { siblings: [this.node], index: 0 };
    }

    private drop(type: string, kind: Change['kind']): Edit {
        return this.make(
            type,
            { kind, how: 'removed', fits: this.fitsHere() },
            [{ ...this.own, text: '' }],
            this.around,
        );
    }

    private value(
        type: string,
        kind: Change['kind'],
        where: { from: number; to: number },
        text: (mark: Mark) => string,
        fits = this.fitsHere(),
    ): Edit {
        return this.make(
            type,
            { kind, how: 'changed', fits },
            [{ ...where, text: text(() => String(where.from)) }],
            [this.own],
        );
    }

    /** One word more at the end of the first text. */
    private reword(type: string, kind: Change['kind'], node: AstNode = this.node): Edit[] {
        const written = node.$cstNode?.text ?? '';
        const text = /"((?:[^"\\]|\\.)*)"/.exec(written);
        if (!text) return [];
        const at = from(node) + text.index + text[0].length - 1;
        return [this.value(type, kind, { from: at, to: at }, () => ' Mind it.')];
    }

    private relabel(type: string, kind: Change['kind']): Edit[] {
        const { from: start, to: end } = this.at('label');
        return end > start ? [this.value(type, kind, { from: end - 1, to: end - 1 }, () => ' anew')] : [];
    }

    private ofWait({ time }: ast.Wait): Edit[] {
        const seconds = Number(time.value) * ({ s: 1, min: 60, h: 3600 }[time.unit] ?? 1);
        const where = { from: from(time), to: to(time) };
        return [
            this.value('shorten a wait', 'wait', where, () => `${seconds - 1} s`),
            this.value('lengthen a wait', 'wait', where, () => `${seconds + 7} s`),
            this.drop('drop a wait', 'wait'),
        ];
    }

    private ofAct(act: ast.Act): Edit[] {
        const { action } = act;
        const made: Edit[] = [...this.otherRole(act), ...this.moves(), ...this.adds()];
        switch (action.$type) {
            case 'Operate': {
                const { verb, items, tag } = action as ast.Operate;
                const [item] = items;
                const target = item?.ref as AstNode | undefined;
                const isBreaker =
                    (target as ast.Item | undefined)?.kind === 'breaker' ||
                    (target as ast.Parameter | undefined)?.kind === 'breaker';
                if (items.length === 1 && isBreaker && verb === 'close')
                    made.push(this.drop('drop a close', 'breaker'));
                if (items.length === 1 && isBreaker && verb === 'pull') made.push(this.drop('drop a pull', 'breaker'));
                if (tag && items.length === 1) {
                    const at = (this.node.$cstNode?.text ?? '').lastIndexOf(' and tag');
                    made.push(
                        this.value(
                            'drop a tag',
                            'isolation',
                            { from: from(this.node) + at, to: from(this.node) + at + 8 },
                            () => '',
                        ),
                    );
                }
                break;
            }
            case 'See': {
                const see = action as ast.See;
                made.push(...this.otherState(see), ...this.timing(see));
                if (!see.else) made.push(this.drop('drop a look', 'indication'));
                break;
            }
            case 'Read': {
                const read = action as ast.Read;
                made.push(...this.timing(read), ...this.limits(read.limits));
                if (!read.else) made.push(this.drop('drop a look', 'indication'));
                break;
            }
            case 'Tell':
                made.push(...this.reword('reword a tell', 'wording'), this.drop('drop a tell', 'told'));
                break;
            case 'Prose':
                made.push(...this.reword('reword an instruction', 'work'));
                break;
            case 'Torque':
                made.push(this.drop('drop a torque', 'torque'));
                break;
            case 'Keep': {
                const { atMost } = action as ast.Keep;
                made.push(
                    this.value(
                        'hold it by hand for less',
                        'limit',
                        { from: from(atMost), to: to(atMost) },
                        () => '21 s',
                    ),
                );
                break;
            }
        }
        return made;
    }

    private otherRole({ actor, action }: ast.Act): Edit[] {
        const now = actor?.ref as AstNode | undefined;
        const { $refNode } = actor ?? {};
        // In a subtask roles are parameters; the other one of the same owner.
        const others = ((now?.$container as { parameters?: AstNode[]; parts?: AstNode[] } | undefined)?.parameters ??
            (now?.$container as { parts?: AstNode[] } | undefined)?.parts ??
            []) as unknown as readonly (AstNode & { name: string; kind?: string })[];
        const other = others.find(each => each !== now && (each.$type === 'Role' || each.kind === 'role'));
        if (!other || !$refNode || action.$type === 'Tell') return [];
        const where = { from: $refNode.offset, to: $refNode.end };
        // What is held by hand is done and let go by one.
        return [
            this.value('change a role', 'role', where, () =>
                /:$/.test($refNode.text) ? `${other.name}:` : other.name,
            ),
        ];
    }

    private otherState(see: ast.See): Edit[] {
        const item = see.item?.ref as ast.Item | undefined;
        if (item?.$type !== 'Item') return [];
        const states = new Set(
            [...AstUtils.streamAllContents(item)].flatMap(each =>
                each.$type === 'Shows' ? [(each as ast.Shows).state ?? ''] : [],
            ),
        );
        const other = [...states].find(each => each !== '' && each !== see.state);
        return other ? [this.value('change an expected state', 'indication', this.at('state', see), () => other)] : [];
    }

    private timing(look: ast.Look): Edit[] {
        const { timing } = look;
        const time = timing?.within ?? timing?.for;
        if (!time) return [];
        const kind = timing?.within ? 'limit' : 'wait';
        return [
            this.value(
                timing?.within ? 'change a time limit' : 'change how long it must stay so',
                kind,
                { from: from(time), to: to(time) },
                () => '9 s',
            ),
        ];
    }

    private limits(limits: ast.Limits): Edit[] {
        const written = limits.$cstNode?.text ?? '';
        const number = /\d+/.exec(written);
        if (!number) return [];
        const at = from(limits) + number.index;
        return [
            this.value('change a limit', 'limit', { from: at, to: at + number[0].length }, () =>
                String(Number(number[0]) - 1 || 3),
            ),
        ];
    }

    private swapBreakers(call: ast.Do): Edit[] {
        const breakers = call.args.filter(arg =>
            this.project.lookup(call, arg.name).some(each => (each.node as ast.Item).kind === 'breaker'),
        );
        const [one, two] = breakers;
        if (!one || !two) return [];
        return [
            this.make(
                'swap two breakers',
                { kind: 'breaker', how: 'changed', fits: this.fitsHere() },
                [
                    { from: from(one), to: to(one), text: two.name },
                    { from: from(two), to: to(two), text: one.name },
                ],
                [this.own],
            ),
        ];
    }

    /** Over one neighbour, and over two. */
    private moves(): Edit[] {
        const { siblings, index } = this.place();
        const still = (node: AstNode | undefined): boolean => node !== undefined && !unmoved.has(node.$type);
        const [one, two] = [siblings[index + 1], siblings[index + 2]];
        const made: Edit[] = [];
        const distinct = (...nodes: (AstNode | undefined)[]): boolean =>
            new Set(nodes.map(node => node && words(node))).size === nodes.length;
        if (one && still(one) && distinct(this.node, one)) made.push(this.exchange('swap two lines', one));
        if (one && two && still(one) && still(two) && distinct(this.node, one, two)) {
            const own = this.node.$cstNode?.text ?? '';
            made.push(
                this.make(
                    'move a line',
                    { kind: 'order', how: 'moved', fits: this.fitsHere() },
                    [
                        { ...this.own, text: '' },
                        { from: to(two), to: to(two), text: `\n${own}` },
                    ],
                    [
                        ...this.around,
                        { from: from(this.node), to: to(two) },
                        ...(siblings[index + 3]
                            ? [{ from: from(siblings[index + 3] as AstNode), to: to(siblings[index + 3] as AstNode) }]
                            : []),
                    ],
                ),
            );
        }
        return made;
    }

    private exchange(type: string, other: AstNode): Edit {
        const { siblings, index } = this.place();
        const beyond = siblings[index + 2];
        return this.make(
            type,
            // Who of two has overtaken the other is a matter of view.
            { kind: 'order', how: 'moved', fits: this.fitsHere(this.node, other) },
            [
                { ...this.own, text: other.$cstNode?.text ?? '' },
                { from: from(other), to: to(other), text: this.node.$cstNode?.text ?? '' },
            ],
            [...this.around, ...(beyond ? [{ from: from(beyond), to: to(beyond) }] : [])],
        );
    }

    private adds(): Edit[] {
        const at = to(this.node);
        const actor = (this.node as ast.Act).actor?.$refText ?? '';
        const add = (type: string, kind: Change['kind'], text: string, found: string): Edit =>
            this.make(
                type,
                { kind, how: 'added', fits: ({ says, span: { old } }) => old === null && says.includes(found) },
                [{ from: at, to: at, text: `\n${text}` }],
                this.around,
            );
        return [
            add('add an instruction', 'work', `${actor}: "Note ${at} in the log."`, `Note ${at} in the log`),
            add('add a wait', 'wait', `wait ${at + 1000} s`, ` ${at + 1000} s`),
        ];
    }

    private ofStep(step: ast.Step): Edit[] {
        const { siblings, index } = this.place();
        const next = siblings[index + 1];
        const made = this.relabel('rehead a step', 'wording');
        if (step.takes)
            made.push(
                this.value(
                    'change how long a step takes',
                    'work',
                    { from: from(step.takes), to: to(step.takes) },
                    () => '77 min',
                ),
            );
        if (next?.$type === 'Step') {
            // What lies in the steps may change as well: the texts are exchanged in place.
            const braces = { from: from(step), to: from(step) };
            void braces;
            made.push(this.exchange('swap two steps', next));
        }
        const at = to(step);
        made.push(
            this.make(
                'add a step',
                {
                    kind: 'work',
                    how: 'added',
                    fits: ({ says, span: { old } }) => old === null && says.includes(`Extra ${at}`),
                },
                [
                    {
                        from: at,
                        to: at,
                        text: `\n  step extra_${at} "Extra ${at}" {\n    ${this.someRole()}: "Tidy up."\n  }`,
                    },
                ],
                [{ from: at, to: at }],
            ),
        );
        return made;
    }

    private someRole(): string {
        const card = AstUtils.getContainerOfType(this.node, (each): each is ast.Card => each.$type === 'Card');
        const role = card?.parts.find(each => each.$type === 'Role') as ast.Role | undefined;
        return role?.name ?? '';
    }

    private ofItem(item: ast.Item): Edit[] {
        const breaker = item.kind === 'breaker';
        const made = [
            ...this.relabel('relabel an item', breaker ? 'breaker' : 'wording'),
            this.rename(item, breaker ? 'breaker' : 'wording'),
        ];
        for (const clause of item.clauses) {
            if (clause.$type === 'TorqueClause') {
                const { limits } = clause as ast.TorqueClause;
                const high = GrammarUtils.findNodeForProperty(limits.$cstNode, 'high');
                if (high)
                    made.push(
                        this.value('change a torque', 'torque', { from: high.offset, to: high.end }, () =>
                            String(Number(high.text) + 1),
                        ),
                    );
            } else if (clause.$type === 'RatedClause') {
                const { quantity } = clause as ast.RatedClause;
                made.push(
                    this.value('change a rating', 'breaker', { from: from(quantity), to: to(quantity) }, () => '2 A'),
                );
            }
        }
        return made;
    }

    /** Everywhere where it is spoken of. */
    private rename(item: ast.Item, kind: Change['kind']): Edit {
        const name = `${item.name}-9`;
        const places: Replacement[] = [{ ...this.at('name'), file: this.file, text: name }];
        for (const { path, root } of this.project.files) {
            for (const node of [root, ...AstUtils.streamAllContents(root)]) {
                for (const { reference } of AstUtils.streamReferences(node)) {
                    const { $refNode, ref } = reference as {
                        $refNode?: { offset: number; end: number };
                        ref?: AstNode;
                    };
                    if (ref === item && $refNode)
                        places.push({ file: path, from: $refNode.offset, to: $refNode.end, text: name });
                }
                if (node.$type !== 'Do' && node.$type !== 'Row') continue;
                for (const arg of (node as ast.Do).args)
                    if (arg.name === item.name) places.push({ file: path, from: from(arg), to: to(arg), text: name });
            }
        }
        return {
            type: 'rename an item',
            says: `rename ${item.name}`,
            expected: { kind, how: 'renamed', fits: this.fitsHere() },
            cards: this.cards(),
            replacements: places,
            claims: [...places.map(({ file, from, to }) => ({ file, from, to })), { file: this.file, ...this.own }],
        };
    }
}

/** All of them at once; they claim different stretches. */
export function applied(files: readonly SourceFile[], edits: readonly Edit[]): SourceFile[] {
    return files.map(file => {
        const here = edits
            .flatMap(each => each.replacements)
            .filter(each => each.file === file.path)
            .sort((a, b) => b.from - a.from || b.to - a.to);
        let { text } = file;
        for (const each of here) text = text.slice(0, each.from) + each.text + text.slice(each.to);
        return { ...file, text };
    });
}

const overlaps = (a: Range, b: Range): boolean =>
    a.file === b.file &&
    (a.from < b.to || (a.from === b.from && a.to === b.to)) &&
    b.from <= a.to &&
    (b.from < a.to || a.from === a.to) &&
    a.from <= b.to;

export const together = (edits: readonly Edit[], one: Edit): boolean =>
    !edits.some(other => other.claims.some(a => one.claims.some(b => overlaps(a, b))));
