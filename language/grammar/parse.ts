/** One text to one tree, whatever the text. */
import { EOF, type IRecognitionException, type IToken, type TokenType, tokenMatcher } from 'chevrotain';
import {
    createDefaultCoreModule,
    createDefaultSharedCoreModule,
    createLangiumParser,
    EmptyFileSystem,
    inject,
    type LangiumCoreServices,
    type LangiumParser,
    type LangiumSharedCoreServices,
} from 'langium';
import { complete } from './complete.js';
import { File } from './generated/ast.js';
import { CotterGeneratedModule, CotterGeneratedSharedModule } from './generated/module.js';
import { longest, mostErrors } from './guards.js';
import { CotterLexer } from './lexer.js';
import { ExpectedTokens } from './messages.js';
import type { Problem } from './problem.js';
import { problemsOf } from './problems.js';
import { type NameReference, ReferenceBuilder } from './reference.js';
import { CotterValueConverter } from './texts.js';
import { CotterTokenBuilder } from './tokens.js';

export interface ParsedText {
    readonly root: File;
    readonly problems: readonly Problem[];
    readonly references: readonly NameReference[];
}

/** The services of the language, without those of an editor. */
export function createServices(): LangiumCoreServices {
    const shared: LangiumSharedCoreServices = inject(
        createDefaultSharedCoreModule(EmptyFileSystem),
        CotterGeneratedSharedModule,
    );
    const services = inject(createDefaultCoreModule({ shared }), CotterGeneratedModule, {
        parser: {
            TokenBuilder: () => new CotterTokenBuilder(),
            Lexer: (each: LangiumCoreServices) => new CotterLexer(each),
            ValueConverter: () => new CotterValueConverter(),
            ParserErrorMessageProvider: () => new ExpectedTokens(),
        },
        references: { Linker: () => new ReferenceBuilder() },
    });
    shared.ServiceRegistry.register(services);
    return services;
}

let services: LangiumCoreServices | undefined;
let parser: LangiumParser | undefined;

export function parseText(text: string): ParsedText {
    if (text.length > longest)
        return unread(`This text is longer than ${longest / 1e6} million characters and is not read.`);
    services ??= createServices();
    parser ??= guarded(createLangiumParser(services));
    const lexer = services.parser.Lexer as CotterLexer;
    const converter = services.parser.ValueConverter as CotterValueConverter;
    const builder = services.references.Linker as ReferenceBuilder;
    converter.misread = [];
    builder.built = [];
    try {
        lexer.isRepairing = false;
        const asWritten = read(text, parser);
        if (asWritten.problems.length === 0) return asWritten;
        converter.misread = [];
        builder.built = [];
        lexer.isRepairing = true;
        const asMeant = read(text, parser);
        return whole(asMeant.problems.length <= asWritten.problems.length ? asMeant : asWritten);
    } catch {
        // What the guards did not foresee: this parser is of no use any more, the next text gets another.
        parser = undefined;
        return unread('This text could not be read. Please report it together with the text.');
    }
}

function read(text: string, by: LangiumParser): ParsedText {
    if (!services) throw new Error('There are no services yet.');
    const lexer = services.parser.Lexer as CotterLexer;
    const { misread } = services.parser.ValueConverter as CotterValueConverter;
    const { built } = services.references.Linker as ReferenceBuilder;
    const { value: root, parserErrors } = by.parse<File>(text);
    const problems = problemsOf(text, root, lexer, misread, parserErrors);
    return { root, problems, references: built };
}

function whole({ root, problems, references }: ParsedText): ParsedText {
    if (problems.length > 0) complete(root);
    return { root, problems, references };
}

function unread(message: string): ParsedText {
    const root = { $type: File.$type, declarations: [] } as unknown as File;
    return { root, problems: [{ message, offset: 0, end: 0 }], references: [] };
}

/** What of Chevrotain's parser is needed to change how it recovers. */
interface Recovering {
    SAVE_ERROR(error: IRecognitionException): IRecognitionException;
    SKIP_TOKEN(): IToken;
    LA(ahead: number): IToken;
    moveToTerminatedState(): void;
    flattenFollowSet(): TokenType[];
    findReSyncTokenType(): TokenType;
    canTokenTypeBeDeletedInRecovery(): boolean;
}

/** Stops a parser that stumbles all the time, and keeps it from losing whole lines over one slip. */
function guarded(parser: LangiumParser): LangiumParser {
    const { wrapper } = parser as unknown as { wrapper: Recovering };
    let count = 0;
    const save = wrapper.SAVE_ERROR.bind(wrapper);
    wrapper.SAVE_ERROR = error => {
        const saved = save(error);
        count++;
        // Each error costs the time of some hundred tokens.
        if (count >= mostErrors) wrapper.moveToTerminatedState();
        return saved;
    };
    // A block that is skipped is skipped whole: its closing brace is not the one that closes the block around it.
    const skip = wrapper.SKIP_TOKEN.bind(wrapper);
    wrapper.SKIP_TOKEN = () => {
        let depth = 0;
        for (;;) {
            const skipped = wrapper.LA(1).tokenType.name;
            if (skipped === '{') depth++;
            else if (skipped === '}') depth--;
            const next = skip();
            if (depth <= 0 || next.tokenType === EOF) return next;
        }
    };
    wrapper.findReSyncTokenType = () => {
        const follows = wrapper.flattenFollowSet();
        let depth = 0;
        for (let ahead = 1; ; ahead++) {
            const token = wrapper.LA(ahead);
            const found = depth === 0 ? follows.find(type => tokenMatcher(token, type)) : undefined;
            if (found) return found;
            if (token.tokenType === EOF) return EOF;
            if (token.tokenType.name === '{') depth++;
            else if (token.tokenType.name === '}') depth = Math.max(0, depth - 1);
        }
    };
    // One word too many is taken out only where it stands in the line: the first word of the next line never is.
    wrapper.canTokenTypeBeDeletedInRecovery = () => {
        const next = wrapper.LA(1);
        return next.startLine === wrapper.LA(0).startLine && !/^[{}]$/.test(next.tokenType.name);
    };
    const parse = parser.parse.bind(parser);
    parser.parse = (input, options) => {
        count = 0;
        return parse(input, options);
    };
    return parser;
}
