/** What a name in a card or subtask stands for, on this aircraft and in this call. */
import type { Span } from '../findings/finding.js';
import * as ast from '../grammar/generated/ast.js';
import type { Item, Machine } from '../machine/machine.js';
import { NONE } from '../machine/machine.js';
import { type ParsedProject, presentOn } from '../names/project.js';
import { lowerFirst, noun, the, thing } from '../vocabulary/sentences.js';
import { Keys } from './keys.js';
import type { Accept, Argument, Call, DoneCard, Material, Role, Spare, Step, Tool } from './plan.js';

/** The arguments of one call, changed: what a search for a better card tries. */
export interface ArgumentChange {
    /** Where the `do` starts. */
    readonly call: { readonly file: string; readonly offset: number };
    readonly args: readonly string[];
}

type Mutable<T> = { -readonly [K in keyof T]: T[K] };
export type OpenDone = Omit<Mutable<DoneCard>, 'begin' | 'end'> & { begin: number[]; end: number[] };

/** More statements than any card has: only calls that multiply each other get there. */
export const mostStatements = 20_000;
const deepestCalls = 64;
const deepest = 400;

/** What is collected while a card is lowered. */
export class Context {
    readonly keys = new Keys();
    readonly roles: Role[] = [];
    readonly tools: Tool[] = [];
    readonly spares: Spare[] = [];
    readonly materials: Material[] = [];
    readonly steps: Step[] = [];
    readonly done: OpenDone[] = [];
    readonly accepts: Accept[] = [];
    /** Tools and materials of cards done inside this one, by declaration, so that two calls share them. */
    readonly declared = new Map<object, Value>();
    /** By role, the item it last worked on in the step. */
    readonly lastWork = new Map<number, number>();
    /** By step, "10 min". */
    readonly takes: string[] = [];
    keeps = 0;
    private spent = 0;
    private readonly said = new Set<string>();

    constructor(
        readonly project: ParsedProject,
        readonly machine: Machine,
        readonly embodied: ReadonlySet<string>,
        readonly change: ArgumentChange | undefined,
        private readonly file: string,
    ) {}

    get unknown(): readonly string[] {
        return [...this.said];
    }

    /** Makes the card not known. */
    say(sentence: string): void {
        this.said.add(sentence);
    }

    /** "at line 12", with the file where it is another one. */
    at(span: Span): string {
        return span.file === this.file ? `at line ${span.line}` : `at line ${span.line} of ${span.file}`;
    }

    /** One more statement; false when there are too many or they lie too deep. */
    spend(place: Place): boolean {
        this.spent++;
        if (this.spent > mostStatements)
            this.say(`The card has more than ${mostStatements} statements when its calls are written out.`);
        else if (place.calls.length > deepestCalls)
            this.say(`Calls lie more than ${deepestCalls} deep in one another.`);
        else if (place.depth > deepest) this.say(`Statements lie more than ${deepest} deep in one another.`);
        else return true;
        return false;
    }

    item(index: number): Item {
        return this.machine.items[index] as Item;
    }

    spanOf(node: Parameters<ParsedProject['spanOf']>[0]): Span {
        return this.project.spanOf(node);
    }

    /** Where a reference stands; `holder` is the node it is part of. */
    spanOfReference(reference: Reference | undefined, holder: Parameters<ParsedProject['spanOf']>[0]): Span {
        const file = this.project.fileOf(holder);
        return reference?.$refNode ? file.spanOf(reference.$refNode) : file.spanOf(holder);
    }
}

export interface Reference<T = unknown> {
    readonly ref?: T;
    readonly $refText: string;
    readonly $refNode?: { readonly offset: number; readonly end: number };
}

type Things = 'item' | 'role' | 'tool' | 'spare' | 'material' | 'place';
/** `text`: as written. A `word` is a position; `nothing` was reported where it was bound. */
export type Value =
    | { readonly is: Things; readonly index: number; readonly text: string }
    | { readonly is: 'word' | 'nothing'; readonly text: string };

/** A card whose steps are being lowered: this one, or one done inside it. */
export interface CardScope {
    readonly node: ast.Card;
    /** Steps so far, this one the last. */
    readonly steps: Map<ast.Step, number>;
    /** Spares, tools and materials by declaration. */
    readonly own: ReadonlyMap<object, Value>;
}

/** Where a statement stands. */
export interface Place {
    readonly context: Context;
    readonly card: CardScope;
    readonly step: number;
    readonly path: string;
    readonly calls: readonly Call[];
    /** Parameters and loop names of the subtask or card that the statement is written in. */
    readonly bound: ReadonlyMap<object, Value>;
    readonly words: ReadonlyMap<string, Value>;
    readonly active: ReadonlySet<object>;
    readonly only: readonly Limit[];
    readonly inArm: boolean;
    readonly depth: number;
}

export interface Limit {
    readonly name: string;
    readonly label: string;
    readonly embodied: boolean;
}

