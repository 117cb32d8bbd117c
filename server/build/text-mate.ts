/** The colours before the language server answers, and where there is none: out of the grammar's keywords and the vocabulary. */
import { AstUtils, GrammarAST } from 'langium';
import { CotterGrammar } from '../../language/grammar/generated/grammar.js';
import { reservedWords } from '../../language/grammar/tokens.js';
import { kinds } from '../../language/vocabulary/kinds/index.js';
import { spellings } from '../../language/vocabulary/units.js';

/** Verbs that are no kind's own. */
const moreVerbs = [
    'set',
    'press',
    'keep',
    'ensure',
    'install',
    'see',
    'read',
    'measure',
    'torque',
    'tell',
    'clear',
    'go',
    'untag',
    'tag',
];

export function keywords(): ReadonlySet<string> {
    const words = new Set<string>();
    for (const node of AstUtils.streamAllContents(CotterGrammar()))
        if (GrammarAST.isKeyword(node) && /^[a-z]/.test(node.value)) words.add(node.value);
    return words;
}

export function textMate(): object {
    const all = keywords();
    const ofKinds = kinds.map(each => each.word as string);
    const verbs = [...new Set([...kinds.flatMap(each => each.verbs.map(one => one.word)), ...moreVerbs])].filter(each =>
        all.has(each),
    );
    const opening = [...reservedWords].filter(each => all.has(each) && !ofKinds.includes(each));
    const taken = new Set([...ofKinds, ...verbs, ...opening]);
    const others = [...all].filter(each => !taken.has(each));
    const units = spellings.filter(each => /^[A-Za-z]/.test(each) && each !== 'in');
    const signs = spellings.filter(each => !/^[A-Za-z]/.test(each));
    return {
        $schema: 'https://raw.githubusercontent.com/martinring/tmlanguage/master/tmlanguage.json',
        name: 'Cotter',
        scopeName: 'source.cotter',
        patterns: [
            { include: '#comments' },
            { include: '#texts' },
            {
                // Who acts: a name and a colon, before any keyword.
                match: '(?<![\\w-])([A-Za-z0-9_][\\w-]*)(?=[ \\t]*:)',
                name: 'entity.name.type.role.cotter',
            },
            {
                match: `${edge}(modification|equipment|subtask|card|exercise|step|test)[ \\t]+([A-Za-z0-9_][\\w-]*)`,
                captures: { 1: { name: 'keyword.declaration.cotter' }, 2: { name: 'entity.name.section.cotter' } },
            },
            {
                match: `${edge}(${longest(ofKinds)})[ \\t]+([A-Za-z0-9_][\\w-]*)(?=[ \\t]*")`,
                captures: { 1: { name: 'storage.type.kind.cotter' }, 2: { name: 'variable.other.item.cotter' } },
            },
            {
                match: `${edge}-?\\d+(?:,\\d{3})*(?:\\.\\d+)?(?:[ \\t]*(?:${longest(signs)})|[ \\t]+(?:${longest(units)})${end})?(?![\\w.-])`,
                name: 'constant.numeric.cotter',
            },
            word(verbs, 'support.function.verb.cotter'),
            word(ofKinds, 'storage.type.kind.cotter'),
            word(opening, 'keyword.control.cotter'),
            word(others, 'keyword.other.cotter'),
            { match: `${edge}[A-Z][A-Z0-9]*(?:-[A-Z0-9]+)*${end}`, name: 'constant.language.name.cotter' },
        ],
        repository: {
            comments: {
                patterns: [
                    { match: '//.*$', name: 'comment.line.double-slash.cotter' },
                    { begin: '/\\*', end: '\\*/', name: 'comment.block.cotter' },
                ],
            },
            texts: {
                begin: '"',
                // A text ends at its line, closed or not.
                end: '"|$',
                name: 'string.quoted.double.cotter',
                patterns: [
                    { match: '\\\\.', name: 'constant.character.escape.cotter' },
                    { match: '\\[[ \\t]*[\\w-]+[ \\t]*\\]', name: 'variable.other.reference.cotter' },
                ],
            },
        },
    };
}

const edge = '(?<![\\w-])';
const end = '(?![\\w-])';

/** Longer words first: of two that begin alike the longer one is meant. */
const longest = (words: readonly string[]): string =>
    [...words]
        .sort((one, two) => two.length - one.length || (one < two ? -1 : 1))
        .map(each => each.replace(/[.*+?^${}()|[\]\\/]/g, '\\$&'))
        .join('|');

const word = (words: readonly string[], name: string): object => ({
    match: `${edge}(?:${longest(words)})${end}`,
    name,
});
