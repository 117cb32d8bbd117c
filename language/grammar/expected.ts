/** What may come next in a text: the grammar walked along the words before a place, whatever is wrong elsewhere. */
import type { IToken } from 'chevrotain';
import { GrammarAST, GrammarUtils, type LangiumCoreServices } from 'langium';
import type { CotterLexer } from './lexer.js';
import { createServices } from './parse.js';

/** A word that was read before, in the same statement, declaration or part, with what it is there. */
export interface Filled {
    /** The type of the node, as in the grammar: "SetTo", "Item". */
    readonly type: string;
    readonly property: string;
    readonly word: string;
    readonly before: Filled | undefined;
}

/** One thing that may come next. */
export type Expected =
    | {
          readonly kind: 'keyword';
          readonly word: string;
          readonly type: string;
          readonly property: string;
          readonly filled: Filled | undefined;
      }
    /** A name of something: the type that is referred to, and where. `isActor`: with a colon behind it. */
    | {
          readonly kind: 'reference';
          readonly to: string;
          readonly isActor: boolean;
          readonly type: string;
          readonly property: string;
          readonly filled: Filled | undefined;
      }
    /** A state, a unit, a number, a text, a new name. `rule`: the rule of words that it is due in, or the terminal. */
    | {
          readonly kind: 'word';
          readonly rule: string;
          readonly type: string;
          readonly property: string;
          /** What the node is of the node around it: a unit of "Wait.time". */
          readonly outer: string;
          readonly filled: Filled | undefined;
      };

export interface ExpectedHere {
    readonly expected: readonly Expected[];
    /** Where the word that is being written begins; the place itself where none is. */
    readonly from: number;
    /** What is written of it. */
    readonly begun: string;
    /** The place lies in a text or a comment: nothing is due there but, in a text, a name between brackets. */
    readonly within: 'text' | 'comment' | 'reference' | 'nothing';
}

/** Where the grammar stands: what comes after, innermost first. */
interface Rest {
    readonly element: GrammarAST.AbstractElement;
    readonly type: string;
    readonly property: string;
    /** The rule of plain words that this stands in: "StateName". */
    readonly words: string;
    /** What the node is of the node around it: "Wait.time". */
    readonly outer: string;
    readonly next: Rest | undefined;
}

interface Leaf {
    readonly element: GrammarAST.Keyword | GrammarAST.RuleCall | GrammarAST.CrossReference;
    readonly type: string;
    readonly property: string;
    readonly words: string;
    readonly outer: string;
    readonly next: Rest | undefined;
}

interface State {
    readonly leaf: Leaf;
    readonly filled: Filled | undefined;
}

interface Walker {
    readonly services: LangiumCoreServices;
    readonly start: readonly Leaf[];
}

let walker: Walker | undefined;

function theWalker(): Walker {
    if (walker) return walker;
    const services = createServices();
    const entry = services.Grammar.rules.find(
        each => GrammarAST.isParserRule(each) && each.entry,
    ) as GrammarAST.ParserRule;
    const rest: Rest = {
        element: entry.definition,
        type: entry.name,
        property: '',
        words: '',
        outer: '',
        next: undefined,
    };
    walker = { services, start: leavesOf(rest) };
    return walker;
}

/** What may come at a place of a text, in the order of the grammar, each once. */
export function expectedAt(text: string, offset: number): ExpectedHere {
    const before = text.slice(0, offset);
    const here = placeIn(before);
    if (here.within === 'comment' || here.within === 'text')
        return { expected: [], from: offset, begun: '', within: here.within };
    const from = here.from;
    const { services, start } = theWalker();
    const lexer = services.parser.Lexer as CotterLexer;
    lexer.isRepairing = false;
    const head = before.slice(declarationBefore(before), from);
    const tokens = here.within === 'reference' ? [] : lexer.tokenize(head).tokens;
    const states = here.within === 'reference' ? [] : walk(start, tokens);
    const expected = new Map<string, Expected>();
    for (const state of states) {
        const each = expectation(state);
        const key = JSON.stringify([
            each.kind,
            each.type,
            each.property,
            'word' in each ? each.word : '',
            'rule' in each ? each.rule : '',
            'to' in each ? each.to : '',
            'outer' in each ? each.outer : '',
        ]);
        if (!expected.has(key)) expected.set(key, each);
    }
    return { expected: [...expected.values()], from, begun: before.slice(from), within: here.within };
}

