import type { Condition } from '../conditions/condition.js';
import { lineEnding } from '../findings/edits.js';
import type { Edit, Fix, Span } from '../findings/finding.js';
import { duration } from '../findings/phrases.js';
import { type Machine, NONE } from '../machine/machine.js';
import type { PathState } from '../paths/paths.js';
import { placesOf } from '../paths/people.js';
import { liesIn, reach } from '../paths/places.js';
import { atomsOf } from '../paths/rules.js';
import type { Event } from '../plan/plan.js';
import { kindOf } from '../vocabulary/kinds/index.js';
import { upperFirst } from '../vocabulary/sentences.js';
import type { Judged } from './check.js';

/** Edits that fixes are made of: whole lines, with the indentation of their neighbour. */

/** A stretch of a file by its offsets. */
export function spanAt(text: string, file: string, offset: number, end: number): Span {
    const place = (at: number): [number, number] => {
        const before = text.slice(0, at);
        const line = before.split('\n').length;
        return [line, at - (before.lastIndexOf('\n') + 1) + 1];
    };
    const [line, column] = place(offset);
    const [endLine, endColumn] = place(end);
    return { file, offset, end, line, column, endLine, endColumn };
}

const lineStart = (text: string, offset: number): number => text.lastIndexOf('\n', offset - 1) + 1;
const indentAt = (text: string, offset: number): string =>
    /^[ \t]*/.exec(text.slice(lineStart(text, offset)))?.[0] ?? '';

/** The lines before the statement. */
export function insertBefore(card: Judged, statement: Span, lines: readonly string[]): Edit {
    const text = card.text(statement.file);
    const start = lineStart(text, statement.offset);
    const indent = indentAt(text, statement.offset);
    const alone = text.slice(start, statement.offset).trim() === '';
    const at = alone ? start : statement.offset;
    const eol = lineEnding(text);
    const newText = alone
        ? lines.map(each => `${indent}${each}${eol}`).join('')
        : lines.map(each => `${each}${eol}${indent}`).join('');
    return { span: spanAt(text, statement.file, at, at), newText };
}

/** The lines after the statement. */
export function insertAfter(card: Judged, statement: Span, lines: readonly string[]): Edit {
    const text = card.text(statement.file);
    const indent = indentAt(text, statement.offset);
    const eol = lineEnding(text);
    const stop = text.indexOf('\n', statement.end);
    const rest = text.slice(statement.end, stop < 0 ? text.length : stop).trim();
    if (stop >= 0 && (rest === '' || rest.startsWith('//'))) {
        return {
            span: spanAt(text, statement.file, stop + 1, stop + 1),
            newText: lines.map(each => `${indent}${each}${eol}`).join(''),
        };
    }
    return {
        span: spanAt(text, statement.file, statement.end, statement.end),
        newText: lines.map(each => `${eol}${indent}${each}`).join(''),
    };
}

/** The lines at the end of a block: before its closing brace. */
export function insertAtEnd(card: Judged, block: Span, lines: readonly string[]): Edit {
    const text = card.text(block.file);
    const brace = block.end - 1;
    const start = lineStart(text, brace);
    const eol = lineEnding(text);
    if (text.slice(start, brace).trim() === '') {
        const indent = `${indentAt(text, brace)}  `;
        return {
            span: spanAt(text, block.file, start, start),
            newText: lines.map(each => `${indent}${each}${eol}`).join(''),
        };
    }
    return { span: spanAt(text, block.file, brace, brace), newText: `${lines.join(' ')} ` };
}

/** A statement taken from its place and put before another. */
export function moveBefore(card: Judged, statement: Span, before: Span): readonly Edit[] | undefined {
    const away = statement.file === before.file && takeAway(card, statement);
    return away ? [insertBefore(card, before, [written(card, statement)]), away] : undefined;
}

/** A statement taken from its place and put behind another. */
export function moveAfter(card: Judged, statement: Span, after: Span): readonly Edit[] | undefined {
    const away = statement.file === after.file && takeAway(card, statement);
    return away ? [insertAfter(card, after, [written(card, statement)]), away] : undefined;
}

/** The line of a statement that has it to itself, gone. */
function takeAway(card: Judged, statement: Span): Edit | undefined {
    const text = card.text(statement.file);
    const start = lineStart(text, statement.offset);
    const stop = text.indexOf('\n', statement.end);
    const rest = text.slice(statement.end, stop < 0 ? text.length : stop).trim();
    if (text.slice(start, statement.offset).trim() !== '' || rest !== '' || stop < 0) return undefined;
    return { span: spanAt(text, statement.file, start, stop + 1), newText: '' };
}

export function replace(card: Judged, file: string, offset: number, end: number, newText: string): Edit {
    return { span: spanAt(card.text(file), file, offset, end), newText };
}

export const fix = (title: string, ...edits: readonly Edit[]): Fix => ({ title, edits });

/** The text of a stretch. */
export const written = (card: Judged, span: Span): string => card.text(span.file).slice(span.offset, span.end);

