import { AstUtils } from 'langium';
import { expect, test } from 'vitest';
import { CotterAstReflection } from '../../language/grammar/generated/ast.js';
import { parseProject } from '../../language/names/project.js';
import { kinds } from '../../language/vocabulary/kinds/index.js';
import { textsIn } from '../marks.js';

/** Read only to say that this version does not have it, that it is a mistake, or that a card with it is not clean. */
const neverClean: readonly string[] = ['Meanwhile', 'UnknownAction', 'Accept'];
/** A mark of the parser for a number without its blank; and a property that all looks have, but no measure. */
const neverWritten: readonly string[] = ['Limits.glued', 'Quantity.glued', 'Measure.timing'];

test('every construct of the language stands in some clean example', () => {
    const reflection = new CotterAstReflection();
    const used = new Set<string>();
    for (const { root } of parseProject(textsIn('examples/northlight')).files)
        for (const node of AstUtils.streamAst(root))
            for (const [property, value] of Object.entries(node))
                if (
                    !property.startsWith('$') &&
                    value !== undefined &&
                    value !== false &&
                    !(Array.isArray(value) && value.length === 0)
                )
                    used.add(`${node.$type}.${property}`);
    const all: readonly string[] = Object.entries(reflection.types).flatMap(([type, { properties }]) => {
        const below = Object.values(reflection.types).some(each =>
            (each.superTypes as readonly string[]).includes(type),
        );
        return below || neverClean.includes(type)
            ? []
            : Object.values(properties).map(property => `${type}.${property.name}`);
    });
    expect(all.length).toBeGreaterThan(100);
    expect(
        all
            .filter(each => !used.has(each) && !neverWritten.includes(each))
            .sort()
            .join(' '),
    ).toBe('');
});

test('every kind, verb, timing and condition on people stands in some clean example', () => {
    const used = new Set<string>();
    for (const { root } of parseProject(textsIn('examples/northlight')).files)
        for (const node of AstUtils.streamAst(root))
            for (const property of [
                'kind',
                'verb',
                'who',
                'onceForEachTest',
                'fresh',
                'tag',
                'for',
                'within',
                'after',
                'record',
            ] as const) {
                const value = (node as unknown as Record<string, unknown>)[property];
                if (typeof value === 'string') used.add(`${property} ${value}`);
                else if (value) used.add(property);
            }
    const wanted = [
        ...kinds.map(each => `kind ${each.word}`),
        ...['role', 'position', 'breaker', 'step', 'test', 'warning', 'caution', 'note'].map(each => `kind ${each}`),
        ...[
            'pull',
            'close',
            'open',
            'disconnect',
            'connect',
            'remove',
            'clean',
            'apply',
            'tag',
            'untag',
            'clear',
            'leave',
        ].map(each => `verb ${each}`),
        ...['who someone', 'who nobody', 'onceForEachTest', 'fresh', 'tag', 'for', 'within', 'after', 'record'],
    ];
    expect(wanted.filter(each => !used.has(each)).join(', ')).toBe('');
});
