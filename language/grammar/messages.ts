/** What the parser missed, said to a writer. */
import type { IParserErrorMessageProvider, IRecognitionException, IToken, TokenType } from 'chevrotain';
import { nearest } from './nearest.js';
import type { Problem } from './problem.js';
import { reservedWords } from './tokens.js';

/** Hands on what would have fitted, as names of tokens; `explain` makes words of it. */
export class ExpectedTokens implements IParserErrorMessageProvider {
    buildMismatchTokenMessage({ expected }: { expected: TokenType }): string {
        return expected.name;
    }
    buildNotAllInputParsedMessage(): string {
        return 'EOF';
    }
    buildNoViableAltMessage({ expectedPathsPerAlt }: { expectedPathsPerAlt: TokenType[][][] }): string {
        return firsts(expectedPathsPerAlt.flat());
    }
    buildEarlyExitMessage({ expectedIterationPaths }: { expectedIterationPaths: TokenType[][] }): string {
        return firsts(expectedIterationPaths);
    }
}

function firsts(paths: TokenType[][]): string {
    return [...new Set(paths.map(path => path[0]?.name).filter(name => name !== undefined))].join(' ');
}

const kinds =
    `breaker control button door port connector lead panel unit seal fastener plug lock pin cap cover chock area stimulus
     valve relay timer sensor mechanism level light gauge horn mark flow source motor`.split(/\s+/);
const clauses =
    'at in positions normal grid thread from rated wire torque keyed inspected carries wets holds live measured'.split(
        ' ',
    );
const statements = 'warning caution note hold wait do if for where stop leave repeat accept'.split(' ');
const declarations = 'modification equipment subtask card exercise'.split(' ');
const equipmentParts = ['place', 'rule', 'pair', 'fails', 'where', ...kinds];
const cardParts =
    'uses applies revision role tool spare material start finish after step test where accept warning caution note'.split(
        ' ',
    );
const exerciseParts = 'failure trainee found debrief'.split(' ');
const members = ['goes', 'shows', 'fails'];

/** Words that begin a line, or what is said of an item. */
export const openers: ReadonlySet<string> = new Set([
    ...declarations,
    ...equipmentParts,
    ...cardParts,
    ...exerciseParts,
    ...members,
    ...statements,
    ...clauses,
]);

export const verbs =
    `pull close open disconnect connect remove clean apply tag untag install set press ensure clear leave go tell torque
     keep see read measure`.split(/\s+/);

/** What a writer new to the language writes for a verb of it. */
export const otherVerbs: Readonly<Record<string, string>> = {
    check: 'see',
    verify: 'see',
    observe: 'see',
    confirm: 'see',
    turn: 'set',
    select: 'set',
    switch: 'set',
    push: 'press',
    fit: 'install',
    refit: 'install',
    unplug: 'disconnect',
    reconnect: 'connect',
    shut: 'close',
};

/** Statements that no role stands before. */
const unowned = new Set(['wait', 'warning', 'caution', 'note', 'do', 'if', 'for', 'where', 'stop', 'repeat', 'accept']);

/** What may stand next inside a rule of the grammar, where that is a list that goes on until a brace. */
const lists: Readonly<Record<string, { readonly what: string; readonly words: readonly string[] }>> = {
    File: { what: 'a declaration', words: declarations },
    Modification: { what: 'a declaration', words: ['after', 'not', ...declarations] },
    Equipment: { what: 'a place, an item or a rule', words: ['uses', ...equipmentParts] },
    WhereParts: { what: 'a place, an item or a rule', words: equipmentParts },
    Place: { what: 'a place, an item or a rule', words: ['in', 'at', 'behind', ...equipmentParts] },
    Item: { what: 'what is said of the item', words: [...members, ...clauses, ...equipmentParts] },
    Rule: { what: 'a place, an item or a rule', words: ['because', ...equipmentParts] },
    Subtask: { what: 'a statement', words: ['uses', ...statements] },
    Card: { what: 'a part of the card', words: cardParts },
    WhereCard: { what: 'a part of the card', words: cardParts },
    Step: { what: 'a statement', words: ['of', 'takes', ...statements] },
    Block: { what: 'a statement', words: statements },
    Exercise: { what: 'a part of the exercise', words: exerciseParts },
};

const said: Readonly<Record<string, string>> = {
    NAME: 'a name',
    ID: 'a name',
    ACTOR: 'a name and a colon, as in "tech:"',
    NUMBER: 'a number',
    GLUED: 'a number',
    UNIT: 'a unit',
    STRING: 'a text in quotes',
    TEXT_START: 'a text in quotes',
    EOF: 'the end of the file',
};

