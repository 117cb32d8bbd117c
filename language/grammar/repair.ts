/**
 * What a writer most likely meant, where the text as it stands cannot be read: a misspelt opening word, a missing one, a
 * brace too few or too many. Works on the tokens, goes by the indentation, and says each time what it took for granted;
 * the parser then reads the rest of the card as if the slip had not happened.
 */
import { createTokenInstance, type IToken, type TokenType, type TokenTypeDictionary } from 'chevrotain';
import { unitOf } from '../vocabulary/units.js';
import { misspelt, openers } from './messages.js';
import { nearest } from './nearest.js';
import type { Problem } from './problem.js';

export interface Repair {
    readonly tokens: IToken[];
    readonly problems: Problem[];
}

export function repair(tokens: readonly IToken[], types: TokenTypeDictionary): Repair {
    const used = habits(tokens, types);
    const spelled = spell(used.tokens, types);
    const opened = openLines(spelled.tokens, types);
    const braced = balance(opened.tokens, types);
    return {
        tokens: braced.tokens,
        problems: [...used.problems, ...spelled.problems, ...opened.problems, ...braced.problems],
    };
}

const endOf = (token: IToken) => token.startOffset + token.image.length;
const isFirst = (tokens: readonly IToken[], index: number) =>
    index === 0 || tokens[index - 1]?.startLine !== tokens[index]?.startLine;
const isLast = (tokens: readonly IToken[], index: number) =>
    index === tokens.length - 1 || tokens[index + 1]?.startLine !== tokens[index]?.startLine;

/** A token that is not in the text: the parser takes it, the tree does not show it. */
function insert(types: TokenTypeDictionary, name: string, at: number, near: IToken): IToken {
    const type = types[name];
    if (!type) throw new Error(`There is no token ${name}.`);
    const { startLine: line = 1, startColumn: column = 1 } = near;
    const token = createTokenInstance(type, '', at, at, line, line, column, column);
    token.isInsertedInRecovery = true;
    return token;
}

/** The token as it would be, had the writer written what was meant. */
const asThough = (token: IToken, meant: string, type: TokenType) => ({
    ...token,
    tokenType: type,
    tokenTypeIdx: type.tokenTypeIdx ?? token.tokenTypeIdx,
    image: meant,
    trueImage: token.image,
});

/** What a writer new to the language calls a kind of item. */
const otherKinds: Readonly<Record<string, string>> = {
    switch: 'control',
    selector: 'control',
    knob: 'control',
    lever: 'control',
    lamp: 'light',
    indicator: 'light',
    annunciator: 'light',
    meter: 'gauge',
    hatch: 'door',
    pump: 'motor',
};

/** Another word for what the language has, where only one thing can be meant. */
function habits(tokens: readonly IToken[], types: TokenTypeDictionary): Repair {
    const mended: IToken[] = [];
    const problems: Problem[] = [];
    const nameAt = (index: number) => tokens[index]?.tokenType.name;
    for (let index = 0; index < tokens.length; index++) {
        const token = tokens[index] as IToken;
        const isWait = nameAt(index + 1) === ':' && nameAt(index + 2) === 'wait' && nameAt(index + 3) === 'NUMBER';
        if (nameAt(index) === 'ACTOR' && isWait) {
            const offset = token.startOffset;
            const end = (tokens[index + 2] as IToken).startOffset;
            problems.push({
                message: `Everybody waits: write "wait" without "${token.image}:".`,
                offset,
                end: endOf(tokens[index + 1] as IToken),
                fix: { title: `Take out ${token.image}:`, offset, end, newText: '' },
            });
            index++;
            continue;
        }
        const isTime =
            ['after', 'within', 'for'].includes(nameAt(index) ?? '') &&
            nameAt(index - 2) === 'goes' &&
            nameAt(index + 1) === 'NUMBER';
        const isKind = nameAt(index) === 'ID' && isFirst(tokens, index) && nameAt(index + 2) === 'STRING';
        const meant = isTime ? 'in' : isKind ? otherKinds[token.image] : undefined;
        const type = meant && types[meant];
        if (meant && type) {
            problems.push(misspelt(token, meant));
            mended.push(asThough(token, meant, type));
        } else mended.push(token);
    }
    return { tokens: mended, problems };
}