/** True where the names of the card itself can be written. */
export function inCard(card: Judged, span: Span): boolean {
    return span.file === card.plan.file && span.offset >= card.plan.span.offset && span.end <= card.plan.span.end;
}

/** The role before the colon of a statement, as written there. */
function actorWritten(card: Judged, event: Event): string | undefined {
    return /^([^\s:"]+)\s*:/.exec(written(card, event.statement))?.[1];
}

/** How a role is called where the event stands: in a subtask, as another statement of the same call names it. */
export function roleThere(card: Judged, event: Event, role: number): string | undefined {
    const { plan } = card;
    if (inCard(card, event.statement)) return plan.roles[role]?.name;
    const call = event.calls.at(-1);
    for (const each of plan.events) {
        if (
            each.role !== role ||
            each.calls.length !== event.calls.length ||
            each.calls.at(-1)?.span.offset !== call?.span.offset
        )
            continue;
        if (each.statement.file !== event.statement.file) continue;
        const name = actorWritten(card, each);
        if (name) return name;
    }
    return undefined;
}

/** How an item is called where the event stands; undefined where only a parameter stands for it. */
export function itemThere(card: Judged, event: Event, item: number): string | undefined {
    const name = card.machine.items[item]?.name;
    if (inCard(card, event.statement)) return name;
    if (item !== event.item) return undefined;
    return /:\s*(?:[a-z]+\s+)(?:new\s+)?([^\s,]+)/.exec(written(card, event.statement))?.[1];
}

/** The statement of the card itself in which the event lies: the outermost call, or its own. */
export function statementInCard(event: Event): Span {
    return event.calls[0]?.span ?? event.statement;
}

/** The last of the card's own steps. */
export function lastStep(card: Judged): Judged['plan']['steps'][number] | undefined {
    return card.plan.steps.filter(each => each.within === NONE && inCard(card, each.span)).at(-1);
}

/** How the role brings the item to the state: "close CB-217", "set ISOL to NORM". */
export function actionOn(
    machine: Machine,
    slot: number,
    state: number,
    name: string,
    kindVerbs: readonly { readonly word: string; readonly to: string }[],
): string | undefined {
    const owner = machine.slots[slot];
    const item = machine.items[owner?.item ?? NONE];
    const to = owner?.states[state];
    if (!owner || !item || to === undefined) return undefined;
    if (owner.kind === 'presence') return `${to === 'REMOVED' ? 'remove' : 'install'} ${name}`;
    if (item.kind === 'control') return `set ${name} to ${to}`;
    const verb = kindVerbs.find(each => each.to === to);
    return verb && `${verb.word} ${name}`;
}

/** Who is at each place that a rule on the item wants to hear from, telling the one who acts. */
export function tellsFor(card: Judged, state: PathState, actor: number, item: number): readonly string[] {
    const { machine, plan } = card;
    const from = new Set<number>();
    for (const { body } of machine.rules) {
        if (body.kind !== 'before' || !body.triggers.some(each => each.item === item || each.kind === 'moves'))
            continue;
        for (const atom of atomsOf(body.require)) if (atom.op === 'told') from.add(atom.from);
    }
    const hearer = plan.roles[actor]?.name;
    if (!hearer) return [];
    return [...from].flatMap(place =>
        plan.roles.flatMap((role, n) =>
            n !== actor && [...placesOf(state, n)].every(each => liesIn(machine, each, place))
                ? [`${role.name}: tell ${hearer} "Clear."`]
                : [],
        ),
    );
}

/** A role that reaches the place where things stand as in `state`: rather one that has acted there. */
export function roleAt(card: Judged, state: PathState, place: number, rather: number): number {
    const { machine, plan } = card;
    const reaches = (role: number): boolean => place === NONE || reach(machine, state, role, place).ok;
    if (rather !== NONE && reaches(rather)) return rather;
    const acted = plan.events.find(each => each.place === place && each.role !== NONE && reaches(each.role));
    return acted?.role ?? plan.roles.findIndex((_, role) => reaches(role));
}

/** The lines that bring about, just before an event, what a part of a rule asks; undefined where no action does. */
export function bringingAbout(card: Judged, event: Event, atom: Condition): readonly string[] | undefined {
    const { machine, paths } = card;
    const state = paths.at[event.id];
    if (!state || (atom.op !== 'is' && atom.op !== 'held' && atom.op !== 'live')) return undefined;
    const item = machine.items[atom.item];
    if (item?.nature !== 'operated') return undefined;
    const kind = kindOf(item.kind);
    const slot = atom.op === 'live' ? item.slot : atom.slot;
    const wanted = atom.op === 'live' ? item.states.indexOf(kind.bare ?? '') : atom.state;
    const action = actionOn(machine, slot, wanted, item.name, kind.verbs);
    const actor = roleAt(card, state, item.place, event.role);
    const name = actor < 0 ? undefined : roleThere(card, event, actor);
    if (!action || !name) return undefined;
    const line = `${name}: ${action}${action.startsWith('pull ') ? ' and tag' : ''}`;
    const wait = atom.op === 'held' ? [`wait ${duration(atom.seconds)}`] : [];
    return [...(inCard(card, event.statement) ? tellsFor(card, state, actor, atom.item) : []), line, ...wait];
}

/** The line that brings a thing back to where it was before `bringingAbout`: at the end of the card, or of the step. */
function bringingBack(
    card: Judged,
    event: Event,
    atom: Condition,
): readonly { readonly edit: Edit; readonly where: string }[] {
    const { machine, plan, paths } = card;
    const state = paths.at[event.id];
    if (!state || (atom.op !== 'is' && atom.op !== 'held')) return [];
    const item = machine.items[atom.item];
    const before = state.facts[atom.slot]?.[0]?.state;
    if (!item || before === undefined || before === atom.state) return [];
    const action = actionOn(machine, atom.slot, before, item.name, kindOf(item.kind).verbs);
    const role = plan.roles[roleAt(card, state, item.place, event.role)]?.name;
    if (!action || !role) return [];
    const last = lastStep(card);
    const own = plan.steps[event.step];
    const steps = own && own !== last && inCard(card, own.span) ? [last, own] : [last];
    return steps.flatMap(step =>
        step
            ? [
                  {
                      edit: insertAtEnd(card, step.span, [`${role}: ${action}`]),
                      where: step === last ? 'at the end' : `at the end of "${step.label}"`,
                  },
              ]
            : [],
    );
}

/**
 * Fixes that bring about what is asked just before the event: alone, then with the way back at the end of the card. `more`: lines that stand between that
 * and the event.
 */
export function bringAboutBefore(
    card: Judged,
    event: Event,
    atom: Condition,
    more: readonly string[] = [],
): readonly Fix[] {
    const lines = bringingAbout(card, event, atom);
    if (!lines) return [];
    const own = atom.op === 'held' ? 2 : 1;
    const title = `${upperFirst((lines.at(-own) ?? '').replace(/^\S+: /, '').replace(/ and tag$/, ' and tag it'))} first${more.length > 0 ? ', and prove it dead' : ''}`;
    const back = bringingBack(card, event, atom);
    const short = lines.slice(-own);
    const variants = lines.length > own ? [short, lines] : [lines];
    const inserted = variants.flatMap(each => {
        const before = insertBefore(card, event.statement, [...each, ...more]);
        return [fix(title, before), ...back.map(each => fix(`${title}, and back ${each.where}`, before, each.edit))];
    });
    return [...inserted, ...(more.length > 0 ? [] : movedUp(card, event, atom, title))];
}

/** The act brings about what is asked for. */
export function doesTheSame(card: Judged, event: Event, atom: Condition): boolean {
    if (event.kind !== 'operate' || (atom.op !== 'is' && atom.op !== 'held' && atom.op !== 'live')) return false;
    if (atom.op !== 'live') return event.slot === atom.slot && event.state === atom.state;
    const item = card.machine.items[atom.item];
    return event.slot === item?.slot && event.state === item.states.indexOf(kindOf(item.kind).bare ?? '');
}

/** What brings it about later in the same block, moved to just before, and the time that it takes waited: to do it twice would change nothing. */
function movedUp(card: Judged, event: Event, atom: Condition, title: string): readonly Fix[] {
    const later = laterInBlock(card, event, each => doesTheSame(card, each, atom));
    const moved = later && moveBefore(card, later.statement, event.statement);
    if (!moved) return [];
    if (atom.op !== 'held') return [fix(title, ...moved)];
    const lines = [written(card, later.statement), `wait ${duration(atom.seconds)}`];
    return [fix(title, insertBefore(card, event.statement, lines), ...moved.slice(1))];
}

/** "ensure X is S" in place of an act on one thing with nothing after it; undefined where it is another, or a pull. */
export function ensureInstead(card: Judged, event: Event): Edit | undefined {
    if (event.kind !== 'operate' || event.verb === 'pull' || event.ensure || event.fresh) return undefined;
    const { file, offset, end } = event.statement;
    const act = /^(\S+\s*:\s*)[a-z]+\s+([^\s,]+)(?:\s+to\s+(\S+))?$/.exec(written(card, event.statement));
    if (!act?.[1] || !act[2]) return undefined;
    const state = act[3] ?? card.machine.slots[event.slot]?.states[event.state];
    return replace(card, file, offset, end, `${act[1]}ensure ${act[2]} is ${state}`);
}

/** The first such event after this one in the same step and the same call. */
export function laterInBlock(card: Judged, event: Event, is: (each: Event) => boolean): Event | undefined {
    const calls = (of: Event): string => of.calls.map(each => `${each.span.file} ${each.span.offset}`).join(' ');
    return card.plan.events.find(
        each => each.id > event.id && each.step === event.step && calls(each) === calls(event) && is(each),
    );
}
