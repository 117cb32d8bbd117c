/** Statements of a step, a subtask or a block, to lines: `where` decided, `for each` and `do` written out. */
import * as ast from '../grammar/generated/ast.js';
import { NONE } from '../machine/machine.js';
import { readQuantity } from '../machine/quantities.js';
import * as say from '../vocabulary/sentences.js';
import { acceptOf } from './accepts.js';
import { type Act, base, common, lowerAction, onItem, targetOf, worked } from './actions.js';
import { lowerDo } from './calls.js';
import type { Arm, BranchLine, Draft, KeepLine, Line } from './lines.js';
import { lowerLook } from './looks.js';
import {
    argumentBound,
    argumentValue,
    expectA,
    nameOf,
    type Place,
    positionWord,
    slotState,
    type Value,
} from './scope.js';
import { settingsOfCard } from './settings.js';
import { wordsOfText } from './texts.js';

export function lowerStatements(statements: readonly ast.Statement[], place: Place): Line[] {
    const lines: Line[] = [];
    const inside = { ...place, depth: place.depth + 1 };
    for (const statement of statements) {
        if (!place.context.spend(inside)) break;
        lines.push(...lowerStatement(statement, inside));
    }
    return lines;
}

function lowerStatement(statement: ast.Statement, place: Place): readonly Line[] {
    const { context } = place;
    const span = context.spanOf(statement);
    const act: Act = { place, node: statement, statement: span, role: NONE };
    const whole = (line: Line | undefined): readonly Line[] => (line ? [line] : []);
    switch (statement.$type) {
        case 'Alert': {
            const { text } = wordsOfText(statement.text, place);
            return [{ ...base(act), kind: 'alert', alert: alertOf(statement.kind), sentence: say.sentence(text) }];
        }
        case 'Accept':
            context.accepts.push(acceptOf(statement, place));
            return [];
        case 'Act': {
            const role = expectA('role', statement.actor, statement, place);
            return role === undefined || !statement.action
                ? []
                : lowerAct(statement.action, { ...act, role, node: statement.action });
        }
        case 'Hold': {
            const role = expectA('role', statement.role, statement, place);
            if (role === undefined) return [];
            const { text, items } = wordsOfText(statement.text, place);
            const draft: Draft = {
                ...common({ ...act, role }, 'hold', context.roles[role]?.name ?? ''),
                kind: 'hold',
                text,
                refs: items,
            };
            return [{ ...base(act), kind: 'hold', by: role, sentence: say.sentence(text), draft }];
        }
        case 'Wait': {
            const time = statement.time && readQuantity(statement.time, 's');
            if (!time) {
                context.say(`The time ${context.at(span)} cannot be read.`);
                return [];
            }
            const draft: Draft = { ...common(act, 'wait', '', { guaranteed: time.value }), kind: 'wait' };
            return [{ ...base(act), kind: 'wait', sentence: say.sayWait(time.text), draft }];
        }
        case 'Do':
            return whole(lowerDo(statement, place));
        case 'If':
            return whole(lowerIf(statement, act));
        case 'ForEach':
            return lowerForEach(statement, place);
        case 'WhereStatements': {
            const name = statement.modification?.$refText ?? '';
            const embodied = context.embodied.has(name);
            const block = embodied ? statement.then : statement.otherwise;
            const limit = { name, label: statement.modification?.ref?.label ?? name, embodied };
            if (!statement.modification?.ref)
                context.say(`${name || 'A modification'} ${context.at(span)} is not known.`);
            return lowerStatements(block?.statements ?? [], { ...place, only: [...place.only, limit] });
        }
        case 'Stop': {
            const { text } = wordsOfText(statement.text, place);
            return [
                {
                    ...base(act),
                    kind: 'stop',
                    sentence: say.sentence(text),
                    draft: { ...common(act, 'stop', ''), kind: 'stop', text },
                },
            ];
        }
        case 'LeaveFor': {
            const card = statement.card?.ref;
            const name = statement.card?.$refText ?? '';
            if (!card) context.say(`The card ${name} ${context.at(span)} is not known.`);
            const start = card ? settingsOfCard(card, 'StartPart', context) : [];
            return [
                {
                    ...base(act),
                    kind: 'leave-for',
                    sentence: say.sayLeaveFor(name, card?.label ?? ''),
                    draft: { ...common(act, 'leave-for', name), kind: 'leave-for', card: name, start },
                },
            ];
        }
        case 'Repeat':
            return whole(lowerRepeat(statement, act));
        default:
            context.say(`What is to be done ${context.at(span)} is not part of this version.`);
            return [];
    }
}

export const alertOf = (kind: string): 'warning' | 'caution' | 'note' =>
    kind === 'warning' || kind === 'caution' ? kind : 'note';

function lowerAct(action: ast.Action, act: Act): readonly Line[] {
    const { place, statement } = act;
    if (ast.isKeep(action)) return lowerKeep(action, act);
    if (!ast.isLook(action)) {
        const line = lowerAction(action, act);
        return line ? [line] : [];
    }
    const looked = lowerLook(action, act);
    if (!looked) return [];
    const otherwise = action.else && armOf(action.else, place);
    return [
        {
            ...base(act),
            kind: 'look',
            by: act.role,
            ...looked,
            otherwise: otherwise ?? null,
            join: joinOf({ ...act, role: NONE }, statement),
        },
    ];
}