/** Small-letter words that stand only once and are all but a word of the language. */
function spell(tokens: readonly IToken[], types: TokenTypeDictionary): Repair {
    const times = new Map<string, number>();
    for (const { image } of tokens) times.set(image, (times.get(image) ?? 0) + 1);
    const words = Object.keys(types).filter(name => /^[a-z]+$/.test(name));
    const problems: Problem[] = [];
    const mended = tokens.map((token, index) => {
        if (token.tokenType.name !== 'ID' || !/^[A-Za-z][a-z]{2,}$/.test(token.image) || times.get(token.image) !== 1)
            return token;
        const before = tokens[index - 1]?.tokenType.name;
        // After a role an unknown verb is read as such; a name follows an opening word; a unit follows a number.
        if (before === ':' || before === 'NUMBER' || unitOf(token.image)) return token;
        const first = isFirst(tokens, index);
        if (!first && before && openers.has(before) && namesItself.has(before)) return token;
        const meant = nearest(token.image.toLowerCase(), first ? openers : words);
        const type = meant && types[meant];
        if (!meant || !type) return token;
        problems.push(misspelt(token, meant));
        return asThough(token, meant, type);
    });
    return { tokens: mended, problems };
}

/** Opening words that a name of the writer's own follows. */
const namesItself = new Set(
    `modification equipment subtask card exercise place rule role tool spare material step test
     breaker control button door port connector lead panel unit seal fastener plug lock pin cap cover chock area stimulus
     valve relay timer sensor mechanism level light gauge horn mark flow source motor uses at in from is do each`.split(
        /\s+/,
    ),
);

const declarations = new Set(['modification', 'equipment', 'subtask', 'card', 'exercise']);

/** A line that begins with a name and a text, where only its opening word can be missing. */
function openLines(tokens: readonly IToken[], types: TokenTypeDictionary): Repair {
    const mended: IToken[] = [];
    const problems: Problem[] = [];
    let depth = 0;
    let inside = '';
    for (const [index, token] of tokens.entries()) {
        const name = token.tokenType.name;
        if (depth === 0 && declarations.has(name)) inside = name;
        const isNamed = ['ID', 'GLUED'].includes(name) && tokens[index + 1]?.tokenType.name === 'STRING';
        if (isNamed && isFirst(tokens, index)) {
            const word = missingWord(tokens, index, depth, inside);
            if (word) {
                mended.push(insert(types, word.name, token.startOffset, token));
                const message = `Before ${token.image} a word is missing that says what it is, such as ${word.such}.`;
                problems.push({ message, offset: token.startOffset, end: endOf(token) });
                if (depth === 0) inside = word.name;
            }
        }
        if (name === '{') depth++;
        else if (name === '}') depth = Math.max(0, depth - 1);
        mended.push(token);
    }
    return { tokens: mended, problems };
}

function missingWord(
    tokens: readonly IToken[],
    index: number,
    depth: number,
    inside: string,
): { readonly name: string; readonly such: string } | undefined {
    const line: string[] = [];
    for (let at = index; at < tokens.length; at++) {
        line.push(tokens[at]?.tokenType.name ?? '');
        if (isLast(tokens, at)) break;
    }
    if (depth === 0) {
        const next = tokens[index + line.length]?.tokenType.name ?? '';
        const such = '"equipment", "subtask" or "card"';
        if (line.includes('on')) return { name: 'exercise', such: '"exercise"' };
        if (line.at(-1) !== '{') return { name: 'modification', such };
        if (line.includes('(') || next === 'ACTOR') return { name: 'subtask', such };
        return { name: namesItself.has(next) && next !== 'uses' && next !== 'role' ? 'equipment' : 'card', such };
    }
    if (inside === 'equipment') {
        if (line.includes('behind')) return { name: 'place', such: '"place"' };
        return { name: 'unit', such: '"breaker", "unit" or "place"' };
    }
    if (inside !== 'card' || depth > 1) return undefined;
    if (line.at(-1) === '{') return { name: 'step', such: '"step" or "test"' };
    if (line.includes('range')) return { name: 'tool', such: '"tool"' };
    if (line.includes('part') || line.includes('quantity') || line.includes('for'))
        return { name: 'spare', such: '"spare"' };
    if (line.includes('at') || line.includes('independent')) return { name: 'role', such: '"role"' };
    return { name: 'material', such: '"role", "tool", "spare" or "material"' };
}

