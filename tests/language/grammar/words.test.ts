import type { GrammarAST } from 'langium';

import { describe, expect, test } from 'vitest';
import { createServices, parseText } from '../../../language/grammar/parse.js';
import { reservedWords } from '../../../language/grammar/tokens.js';
import { kinds } from '../../../language/vocabulary/kinds/index.js';

const { Grammar: grammar, parser } = createServices();
const rules = new Map(grammar.rules.map(rule => [rule.name, rule]));

/** The words that a rule, or a part of one, can begin with. */
function firstWords(element: GrammarAST.AbstractElement | undefined): Set<string> {
    switch (element?.$type) {
        case 'Keyword':
            return new Set([(element as GrammarAST.Keyword).value]);
        case 'Assignment':
            return firstWords((element as GrammarAST.Assignment).terminal);
        case 'Alternatives':
            return new Set((element as GrammarAST.Alternatives).elements.flatMap(each => [...firstWords(each)]));
        case 'Group': {
            const found = new Set<string>();
            for (const each of (element as GrammarAST.Group).elements) {
                for (const word of firstWords(each)) found.add(word);
                const isOptional = each.cardinality === '?' || each.cardinality === '*' || each.$type === 'Action';
                if (!isOptional) break;
            }
            return found;
        }
        case 'RuleCall': {
            const rule = (element as GrammarAST.RuleCall).rule.ref;
            return rule?.$type === 'ParserRule' ? firstWords(rule.definition) : new Set();
        }
        default:
            return new Set();
    }
}

function opening(name: string): string[] {
    const rule = rules.get(name) as GrammarAST.ParserRule | undefined;
    if (!rule) throw new Error(`The grammar has no rule ${name}.`);
    return [...firstWords(rule.definition)].filter(word => /^[a-z]/.test(word));
}

describe('reserved words', () => {
    test('are those that open a declaration, a clause or a statement', () => {
        const opened = [
            'Declaration',
            'EquipmentPart',
            'ItemClause',
            'ItemMember',
            'CardPart',
            'ExercisePart',
            'Statement',
        ].flatMap(opening);
        // They open the other block of a statement.
        const others = ['otherwise', 'else'];
        console.log(`${reservedWords.size} reserved words: ${[...reservedWords].sort().join(' ')}`);
        expect([...new Set([...opened, ...others])].sort()).toEqual([...reservedWords].sort());
    });

    test('are no names, and every other word of the language is one', () => {
        const definition = parser.Lexer.definition;
        for (const word of Object.keys(definition).filter(name => /^[a-z]/.test(name))) {
            const isName = definition[word]?.CATEGORIES?.some(category => category.name === 'NAME') ?? false;
            expect(isName, word).toBe(!reservedWords.has(word));
            const { problems } = parseText(`card C "c" { step ${word} "s" { } }`);
            expect(problems.length === 0, word).toBe(isName);
        }
    });
});

describe('the vocabulary', () => {
    const wordsOf = (name: string) => opening(name).sort();

    test('has the kinds of the grammar', () => {
        expect(kinds.map(kind => kind.word).sort()).toEqual(wordsOf('Kind'));
    });

    test('has verbs that the grammar knows', () => {
        const known = new Set([...wordsOf('Verb'), 'install']);
        for (const kind of kinds)
            for (const verb of kind.verbs) expect(known.has(verb.word), `${kind.word}: ${verb.word}`).toBe(true);
    });

    test('leaves no verb of the grammar to no kind', () => {
        const used = new Set(kinds.flatMap(kind => kind.verbs.map(verb => verb.word)));
        expect(wordsOf('Verb').filter(verb => !used.has(verb))).toEqual(['tag', 'untag']);
    });
});