function armOf(block: ast.Block, place: Place): Arm {
    return { span: place.context.spanOf(block), lines: lowerStatements(block.statements, { ...place, inArm: true }) };
}

const joinOf = (act: Act, span: Act['statement']) => (): Draft => ({
    ...common(act, 'join', '', { span }),
    kind: 'join',
});

function lowerIf(statement: ast.If, outer: Act): BranchLine | undefined {
    const { place } = outer;
    const { context } = place;
    const role = expectA('role', statement.role, statement, place);
    const target = targetOf(statement.item, outer);
    const word = positionWord(statement.state, place);
    const found = target && slotState(target.index, word, context, () => context.at(outer.statement));
    if (role === undefined || !target || !found) return undefined;
    const draft: BranchLine['draft'] = {
        ...onItem({ ...outer, role }, 'if', target),
        kind: 'branch',
        slot: found.slot,
        state: found.state,
    };
    const then = armOf(statement.then, place);
    const otherwise = statement.otherwise ? armOf(statement.otherwise, place) : { span: outer.statement, lines: [] };
    return {
        ...base(outer),
        kind: 'branch',
        by: role,
        sentence: say.sayIf(target.item, word),
        draft,
        then,
        otherwise,
        join: joinOf(outer, outer.statement),
    };
}

function lowerKeep(action: ast.Keep, act: Act): readonly Line[] {
    const { place } = act;
    const { context } = place;
    const target = targetOf(action.item, act);
    const word = action.state === undefined ? 'PRESSED' : positionWord(action.state, place);
    const time = action.atMost && readQuantity(action.atMost, 's');
    if (!time) context.say(`The time ${context.at(act.statement)} cannot be read.`);
    const state = target ? target.item.states.indexOf(word) : -1;
    if (target && (state < 0 || (target.item.kind !== 'control' && target.item.kind !== 'button'))) {
        context.say(
            `${target.item.name}, a ${target.item.kind}, cannot be held at ${word} (${context.at(act.statement)}).`,
        );
    }
    if (!target || !time || state < 0 || (target.item.kind !== 'control' && target.item.kind !== 'button')) return [];
    const keep = context.keeps++;
    worked(act, target.index);
    const { slot } = target.item;
    const draft: KeepLine['draft'] = {
        ...onItem(act, 'keep', target),
        kind: 'keep-start',
        keep,
        slot,
        state,
        atMost: time.value,
    };
    // `state` is settled when the flow is whole: what it was before.
    const make = (): Draft => ({
        ...onItem(act, 'release', target),
        kind: 'keep-end',
        keep,
        slot,
        state: target.item.normal,
    });
    const brace = make();
    const release = (atBrace: boolean): Draft => (atBrace ? brace : make());
    const lines = lowerStatements(action.body?.statements ?? [], place);
    return [
        {
            ...base(act),
            kind: 'keep',
            by: act.role,
            sentence: say.sayKeep(target.item, word, time.text),
            draft,
            release,
            released: brace.key,
            lines,
        },
    ];
}

function lowerForEach(statement: ast.ForEach, place: Place): readonly Line[] {
    const { context } = place;
    const span = context.spanOf(statement);
    return statement.rows.flatMap((row): Line[] => {
        if (!context.spend(place)) return [];
        const names = statement.names;
        const args = row.args.map(each => each.name);
        if (args.length !== names.length) {
            context.say(
                `A row of the "for each" ${context.at(context.spanOf(row))} has ${args.length} entries for ${names.length} names.`,
            );
            return [];
        }
        const bound = new Map(place.bound);
        const words = new Map(place.words);
        const titles: string[] = [];
        for (const [index, name] of names.entries()) {
            const value: Value = argumentValue(args[index] ?? '', row, place, 'any');
            bound.set(name, value);
            words.set(name.name, { is: 'word', text: value.text });
            titles.push(nameOf(value, context).noun);
        }
        const inside = { ...place, bound, words, path: context.keys.row(place.path, args), depth: place.depth + 1 };
        const lines = lowerStatements(statement.body?.statements ?? [], inside);
        return [
            {
                span,
                calls: place.calls,
                only: say.sayOnly(place.only),
                kind: 'group',
                title: titles.join(', '),
                callee: '',
                args: names.map(name => argumentBound(bound.get(name))),
                lines,
            },
        ];
    });
}

function lowerRepeat(statement: ast.Repeat, act: Act): Line | undefined {
    const { place } = act;
    const { context } = place;
    const where = context.at(act.statement);
    const name = statement.step?.$refText ?? '';
    const step = statement.step?.ref && place.card.steps.get(statement.step.ref);
    const times = Number(String(statement.times ?? '').replaceAll(',', ''));
    if (!statement.step?.ref) context.say(`The step ${name} ${where} is not known.`);
    else if (step === undefined)
        context.say(`The step ${name} cannot be repeated ${where}: only this step or an earlier one can.`);
    else if (!place.inArm)
        context.say(
            `The step ${name} would be repeated ${where} whatever happens; a repeat stands in an "else" or in an "if".`,
        );
    else if (!Number.isInteger(times) || times < 0)
        context.say(`How often the step ${name} is repeated ${where} is no whole number.`);
    else {
        return {
            ...base(act),
            kind: 'repeat',
            step,
            times,
            draft: { ...common(act, 'exhausted', name), kind: 'exhausted' },
        };
    }
    return undefined;
}