/** What a declaration stands for; undefined and reported where it is nothing on this aircraft. */
export function meaningOf(node: unknown, text: string, place: Place, where: () => string): Value | undefined {
    const { context, card } = place;
    const { machine } = context;
    if (node === undefined) {
        context.say(text ? `${text} ${where()} is not known.` : `A name is missing ${where()}.`);
        return undefined;
    }
    if (ast.isParameter(node) || ast.isLoopName(node)) {
        const value = place.bound.get(node);
        if (!value) context.say(`${text} ${where()} has no value.`);
        return value?.is === 'nothing' ? undefined : value;
    }
    if (ast.isItem(node)) {
        const index = own(machine.itemIndex, node.name);
        if (index !== undefined) return { is: 'item', index, text };
    } else if (ast.isPlace(node)) {
        const index = own(machine.placeIndex, node.name);
        if (index !== undefined) return { is: 'place', index, text };
    } else if (ast.isRole(node)) {
        const index = context.roles.findIndex(each => each.name === node.name);
        if (index >= 0) return { is: 'role', index, text };
        context.say(`The card has no role ${node.name}, which is meant ${where()}.`);
        return undefined;
    } else {
        const value = card.own.get(node as object) ?? alike(node as Declaration, card);
        if (value) return { ...value, text };
    }
    context.say(`${text} ${where()} is not on this aircraft.`);
    return undefined;
}

interface Declaration {
    readonly $type: string;
    readonly name: string;
}

/** A name that stands in both arms of a `where` links to the first; on this aircraft it may be the other. */
const alike = ({ $type, name }: Declaration, card: CardScope): Value | undefined =>
    [...card.own].find(([each]) => {
        const other = each as Declaration;
        return other.$type === $type && other.name === name;
    })?.[1];

const own = (table: Readonly<Record<string, number>>, name: string): number | undefined =>
    Object.hasOwn(table, name) ? table[name] : undefined;

export function resolve(
    reference: Reference | undefined,
    holder: ast.Statement | ast.Action | ast.Text | ast.Step | ast.Setting | ast.Accept,
    place: Place,
): Value | undefined {
    const { context } = place;
    return meaningOf(reference?.ref, reference?.$refText ?? '', place, () => context.at(context.spanOf(holder)));
}

/** The index of what a reference must be; undefined and reported where it is something else. */
export function expectA(
    is: Things,
    reference: Reference | undefined,
    holder: Parameters<typeof resolve>[1],
    place: Place,
): number | undefined {
    const value = resolve(reference, holder, place);
    if (!value) return undefined;
    if (value.is === is) return (value as { index: number }).index;
    place.context.say(`${value.text} ${place.context.at(place.context.spanOf(holder))} is no ${is}.`);
    return undefined;
}

/** What a name written as an argument means where it stands: a name, else a position. */
export function argumentValue(
    name: string,
    from: ast.Do | ast.Row,
    place: Place,
    want: 'position' | 'other' | 'any',
): Value {
    const { context } = place;
    const found = context.project.lookup(from, name);
    const bound = found.map(each => place.bound.get(each.node)).find(each => each !== undefined);
    if (want === 'position') return bound?.is === 'word' ? bound : { is: 'word', text: bound?.text ?? name };
    if (bound) return bound;
    const where = () => context.at(context.spanOf(from));
    if (found.length === 0) {
        if (want === 'any') return { is: 'word', text: name };
        context.say(name ? `${name} ${where()} is not known.` : `A name is missing ${where()}.`);
        return { is: 'nothing', text: name };
    }
    const here = found.find(each => presentOn(each, context.embodied)) ?? found[0];
    return meaningOf(here?.node, name, place, where) ?? { is: 'nothing', text: name };
}

/** The same for a reader of the Plan. */
export function argumentBound(value: Value | undefined): Argument {
    return {
        is: value?.is ?? 'nothing',
        index: value && 'index' in value ? value.index : NONE,
        text: value?.text ?? '',
    };
}

/** A position as written, or the one that a parameter or loop name stands for. */
export function positionWord(state: string | undefined, place: Place): string {
    const value = state === undefined ? undefined : place.words.get(state);
    return value?.text ?? state ?? '';
}

export interface SlotState {
    readonly slot: number;
    readonly state: number;
    readonly words: string;
}

/** The slot of an item that has this state: its own, its presence, its tag. Undefined and reported where it has no such state. */
export function slotState(item: number, word: string, context: Context, where: () => string): SlotState | undefined {
    const { slot, presence, tag, name } = context.item(item);
    for (const each of [slot, presence, tag]) {
        const state = each === NONE ? -1 : (context.machine.slots[each]?.states.indexOf(word) ?? -1);
        if (state >= 0) return { slot: each, state, words: word };
    }
    context.say(word ? `${name} has no state ${word} (${where()}).` : `A state of ${name} is missing ${where()}.`);
    return undefined;
}

/** What a value is called in a sentence, with and without an article. */
export function nameOf(value: Value, context: Context): { readonly noun: string; readonly thing: string } {
    if (!('index' in value)) return { noun: value.text, thing: value.text };
    if (value.is === 'item') return { noun: noun(context.item(value.index)), thing: thing(context.item(value.index)) };
    const label = labelOf(value.is, value.index, context);
    return { noun: lowerFirst(label), thing: the(label) };
}

export function labelOf(is: Exclude<Things, 'item'>, index: number, context: Context): string {
    const table = {
        role: context.roles,
        tool: context.tools,
        spare: context.spares,
        material: context.materials,
        place: context.machine.places,
    }[is];
    return table[index]?.label ?? '';
}