interface Open {
    /** Column of the first token of the line that the brace stands on. */
    readonly indent: number;
    readonly line: number;
    readonly token: IToken;
}

/** Puts braces where the indentation says that they are missing, and drops those that close nothing. */
function balance(tokens: readonly IToken[], types: TokenTypeDictionary): Repair {
    if (!isIndented(tokens)) return { tokens: [...tokens], problems: [] };
    const mended: IToken[] = [];
    const problems: Problem[] = [];
    const stack: Open[] = [];
    let indent = 1;
    const close = (open: Open, before: IToken): void => {
        const last = mended.at(-1) ?? before;
        mended.push(insert(types, '}', endOf(last), last));
        const message = `The "{" of line ${open.line} is not closed: "}" is due before this.`;
        const at = endOf(last);
        problems.push({
            message,
            offset: at,
            end: at,
            fix: { title: 'Write }', offset: at, end: at, newText: closing(last, open) },
        });
    };
    for (const [index, token] of tokens.entries()) {
        const name = token.tokenType.name;
        const column = token.startColumn ?? 1;
        if (isFirst(tokens, index)) {
            indent = column;
            for (let top = stack.at(-1); top && top.line !== token.startLine; top = stack.at(-1)) {
                // A line that stands as far left as the one that opened the block is outside of it.
                const isOutside = name === '}' ? column < top.indent : column <= top.indent;
                if (!isOutside) break;
                close(top, token);
                stack.pop();
            }
            if (name === '}') {
                const top = stack.at(-1);
                if (!top || column > top.indent) {
                    const header = headerBefore(mended, column, top);
                    if (header === undefined) {
                        problems.push(stray(token));
                        continue;
                    }
                    openAfter(header, column);
                }
            }
        }
        if (name === '{') stack.push({ indent, line: token.startLine ?? 1, token });
        else if (name === '}') stack.pop();
        mended.push(token);
    }
    const last = tokens.at(-1);
    if (last) for (let top = stack.pop(); top; top = stack.pop()) close(top, last);
    return { tokens: mended, problems };

    function openAfter(at: number, column: number): void {
        const near = mended[at] as IToken;
        const brace = insert(types, '{', endOf(near), near);
        mended.splice(at + 1, 0, brace);
        stack.push({ indent: column, line: near.startLine ?? 1, token: brace });
        const offset = endOf(near);
        const message = 'The lines below are indented as a block: "{" is due here.';
        problems.push({ message, offset, end: offset, fix: { title: 'Write {', offset, end: offset, newText: ' {' } });
    }
}

const closing = (last: IToken, open: Open) =>
    last.startLine === open.line ? ' }' : `\n${' '.repeat(Math.max(0, open.indent - 1))}}`;

function stray(token: IToken): Problem {
    const offset = token.startOffset;
    const end = endOf(token);
    return {
        message: 'This "}" closes nothing.',
        offset,
        end,
        fix: { title: 'Take out the }', offset, end, newText: '' },
    };
}

/** The end of the last line at this column, if deeper lines follow it and it opens no block itself. */
function headerBefore(tokens: readonly IToken[], column: number, top: Open | undefined): number | undefined {
    for (let index = tokens.length - 1; index >= 0 && tokens[index] !== top?.token; index--) {
        if (!isFirst(tokens, index)) continue;
        const at = tokens[index]?.startColumn ?? 1;
        if (at > column) continue;
        if (at < column || tokens[index]?.tokenType.name === '}') return undefined;
        let end = index;
        while (end < tokens.length - 1 && !isFirst(tokens, end + 1)) end++;
        return end < tokens.length - 1 ? end : undefined;
    }
    return undefined;
}

/** Whether most blocks of the text indent what is in them: only then does the indentation tell anything. */
function isIndented(tokens: readonly IToken[]): boolean {
    let deeper = 0;
    let all = 0;
    let indent = 1;
    for (const [index, token] of tokens.entries()) {
        if (isFirst(tokens, index)) indent = token.startColumn ?? 1;
        const next = tokens[index + 1];
        if (token.tokenType.name !== '{' || !next || next.startLine === token.startLine || next.tokenType.name === '}')
            continue;
        all++;
        if ((next.startColumn ?? 1) > indent) deeper++;
    }
    return deeper * 4 >= all * 3;
}