/** The last word that opens a declaration at the start of a line: what stands before it has no bearing. */
function declarationBefore(text: string): number {
    let at = 0;
    for (const found of text.matchAll(/^[ \t]*(modification|equipment|subtask|card|exercise)\b/gm)) at = found.index;
    return at;
}

/** Whether a place lies in a text or comment, and where the word before it begins. */
function placeIn(before: string): { within: ExpectedHere['within']; from: number } {
    let last: { text: string; index: number } | undefined;
    for (const found of before.matchAll(/"(?:\\.|[^"\\\r\n])*"?|\/\/[^\r\n]*|\/\*[\s\S]*?(?:\*\/|$)/g))
        last = { text: found[0], index: found.index };
    const reaches = last && last.index + last.text.length === before.length;
    if (last && reaches && last.text.startsWith('"') && !(last.text.length > 1 && last.text.endsWith('"'))) {
        const bracket = /\[[ \t]*([\w-]*)$/.exec(last.text);
        if (bracket && !/\\\[[ \t]*[\w-]*$/.test(last.text))
            return { within: 'reference', from: before.length - (bracket[1]?.length ?? 0) };
        return { within: 'text', from: before.length };
    }
    if (last && reaches && (last.text.startsWith('//') || (last.text.startsWith('/*') && !last.text.endsWith('*/'))))
        return { within: 'comment', from: before.length };
    const word = /[\w-]+$/.exec(before)?.[0] ?? '';
    return { within: 'nothing', from: before.length - word.length };
}

/** Follows the tokens. Where one fits nowhere, the rest of its line is passed over, and the block that it stands in goes on. */
function walk(start: readonly Leaf[], tokens: readonly IToken[]): readonly State[] {
    let states: readonly State[] = start.map(leaf => ({ leaf, filled: undefined }));
    /** Of each open block, what may come in it. */
    const blocks: (readonly State[])[] = [states];
    let lost = -1;
    for (const token of tokens) {
        const line = token.startLine ?? 0;
        const name = token.tokenType.name;
        if (lost >= 0) {
            if (line === lost && name !== '{' && name !== '}') continue;
            lost = -1;
            states = blocks.at(-1) ?? states;
            if (name === '{') {
                // The block of something that could not be read: like the one around it.
                blocks.push(states);
                continue;
            }
        }
        const next = states.flatMap(state => (accepts(state.leaf, token) ? advanced(state, token) : []));
        if (next.length === 0) {
            if (name === '}') {
                if (blocks.length > 1) blocks.pop();
                states = blocks.at(-1) ?? states;
            } else lost = line;
            continue;
        }
        states = distinct(next);
        if (name === '{') blocks.push(states);
        else if (name === '}' && blocks.length > 1) blocks.pop();
    }
    return lost >= 0 ? [] : states;
}

function accepts({ element }: Leaf, token: IToken): boolean {
    if (GrammarAST.isKeyword(element)) return token.tokenType.name === element.value;
    const terminal = terminalOf(element);
    const type = token.tokenType;
    return type.name === terminal || (type.CATEGORIES ?? []).some(each => each.name === terminal);
}

function terminalOf(element: GrammarAST.RuleCall | GrammarAST.CrossReference): string {
    const call = GrammarAST.isCrossReference(element) ? element.terminal : element;
    return call && GrammarAST.isRuleCall(call) ? (call.rule.ref?.name ?? '') : 'NAME';
}

function advanced({ leaf, filled }: State, token: IToken): readonly State[] {
    const now: Filled | undefined =
        leaf.property === '' ? filled : { type: leaf.type, property: leaf.property, word: token.image, before: filled };
    return leaf.next ? leavesOf(leaf.next).map(each => ({ leaf: each, filled: now })) : [];
}

/** States at one place of the grammar with the same way back are one. */
function distinct(states: readonly State[]): readonly State[] {
    const seen = new Map<GrammarAST.AbstractElement, State[]>();
    return states.filter(state => {
        const same = seen.get(state.leaf.element) ?? [];
        if (same.some(each => sameRest(each.leaf.next, state.leaf.next))) return false;
        seen.set(state.leaf.element, [...same, state]);
        return true;
    });
}

function sameRest(one: Rest | undefined, two: Rest | undefined): boolean {
    for (; one && two; one = one.next, two = two.next) {
        if (one === two) return true;
        if (one.element !== two.element || one.type !== two.type || one.property !== two.property) return false;
    }
    return one === two;
}

/** Words that may come first of what is left. */
function leavesOf(rest: Rest | undefined): readonly Leaf[] {
    const found: Leaf[] = [];
    if (rest) expand(rest, found, new Set());
    return found;
}

/** Marks the repetition of something that has been there once. */
const again = new WeakSet<Rest>();

function expand(rest: Rest, found: Leaf[], active: Set<GrammarAST.AbstractElement>): void {
    const { element, next } = rest;
    const { cardinality } = element;
    const repeats = cardinality === '*' || cardinality === '+';
    // Back at a repetition without a word in between: all that it can begin with is found already.
    if (repeats && active.has(element)) return;
    if (next && (cardinality === '?' || cardinality === '*' || again.has(rest))) expand(next, found, active);
    if (!repeats) {
        inside(rest, found, active);
        return;
    }
    const more: Rest = { ...rest };
    again.add(more);
    active.add(element);
    inside({ ...rest, next: more }, found, active);
    active.delete(element);
}

function inside(rest: Rest, found: Leaf[], active: Set<GrammarAST.AbstractElement>): void {
    const { element, next, words, outer } = rest;
    let { type, property } = rest;
    if (GrammarAST.isGroup(element)) {
        let chain = next;
        const parts = [...element.elements];
        // What an action names is the type of all that comes after it in the group.
        const types: string[] = [];
        for (const part of parts) {
            if (GrammarAST.isAction(part)) type = part.type?.ref?.name ?? part.inferredType?.name ?? type;
            types.push(type);
        }
        for (let n = parts.length - 1; n >= 0; n--) {
            const part = parts[n];
            if (!part || GrammarAST.isAction(part)) continue;
            chain = { element: part, type: types[n] ?? type, property, words, outer, next: chain };
        }
        if (chain === next) {
            if (next) expand(next, found, active);
        } else if (chain) expand(chain, found, active);
    } else if (GrammarAST.isAlternatives(element)) {
        for (const each of element.elements) expand({ ...rest, element: each }, found, active);
    } else if (GrammarAST.isAssignment(element)) {
        property = element.feature;
        inside({ ...rest, element: element.terminal, property }, found, active);
    } else if (GrammarAST.isRuleCall(element)) {
        const rule = element.rule.ref;
        if (GrammarAST.isParserRule(rule)) {
            const isWords = GrammarUtils.isDataTypeRule(rule);
            expand(
                {
                    element: rule.definition,
                    type: isWords ? type : typeOf(rule),
                    property: isWords ? property : '',
                    words: isWords ? rule.name : '',
                    outer: isWords || property === '' ? outer : `${type}.${property}`,
                    next,
                },
                found,
                active,
            );
        } else found.push({ element, type, property, words, outer, next });
    } else if (GrammarAST.isKeyword(element) || GrammarAST.isCrossReference(element)) {
        found.push({ element, type, property, words, outer, next });
    } else if (next) expand(next, found, active);
}

const typeOf = (rule: GrammarAST.ParserRule): string => rule.returnType?.ref?.name ?? rule.name;

function expectation({ leaf: { element, type, property, words, outer }, filled }: State): Expected {
    if (GrammarAST.isKeyword(element)) return { kind: 'keyword', word: element.value, type, property, filled };
    if (GrammarAST.isCrossReference(element))
        return {
            kind: 'reference',
            to: element.type.ref?.name ?? '',
            isActor: terminalOf(element) === 'ACTOR',
            type,
            property,
            filled,
        };
    return { kind: 'word', rule: words || terminalOf(element), type, property, outer, filled };
}
