/** `do SUBTASK(arguments)` and `do CARD`, written out where they stand. A callee that is already being written out is not followed. */
import * as ast from '../grammar/generated/ast.js';
import { NONE } from '../machine/machine.js';
import * as say from '../vocabulary/sentences.js';
import { common } from './actions.js';
import { declareOf } from './declarations.js';
import { aftersOf, earlierThan } from './handovers.js';
import type { CardLine, Line } from './lines.js';
import { argumentBound, argumentValue, type Place, type Value } from './scope.js';
import { partsOf, settingsOfCard } from './settings.js';
import { lowerStatements } from './statements.js';
import { lowerCardParts } from './steps.js';

export function lowerDo(statement: ast.Do, place: Place): Line | undefined {
    const { context } = place;
    const span = context.spanOf(statement);
    const name = statement.callee?.$refText ?? '';
    const callee = statement.callee?.ref;
    if (!callee) {
        context.say(`${name || 'What is to be done'} ${context.at(span)} is not known.`);
        return undefined;
    }
    if (place.active.has(callee)) {
        context.say(`${name} calls itself ${context.at(span)}.`);
        return undefined;
    }
    const inside: Place = {
        ...place,
        path: context.keys.call(place.path, name),
        calls: [...place.calls, { name, span }],
        active: new Set([...place.active, callee]),
        depth: place.depth + 1,
    };
    const shared = { span, calls: place.calls, only: say.sayOnly(place.only) };
    const args = argumentsOf(statement, place);
    if (ast.isCard(callee)) {
        if (args.length > 0) context.say(`The card ${name} takes no arguments (${context.at(span)}).`);
        return lowerCalledCard(callee, inside, shared);
    }
    if (args.length !== callee.parameters.length) {
        context.say(
            `${name} takes ${callee.parameters.length} arguments and gets ${args.length} (${context.at(span)}).`,
        );
        return undefined;
    }
    const bound = new Map<object, Value>();
    const words = new Map<string, Value>();
    for (const [index, parameter] of callee.parameters.entries()) {
        const value = argumentOf(args[index] ?? '', statement, parameter, place);
        bound.set(parameter, value);
        if (value.is === 'word') words.set(parameter.name, value);
    }
    return {
        ...shared,
        kind: 'group',
        title: callee.label,
        callee: callee.name,
        args: callee.parameters.map(parameter => argumentBound(bound.get(parameter))),
        lines: lowerStatements(callee.statements, { ...inside, bound, words }),
    };
}

function argumentsOf(statement: ast.Do, { context }: Place): readonly string[] {
    const { change } = context;
    if (change) {
        const span = context.spanOf(statement);
        if (span.offset === change.call.offset && span.file === change.call.file) return change.args;
    }
    return statement.args.map(each => each.name);
}

function argumentOf(name: string, statement: ast.Do, parameter: ast.Parameter, place: Place): Value {
    const { context } = place;
    const wanted =
        parameter.kind === 'position'
            ? 'word'
            : parameter.kind === 'role' || parameter.kind === 'tool'
              ? parameter.kind
              : 'item';
    const value = argumentValue(name, statement, place, wanted === 'word' ? 'position' : 'other');
    if (value.is === 'nothing' || value.is === wanted) return value;
    context.say(`${name} ${context.at(context.spanOf(statement))} is no ${parameter.kind || 'such thing'}.`);
    return { is: 'nothing', text: name };
}

function lowerCalledCard(card: ast.Card, place: Place, shared: Pick<CardLine, 'span' | 'calls' | 'only'>): Line {
    const { context } = place;
    const done = context.done.length;
    context.done.push({
        card: card.name,
        label: card.label,
        span: shared.span,
        calls: place.calls,
        start: settingsOfCard(card, 'StartPart', context, true),
        finish: settingsOfCard(card, 'FinishPart', context, true),
        begin: [],
        end: [],
        after: aftersOf(card, context).map(each => each.card),
        earlier: earlierThan(card, context),
    });
    const act = { place, statement: shared.span, role: NONE };
    const begin = { ...common(act, 'begin', ''), kind: 'join' } as const;
    const end = { ...common(act, 'end', ''), kind: 'join' } as const;
    const inside: Place = {
        ...place,
        card: { node: card, steps: new Map(), own: declareOf(card, context, true) },
        bound: new Map(),
        words: new Map(),
        inArm: false,
    };
    // The steps of the callee begin with nobody having worked on anything, and so does what comes after them.
    context.lastWork.clear();
    const lines = lowerCardParts(card, inside, place.step);
    context.lastWork.clear();
    const [revision = ''] = [...partsOf(card.parts, context.embodied)].flatMap(({ part }) =>
        part.$type === 'RevisionPart' ? [part.revision] : [],
    );
    return { ...shared, kind: 'card', done, card: card.name, revision, begin, end, lines };
}
