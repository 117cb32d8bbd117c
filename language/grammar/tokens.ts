/**
 * The tokens. Most keywords are names as well: a step may be called `clean`, a position `open`. Only the words that
 * open a declaration, a clause or a statement are not, so that an unfinished line never swallows the next line's first word.
 */
import { createToken, Lexer, type TokenType, type TokenVocabulary } from 'chevrotain';
import {
    DefaultTokenBuilder,
    type Grammar,
    type GrammarAST,
    GrammarUtils,
    stream,
    type TokenBuilder,
    type TokenBuilderOptions,
} from 'langium';

/** Words that open something and so are no names. The reference lists them; a test compares them with the grammar. */
export const reservedWords: ReadonlySet<string> = new Set(
    `modification equipment subtask card exercise
     place rule pair fails where otherwise
     breaker control button door port connector lead panel unit seal fastener plug lock pin cap cover chock area stimulus
     valve relay timer sensor mechanism level light gauge horn mark flow source motor
     at in positions normal grid thread from rated wire torque keyed inspected carries wets holds live measured
     goes shows
     uses applies revision role tool spare material start finish after step test
     warning caution note hold wait do if for stop leave repeat accept else meanwhile
     failure trainee found debrief`
        .trim()
        .split(/\s+/),
);

/** Everything that may stand where a name is due. */
const NAME = createToken({ name: 'NAME', pattern: Lexer.NA });

/** Malformed texts and numbers: read as what they were meant to be, reported by the lexer. */
export const repaired = {
    unclosedText: 'UNCLOSED_TEXT',
    bracketInText: 'BRACKET_IN_TEXT',
    unclosedEnd: 'UNCLOSED_END',
    glued: 'GLUED_NUMBER',
    unclosedComment: 'UNCLOSED_COMMENT',
} as const;

export class CotterTokenBuilder extends DefaultTokenBuilder implements TokenBuilder {
    override buildTokens(grammar: Grammar, _options?: TokenBuilderOptions): TokenVocabulary {
        const rules = stream(GrammarUtils.getAllReachableRules(grammar, false));
        const terminals = new Map(this.buildTerminalTokens(rules).map(token => [token.name, token]));
        const terminal = (name: string): TokenType => {
            const token = terminals.get(name);
            if (!token) throw new Error(`The grammar has no terminal ${name}.`);
            return token;
        };
        const id = terminal('ID');
        id.CATEGORIES = [NAME];
        const words = this.buildKeywordTokens(rules, [id]);
        const string = terminal('STRING');
        const textEnd = terminal('TEXT_END');
        return [
            terminal('WS'),
            terminal('SL_COMMENT'),
            terminal('ML_COMMENT'),
            createToken({ name: repaired.unclosedComment, pattern: /\/\*[\s\S]*/, line_breaks: true }),
            terminal('ACTOR'),
            terminal('UNIT'),
            createToken({
                name: repaired.glued,
                pattern: /-?\d+(\.\d+[A-Za-z]\w*([·⋅]\w+)?|\w*[·⋅]\w+|°[CF])/,
            }),
            ...words,
            terminal('GLUED'),
            id,
            terminal('NUMBER'),
            string,
            terminal('TEXT_START'),
            createToken({ name: repaired.bracketInText, pattern: /"(\\.|[^"\\\r\n])*"/, categories: [string] }),
            createToken({ name: repaired.unclosedText, pattern: /"(\\.|[^"\\\r\n])*\\?/, categories: [string] }),
            terminal('TEXT_MID'),
            textEnd,
            createToken({ name: repaired.unclosedEnd, pattern: /\](\\.|[^"\\\r\n])*\\?/, categories: [textEnd] }),
            NAME,
        ];
    }

    protected override buildTerminalToken(rule: GrammarAST.TerminalRule): TokenType {
        if (rule.name === 'NAME') return NAME;
        const token = super.buildTerminalToken(rule);
        if (rule.name === 'GLUED') token.CATEGORIES = [NAME];
        return token;
    }

    protected override buildKeywordToken(
        keyword: GrammarAST.Keyword,
        terminals: TokenType[],
        caseInsensitive: boolean,
    ): TokenType {
        const token = super.buildKeywordToken(keyword, terminals, caseInsensitive);
        token.LONGER_ALT = terminals;
        if (/^[a-z]/.test(keyword.value) && !reservedWords.has(keyword.value)) token.CATEGORIES = [NAME];
        return token;
    }
}
