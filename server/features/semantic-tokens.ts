import { GrammarUtils } from 'langium';
import { SemanticTokensBuilder } from 'vscode-languageserver';
import type { CotterAstType } from '../../language/grammar/generated/ast.js';
import { occurrencesIn } from '../../language/names/occurrences.js';
import { nodesOf } from '../../language/names/survey.js';
import type { At, Feature } from './feature.js';

/** The protocol's own words, so that every theme has a colour for them. */
export const tokenTypes = [
    'namespace',
    'class',
    'function',
    'variable',
    'parameter',
    'property',
    'enumMember',
    'type',
    'event',
];
export const tokenModifiers = ['declaration'];

const typeOfNode: Readonly<Record<string, (typeof tokenTypes)[number]>> = {
    Modification: 'type',
    Equipment: 'namespace',
    Card: 'class',
    Exercise: 'class',
    Subtask: 'function',
    Step: 'function',
    Rule: 'property',
    Item: 'variable',
    Place: 'namespace',
    Role: 'type',
    Tool: 'variable',
    Spare: 'variable',
    Material: 'variable',
    Parameter: 'parameter',
    LoopName: 'parameter',
};

/** Where states are written, by type of node and property. */
const states: readonly (readonly [keyof CotterAstType, string])[] = [
    ['SetTo', 'state'],
    ['Ensure', 'state'],
    ['Keep', 'state'],
    ['See', 'state'],
    ['If', 'state'],
    ['Setting', 'states'],
    ['PositionsClause', 'states'],
    ['NormalClause', 'state'],
    ['Goes', 'state'],
    ['Shows', 'state'],
    ['Fails', 'state'],
    ['ItemCondition', 'state'],
    ['FailurePart', 'state'],
    ['KeepRule', 'state'],
];

/** Colour by meaning: what a name is, and which words are states. */
export const semanticTokens: Feature = {
    name: 'semantic tokens',
    capabilities: () => ({
        semanticTokensProvider: { legend: { tokenTypes, tokenModifiers }, full: true, range: true },
    }),
    register({ connection, at: atOf }) {
        connection.languages.semanticTokens.on(async ({ textDocument }) => {
            const at = await atOf(textDocument.uri);
            return at ? tokensIn(at, 0, at.file.text.length) : { data: [] };
        });
        connection.languages.semanticTokens.onRange(async ({ textDocument, range }) => {
            const at = await atOf(textDocument.uri);
            return at ? tokensIn(at, at.document.offsetAt(range.start), at.document.offsetAt(range.end)) : { data: [] };
        });
    },
};

function tokensIn(at: At, from: number, to: number): { data: number[] } {
    const marks: { offset: number; end: number; type: string; isDeclaration: boolean }[] = [];
    for (const { offset, end, targets, isDeclaration } of occurrencesIn(at.parsed, at.file)) {
        const type = typeOfNode[targets[0]?.$type ?? ''];
        if (type) marks.push({ offset, end, type, isDeclaration });
    }
    for (const [type, property] of states) {
        for (const node of nodesOf(at.file.root, type)) {
            for (const cst of GrammarUtils.findNodesForProperty(node.$cstNode, property))
                marks.push({ offset: cst.offset, end: cst.end, type: 'enumMember', isDeclaration: false });
        }
    }
    marks.sort((one, two) => one.offset - two.offset || one.end - two.end);
    const builder = new SemanticTokensBuilder();
    let last = -1;
    for (const { offset, end, type, isDeclaration } of marks) {
        if (offset < last || end <= from || offset >= to) continue;
        last = end;
        const { line, character } = at.document.positionAt(offset);
        builder.push(line, character, end - offset, tokenTypes.indexOf(type), isDeclaration ? 1 : 0);
    }
    return builder.build();
}
