/** What a role does, statement by statement: its events and its sentence. Looks and blocks are in looks.ts and statements.ts. */
import type { Span } from '../findings/finding.js';
import * as ast from '../grammar/generated/ast.js';
import { type Item, NONE } from '../machine/machine.js';
import { readBand, readQuantity } from '../machine/quantities.js';
import { kindOf, verbOf } from '../vocabulary/kinds/index.js';
import * as say from '../vocabulary/sentences.js';
import type { Draft, DraftOf, Line } from './lines.js';
import { expectA, labelOf, type Place, positionWord, type Reference, resolve, slotState } from './scope.js';
import { wordsOfText } from './texts.js';

/** What every event of a statement shares. */
export interface Act {
    readonly place: Place;
    readonly node: ast.Statement | ast.Action;
    readonly statement: Span;
    readonly role: number;
}

export interface Target {
    readonly index: number;
    readonly item: Item;
    readonly span: Span;
}

/** Common part of an event; `name` is what the key says besides the verb. */
export function common(
    act: Pick<Act, 'place' | 'statement' | 'role'>,
    verb: string,
    name: string,
    more: { readonly item?: number; readonly span?: Span; readonly at?: number; readonly guaranteed?: number } = {},
) {
    const { place, statement, role } = act;
    return {
        key: place.context.keys.of(place.path, verb, name),
        span: more.span ?? statement,
        statement,
        calls: place.calls,
        step: place.step,
        role,
        item: more.item ?? NONE,
        place: more.at ?? NONE,
        guaranteed: more.guaranteed ?? 0,
    };
}

/** The same for an event on one item, done where the item is. */
export function onItem(act: Act, verb: string, target: Target, guaranteed = 0) {
    return common(act, verb, target.item.name, {
        item: target.index,
        span: target.span,
        at: target.item.place,
        guaranteed,
    });
}

export function targetOf(reference: Reference | undefined, act: Act, wholeSpan = true): Target | undefined {
    const { context } = act.place;
    const index = expectA('item', reference, act.node, act.place);
    if (index === undefined) return undefined;
    return {
        index,
        item: context.item(index),
        span: wholeSpan ? act.statement : context.spanOfReference(reference, act.node),
    };
}

/** From now on this is what the role worked on last. */
export function worked(act: Act, item: number): void {
    if (act.role !== NONE) act.place.context.lastWork.set(act.role, item);
}

const tagStates = { tag: 'TAGGED', untag: 'NO-TAG' } as const;

function tagEvent(act: Act, target: Target, verb: 'tag' | 'untag'): Draft | undefined {
    const { context } = act.place;
    const { tag } = target.item;
    const state = tag === NONE ? -1 : (context.machine.slots[tag]?.states.indexOf(tagStates[verb]) ?? -1);
    if (state < 0) {
        context.say(`No tag hangs on ${target.item.name} (${context.at(target.span)}).`);
        return undefined;
    }
    worked(act, target.index);
    return { ...onItem(act, verb, target), kind: 'tag', verb, slot: tag, state };
}

function operateEvent(
    act: Act,
    target: Target,
    word: string,
    more: Partial<DraftOf<'operate'>> = {},
): Draft | undefined {
    const { context } = act.place;
    const { item } = target;
    const verb = verbOf(kindOf(item.kind), word);
    const own = verb ? (context.machine.slots[item.slot]?.states.indexOf(verb.to) ?? -1) : -1;
    const present =
        verb && item.presence !== NONE ? (context.machine.slots[item.presence]?.states.indexOf(verb.to) ?? -1) : -1;
    if (own < 0 && present < 0) {
        context.say(`"${word}" does not suit ${item.name}, a ${item.kind} (${context.at(target.span)}).`);
        return undefined;
    }
    worked(act, target.index);
    return {
        ...onItem(act, word, target),
        kind: 'operate',
        verb: word,
        slot: own >= 0 ? item.slot : item.presence,
        state: own >= 0 ? own : present,
        ensure: false,
        fresh: false,
        spares: [],
        materials: [],
        ...more,
    };
}

