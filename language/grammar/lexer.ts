/** The lexer: text to tokens, and what is wrong with single tokens. */
import { createTokenInstance, type IToken } from 'chevrotain';
import { DefaultLexer, type LangiumCoreServices, type Lexer, type LexerResult } from 'langium';
import { limitNesting } from './guards.js';
import type { Problem } from './problem.js';
import { repair } from './repair.js';
import { repaired } from './tokens.js';

/** Says what is wrong with the tokens and hands the parser tokens that it can read all the same. */
export class CotterLexer extends DefaultLexer implements Lexer {
    /** Of the text tokenized last. */
    problems: Problem[] = [];
    /** Of the text tokenized last, after repair: the parser's own input. */
    tokens: IToken[] = [];

    /** Whether to mend what the parser has stumbled over before. */
    isRepairing = false;

    constructor(services: LangiumCoreServices) {
        super(services);
    }

    override tokenize(text: string): LexerResult {
        this.problems = [];
        const result = this.chevrotainLexer.tokenize(text);
        for (const error of result.errors) this.report(strayCharacters(text, error.offset, error.length));
        const tokens: IToken[] = [];
        for (const token of result.tokens) {
            switch (token.tokenType.name) {
                case repaired.unclosedComment:
                    this.report(unclosedComment(token));
                    break;
                case repaired.glued:
                    this.report(glued(token));
                    tokens.push(...this.split(token));
                    break;
                case repaired.bracketInText:
                    this.report(bracketInText(token));
                    tokens.push(token);
                    break;
                case repaired.unclosedText:
                case repaired.unclosedEnd:
                    this.report(unclosedText(token));
                    tokens.push(token);
                    break;
                default:
                    tokens.push(token);
            }
        }
        const nesting = limitNesting(tokens);
        if (nesting.problem) this.report(nesting.problem);
        this.tokens = nesting.tokens;
        if (this.isRepairing) {
            const mended = repair(this.tokens, this.tokenTypes);
            this.tokens = mended.tokens;
            for (const problem of mended.problems) this.report(problem);
        }
        return { tokens: this.tokens, errors: [], hidden: result.groups.hidden ?? [] };
    }

    private report(problem: Problem): void {
        this.problems.push(problem);
    }

    /** `4.8N·m` as the two tokens that it should have been. */
    private split(token: IToken): IToken[] {
        const [number, unit] = splitGlued(token.image);
        const part = (name: string, image: string, start: number): IToken => {
            const type = this.tokenTypes[name];
            if (!type) throw new Error(`There is no token ${name}.`);
            const line = token.startLine ?? 1;
            const column = (token.startColumn ?? 1) + start;
            const offset = token.startOffset + start;
            const end = image.length - 1;
            return createTokenInstance(type, image, offset, offset + end, line, line, column, column + end);
        };
        const isWord = /^\w+$/.test(unit);
        return [part('NUMBER', number, 0), part(isWord ? 'ID' : 'UNIT', unit, number.length)];
    }
}

function splitGlued(image: string): [number: string, unit: string] {
    const number = /^-?\d+(\.\d+)?/.exec(image)?.[0] ?? '';
    return [number, image.slice(number.length)];
}

function glued(token: IToken): Problem {
    const newText = splitGlued(token.image).join(' ');
    const { startOffset: offset } = token;
    const end = offset + token.image.length;
    return {
        message: `Write ${newText}, with a blank between the number and its unit.`,
        offset,
        end,
        fix: { title: `Write ${newText}`, offset, end, newText },
    };
}

function unclosedText(token: IToken): Problem {
    // A quote that only a trailing backslash keeps open, and blanks at the end of the line, stay outside the text.
    const text = token.image.trimEnd();
    const offset = token.startOffset;
    const end = offset + text.length;
    return {
        message: 'The text has no closing quote on this line: write " at its end.',
        offset,
        end,
        fix: { title: 'Close the text', offset: end, end, newText: '"' },
    };
}

function bracketInText(token: IToken): Problem {
    const at = /^"(\\.|[^"\\[])*/.exec(token.image)?.[0].length ?? 0;
    const offset = token.startOffset + at;
    return {
        message: 'A bracket in a text names an item, as in [ACT]. For a plain bracket write \\[.',
        offset,
        end: offset + 1,
        fix: { title: 'Write \\[', offset, end: offset, newText: '\\' },
    };
}

function unclosedComment(token: IToken): Problem {
    const offset = token.startOffset;
    return {
        message: 'The comment that begins here has no end, so nothing after it is read: write */ where it ends.',
        offset,
        end: offset + 2,
    };
}

function strayCharacters(text: string, offset: number, length: number): Problem {
    const stray = text.slice(offset, offset + length);
    const end = offset + length;
    if (stray === '.' && /\d$/.test(text.slice(0, offset)) && /^\d/.test(text.slice(end))) {
        return { message: 'A number has one decimal point.', offset, end };
    }
    const shown = stray.length > 12 ? `${stray.slice(0, 12)}...` : stray;
    return {
        message: `"${printable(shown)}" means nothing here. Texts stand in straight quotes: "like this".`,
        offset,
        end,
    };
}

/** Control characters and lone surrogates by their code, so that a message never breaks a terminal or a file. */
function printable(text: string): string {
    return [...text]
        .map(each => {
            const code = each.codePointAt(0) ?? 0;
            const odd =
                code < 32 || (code >= 127 && code < 160) || (code >= 0xd800 && code < 0xe000) || code === 0xfeff;
            return odd ? `U+${code.toString(16).toUpperCase().padStart(4, '0')}` : each;
        })
        .join('');
}
