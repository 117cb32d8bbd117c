/** One text to one tree, whatever the text. */
import type { IRecognitionException } from 'chevrotain';
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
        const result = parser.parse<File>(text);
        const problems = problemsOf(text, result.value, lexer, converter.misread, result.parserErrors);
        if (problems.length > 0) complete(result.value);
        return { root: result.value, problems, references: builder.built };
    } catch {
        // What the guards did not foresee: this parser is of no use any more, the next text gets another.
        parser = undefined;
        return unread('This text could not be read. Please report it together with the text.');
    }
}

function unread(message: string): ParsedText {
    const root = { $type: File.$type, declarations: [] } as unknown as File;
    return { root, problems: [{ message, offset: 0, end: 0 }], references: [] };
}

/** Chevrotain's own interface to what is needed to stop it. */
interface Stoppable {
    SAVE_ERROR(error: IRecognitionException): IRecognitionException;
    moveToTerminatedState(): void;
    readonly errors: IRecognitionException[];
}

/** Moves the parser to the end of the text after `mostErrors`: each costs the time of some hundred tokens. */
function guarded(parser: LangiumParser): LangiumParser {
    const { wrapper } = parser as unknown as { wrapper: Stoppable };
    const save = wrapper.SAVE_ERROR.bind(wrapper);
    let count = 0;
    wrapper.SAVE_ERROR = error => {
        const saved = save(error);
        count++;
        if (count >= mostErrors) wrapper.moveToTerminatedState();
        return saved;
    };
    const parse = parser.parse.bind(parser);
    parser.parse = (input, options) => {
        count = 0;
        return parse(input, options);
    };
    return parser;
}