export function explain(error: IRecognitionException): Problem {
    const expected = error.message.split(' ');
    const rule = (error.context.ruleStack.at(-1) ?? '').replace(/\u200B$/, '');
    const actual = error.token;
    // Chevrotain marks the end of the file with a token of no extent.
    const atEnd = Number.isNaN(actual.startOffset) || actual.startOffset < 0;
    const previous = (error as { previousToken?: IToken }).previousToken;
    const after = previous && !Number.isNaN(previous.startOffset) && previous.startOffset >= 0 ? endOf(previous) : 0;

    const list = expected.some(name => name === '}' || name === 'EOF') ? lists[rule] : undefined;
    if (!atEnd) {
        if (rule === 'Action' && expected.length > 5) {
            const said = outOfPlace(actual);
            if (said) return said;
        }
        const candidates = [
            ...expected.filter(isWord),
            ...(list?.words ?? []),
            ...(rule === 'Action' && expected.length > 5 ? verbs : []),
        ];
        const isWrittenSo =
            /^[A-Za-z]/.test(actual.image) && actual.tokenType.name !== 'ACTOR' && !reservedWords.has(actual.image);
        const meant = isWrittenSo ? nearest(actual.image.toLowerCase(), candidates) : undefined;
        if (meant && meant !== actual.image) return misspelt(actual, meant);
    }
    const found = atEnd ? 'the file ends' : `"${shorten(actual.image || actual.tokenType.name)}" stands`;
    const due = dueWords(rule, expected, list?.what);
    // Where a name is due, a writer has chosen this one.
    const taken = !atEnd && due === 'a name' && reservedWords.has(actual.image) && actual.tokenType.name !== 'ACTOR';
    const message = taken
        ? `"${actual.image}" is a word of the language, so it cannot be a name: choose another, such as ${actual.image}-1.`
        : `${capital(due)} is due here, but ${found}${atEnd ? '' : ' here'}.`;
    // What stands there is marked; where it stands on a later line, the end of the line to which something is missing. After
    // a part that was skipped the parser's "previous" is the last token of that part, and so no place at all.
    const isBelow = previous && after <= actual.startOffset && previous.endLine !== actual.startLine;
    return atEnd || isBelow
        ? { message, offset: after, end: after }
        : { message, offset: actual.startOffset, end: endOf(actual) };
}

/** A statement where what a role does is due. */
function outOfPlace(token: IToken): Problem | undefined {
    const place = { offset: token.startOffset, end: endOf(token) };
    if (token.tokenType.name === 'hold')
        return { message: 'A hold names its role after "hold for", as in: hold for insp "[ACT] is secure."', ...place };
    if (unowned.has(token.tokenType.name))
        return {
            message: `No role stands before "${token.image}": write it without the name and the colon.`,
            ...place,
        };
    return undefined;
}

export function misspelt(token: { image: string; startOffset: number }, meant: string): Problem {
    const offset = token.startOffset;
    const end = offset + token.image.length;
    return {
        message: `There is no "${token.image}" here. Did you mean "${meant}"?`,
        offset,
        end,
        fix: { title: `Write ${meant}`, offset, end, newText: meant },
    };
}

/** "a unit, such as s, mm or N·m"; "one of a, b or c". */
function dueWords(rule: string, expected: readonly string[], list: string | undefined): string {
    if (expected.includes('UNIT') && expected.includes('in')) return 'a unit, such as s, mm or N·m,';
    if (rule === 'Action' && expected.length > 5) return 'what to do, such as "pull", "set" or "see",';
    if (rule.endsWith('Condition') && expected.length > 1) return 'a condition, such as PUMP is OFF,';
    if (list) return expected.includes('}') ? `${list.replace(' or ', ', ')} or "}"` : list;
    const words = [...new Set(expected.map(name => said[name] ?? `"${name}"`))];
    return joinOr(words.slice(0, 6));
}

export function joinOr(words: readonly string[]): string {
    const last = words.at(-1) ?? '';
    return words.length > 1 ? `${words.slice(0, -1).join(', ')} or ${last}` : last;
}

const isWord = (name: string) => /^[a-z]/.test(name);
const endOf = (token: IToken) => token.startOffset + token.image.length;
const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1);
const shorten = (image: string) => (image.length > 24 ? `${image.slice(0, 24)}...` : image);