/** The line of an action without a block, or undefined where nothing of it is left. */
export function lowerAction(action: ast.Action, act: Act): Line | undefined {
    const { place } = act;
    const { context } = place;
    const line = (sentence: say.Sentence, drafts: readonly (Draft | undefined)[]): Line | undefined => {
        const whole = drafts.filter(each => each !== undefined);
        return whole.length > 0 ? { ...base(act), kind: 'act', by: act.role, sentence, drafts: whole } : undefined;
    };
    const targets = (references: readonly Reference[]): Target[] =>
        references.map(each => targetOf(each, act, references.length === 1)).filter(each => each !== undefined);

    if (ast.isOperate(action)) {
        const { verb } = action;
        const all = targets(action.items);
        const done = new Set<Target>();
        const events = all.map(target => {
            const event =
                verb === 'tag' || verb === 'untag' ? tagEvent(act, target, verb) : operateEvent(act, target, verb);
            if (event) done.add(target);
            return event;
        });
        const tags = action.tag ? all.filter(each => done.has(each)).map(target => tagEvent(act, target, 'tag')) : [];
        return line(
            say.sayOperate(
                verb,
                [...done].map(each => each.item),
                action.tag,
            ),
            [...events, ...tags],
        );
    }
    if (ast.isInstall(action)) {
        const means: say.With[] = [];
        const spares: number[] = [];
        const materials: number[] = [];
        const all = targets(action.items);
        const isNew = (spare: number): boolean =>
            action.fresh && all.some(({ index }) => context.spares[spare]?.forItems.includes(index));
        for (const reference of action.with) {
            const value = resolve(reference, action, place);
            if (value?.is === 'spare') spares.push(value.index);
            else if (value?.is === 'material') materials.push(value.index);
            else if (value && value.is !== 'tool')
                context.say(`${value.text} ${context.at(act.statement)} is neither a spare, a material nor a tool.`);
            if (value?.is === 'spare' || value?.is === 'material' || value?.is === 'tool')
                means.push({
                    label: labelOf(value.is, value.index, context),
                    is: value.is,
                    same: value.is === 'spare' && isNew(value.index),
                });
        }
        const events = all.map(target =>
            operateEvent(act, target, 'install', { fresh: action.fresh, spares, materials }),
        );
        const done = all.filter((_, index) => events[index]);
        return line(
            say.sayInstall(
                done.map(each => each.item),
                action.fresh,
                means,
            ),
            events,
        );
    }
    if (ast.isSetTo(action)) {
        const target = targetOf(action.item, act);
        const event = target && setEvent(act, target, positionWord(action.state, place));
        return target && line(say.saySet(target.item, positionWord(action.state, place)), [event]);
    }
    if (ast.isEnsure(action)) {
        const target = targetOf(action.item, act);
        if (!target) return undefined;
        const word = positionWord(action.state, place);
        const event = ensureEvent(act, target, word);
        return (
            event &&
            line(say.sayEnsure(target.item, word, action.tag), [
                event,
                action.tag ? tagEvent(act, target, 'tag') : undefined,
            ])
        );
    }
    if (ast.isPress(action)) {
        const target = targetOf(action.item, act);
        if (!target) return undefined;
        const { states } = target.item;
        const pressed = states.indexOf('PRESSED');
        const released = states.indexOf('RELEASED');
        const time = action.time && readQuantity(action.time, 's');
        if (pressed < 0 || released < 0)
            context.say(
                `"press" does not suit ${target.item.name}, a ${target.item.kind} (${context.at(act.statement)}).`,
            );
        else if (action.time && !time) context.say(`The time ${context.at(act.statement)} cannot be read.`);
        else {
            worked(act, target.index);
            const event: Draft = {
                ...onItem(act, 'press', target, time?.value),
                kind: 'press',
                slot: target.item.slot,
                pressed,
                released,
            };
            return line(say.sayPress(target.item, time?.text ?? ''), [event]);
        }
        return undefined;
    }
    if (ast.isClear(action) || ast.isGoTo(action)) {
        const at = expectA('place', action.place, action, place);
        if (at === undefined) return undefined;
        const { name, label } = context.machine.places[at] as { name: string; label: string };
        if (ast.isGoTo(action)) return line(say.sayGo(label), [{ ...common(act, 'go', name, { at }), kind: 'go' }]);
        const verb = action.verb === 'leave' ? 'leave' : 'clear';
        return line(verb === 'leave' ? say.sayLeave(label) : say.sayClear(label), [
            { ...common(act, verb, name, { at }), kind: 'clear', verb },
        ]);
    }
    if (ast.isTell(action)) {
        const to = expectA('role', action.role, action, place);
        if (to === undefined) return undefined;
        const { text } = wordsOfText(action.text, place);
        const role = context.roles[to] as { name: string; label: string };
        return line(say.sayTell(role.label, text), [{ ...common(act, 'tell', role.name), kind: 'tell', to, text }]);
    }
    if (ast.isProse(action)) {
        const { text, items, places } = wordsOfText(action.text, place);
        const last = context.lastWork.get(act.role);
        const refs = items.length > 0 || places.length > 0 || last === undefined ? items : [last];
        const at = places[0] ?? (refs[0] === undefined ? NONE : context.item(refs[0]).place);
        const first = items.at(-1);
        if (first !== undefined) worked(act, first);
        const name = items[0] === undefined ? (context.roles[act.role]?.name ?? '') : context.item(items[0]).name;
        return line(say.sentence(text), [{ ...common(act, 'prose', name, { at }), kind: 'prose', text, refs }]);
    }
    if (ast.isTorque(action)) {
        const target = targetOf(action.item, act);
        if (!target) return undefined;
        const written = action.limits && readBand(action.limits);
        const limits = written && action.limits ? { ...written, unit: action.limits.unit } : target.item.torque;
        if (action.limits && !written) context.say(`The torque ${context.at(act.statement)} cannot be read.`);
        const tool = action.tool && expectA('tool', action.tool, action, place);
        const extension = action.extension && readQuantity(action.extension, 'm');
        if (action.extension && !extension) context.say(`The extension ${context.at(act.statement)} cannot be read.`);
        worked(act, target.index);
        const label = tool === undefined ? '' : labelOf('tool', tool, context);
        return {
            ...base(act),
            kind: 'torque',
            by: act.role,
            sentence: say.sayTorque(target.item, limits?.text ?? '', label, extension?.text ?? ''),
            extension: extension?.text ?? '',
            draft: {
                ...onItem(act, 'torque', target),
                kind: 'torque',
                ...(limits ? { limits } : {}),
                tool: tool ?? NONE,
                extension: extension?.value ?? NONE,
            },
        };
    }
    context.say(`What is to be done ${context.at(act.statement)} cannot be read.`);
    return undefined;
}

/** What every line of a statement shares. */
export function base({ place, statement }: Act) {
    return { span: statement, calls: place.calls, only: say.sayOnly(place.only) };
}

function setEvent(act: Act, target: Target, word: string): Draft | undefined {
    const { context } = act.place;
    const { item } = target;
    if (item.kind !== 'control') {
        context.say(`"set" does not suit ${item.name}, a ${item.kind} (${context.at(act.statement)}).`);
        return undefined;
    }
    return movedTo(act, target, 'set', word, false);
}

/** The verb that brings the item to the state is what is done where it is not so. */
function ensureEvent(act: Act, target: Target, word: string): Draft | undefined {
    const { context } = act.place;
    const { item } = target;
    const kind = kindOf(item.kind);
    if (item.kind === 'control') return movedTo(act, target, 'set', word, true);
    const verb =
        kind.verbs.find(each => each.to === word) ??
        ['remove', 'install'].map(each => verbOf(kind, each)).find(each => each?.to === word);
    if (verb) return operateEvent(act, target, verb.word, { ensure: true });
    context.say(
        `Nothing that anybody does brings ${item.name}, a ${item.kind}, to ${word || 'a state'} (${context.at(act.statement)}).`,
    );
    return undefined;
}

function movedTo(act: Act, target: Target, verb: string, word: string, ensure: boolean): Draft | undefined {
    const { context } = act.place;
    const found = slotState(target.index, word, context, () => context.at(act.statement));
    if (!found) return undefined;
    if (found.slot !== target.item.slot) {
        // An ensured control may also be meant as removed or installed.
        const presence = ensure
            ? ['remove', 'install'].find(each => verbOf(kindOf(target.item.kind), each)?.to === word)
            : undefined;
        if (presence) return operateEvent(act, target, presence, { ensure });
        context.say(`${target.item.name} is not set to ${word} (${context.at(act.statement)}).`);
        return undefined;
    }
    worked(act, target.index);
    const { slot, state } = found;
    return {
        ...onItem(act, verb, target),
        kind: 'operate',
        verb,
        slot,
        state,
        ensure,
        fresh: false,
        spares: [],
        materials: [],
    };
}
