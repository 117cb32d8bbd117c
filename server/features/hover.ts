import { type AstNode, CstUtils } from 'langium';
import { type Hover, MarkupKind } from 'vscode-languageserver';
import type { JudgedCard } from '../../language/check.js';
import { checks } from '../../language/checks/index.js';
import { changedAt, placeName } from '../../language/findings/phrases.js';
import type { Quantity } from '../../language/grammar/generated/ast.js';
import { NONE, type Rule } from '../../language/machine/machine.js';
import { labelOf } from '../../language/names/occurrences.js';
import type { Event } from '../../language/plan/plan.js';
import { readNumber, unitOf } from '../../language/vocabulary/units.js';
import type { At, Feature } from './feature.js';
import { eventsHere, statesHere } from './here.js';
import { cardsAround } from './judged.js';
import { nameAt } from './names.js';
import { rangeOf } from './ranges.js';

/** What a thing is, how it stands on this line and who put it there, what it is fed from, which rules guard it. */
export const hover: Feature = {
    name: 'hover',
    capabilities: () => ({ hoverProvider: true }),
    register({ connection, at: atOf }) {
        connection.onHover(async ({ textDocument, position }): Promise<Hover | null> => {
            const at = await atOf(textDocument.uri);
            if (!at) return null;
            const named = nameAt(at, position);
            const offset = at.document.offsetAt(position);
            if (named?.targets[0]) {
                const value = named.targets.map(each => ofNode(at, each, offset)).join('\n\n---\n\n');
                return {
                    contents: { kind: MarkupKind.Markdown, value },
                    range: rangeOf(at.file.spanOf(named)),
                };
            }
            return ofLeaf(at, offset);
        });
    },
};

/** Nothing that a text holds is read as markup. */
export const plain = (text: string): string => text.replace(/[\\`*_{}[\]<>()#+!|~-]/g, '\\$&').replaceAll('\n', ' ');

function ofNode(at: At, node: AstNode, offset: number): string {
    const { name = '', kind } = node as { name?: string; kind?: string };
    const what = typeof kind === 'string' ? kind : node.$type.toLowerCase();
    const lines = [`**${plain(name)}** ${plain(labelOf(node))}  \n*${what === 'loopname' ? 'name of a loop' : what}*`];
    if (node.$type === 'Item') lines.push(...ofItem(at, name, offset));
    if (node.$type === 'Parameter' || node.$type === 'LoopName') lines.push(...ofParameter(at, name, offset));
    if (node.$type === 'Card') {
        const card = at.project.live.quick(at.path).cards.find(each => each.name === name);
        if (card)
            lines.push(
                plain(`${card.status === 'unknown' ? 'not known' : card.status}${card.why ? `: ${card.why}` : ''}`),
            );
    }
    return lines.join('\n\n');
}

function ofItem(at: At, name: string, offset: number): string[] {
    const [card] = cardsAround(at);
    const item = card?.machine.itemIndex[name];
    const found = item === undefined ? undefined : card?.machine.items[item];
    if (!card || !found || item === undefined) return [];
    const { machine } = card;
    const lines: string[] = [];
    const place = found.place === NONE ? '' : placeName(machine, found.place);
    if (place) lines.push(`At ${plain(place)}${found.grid ? `, ${plain(found.grid)}` : ''}`);
    lines.push(...stateLines(card, at.path, offset, item));
    if (found.feeds.length > 0)
        lines.push(`Fed from ${found.feeds.map(each => plain(machine.items[each]?.name ?? '')).join(', ')}`);
    const feeds = machine.items.filter(each => each.feeds.includes(item)).map(each => plain(each.name));
    if (feeds.length > 0) lines.push(`Feeds ${feeds.join(', ')}`);
    const guarding = machine.rules.filter(rule => guards(rule, item, found.unit));
    if (guarding.length > 0)
        lines.push(
            [
                'Rules',
                ...guarding.map(
                    rule =>
                        `- ${plain(rule.name)}: ${plain(rule.says)}${rule.because ? ` *${plain(rule.because)}*` : ''}`,
                ),
            ].join('\n'),
        );
    return lines;
}

function stateLines(card: JudgedCard, path: string, offset: number, item: number): string[] {
    const events = eventsHere(card, path, offset);
    return events.slice(0, mostCalls).flatMap(event => {
        const { states, by } = statesHere(card, event, item);
        if (states.length === 0) return [];
        const where = event.calls.length > 0 ? ` (${calledAt(event)})` : '';
        return [`Here ${plain(states.join(' or '))}${where}.${plain(changedAt(card.plan, by))}`];
    });
}

/** Calls of a subtask that a hover tells apart. */
const mostCalls = 4;

const calledAt = (event: Event): string => event.calls.map(each => `called at line ${each.span.line}`).join(', ');

/** What a parameter stands for in each call. */
function ofParameter(at: At, name: string, offset: number): string[] {
    const cards = cardsAround(at);
    const lines: string[] = [];
    for (const card of cards) {
        for (const event of eventsHere(card, at.path, offset).slice(0, mostCalls)) {
            if (event.item === NONE || event.calls.length === 0) continue;
            const item = card.machine.items[event.item];
            const text = at.file.text.slice(event.statement.offset, event.statement.end);
            if (item && new RegExp(`(?<![\\w-])${name}(?![\\w-])`).test(text))
                lines.push(`${plain(item.name)} ${plain(item.label)} (${calledAt(event)})`);
        }
    }
    return [...new Set(lines)];
}

function guards({ body }: Rule, item: number, unit: number): boolean {
    switch (body.kind) {
        case 'before':
            return body.triggers.some(each => each.item === item || (each.kind === 'work' && each.item === unit));
        case 'test':
        case 'end-of-test':
        case 'keep':
            return body.item === item;
        default:
            return false;
    }
}

/** Figures with the value that is read, and codes with what they look for. */
function ofLeaf(at: At, offset: number): Hover | null {
    const root = at.file.root.$cstNode;
    const leaf = root && CstUtils.findLeafNodeAtOffset(root, offset);
    if (!leaf) return null;
    const range = rangeOf(at.file.spanOf(leaf));
    const check = checks.find(each => each.code === leaf.text);
    if (check) return { contents: { kind: MarkupKind.Markdown, value: plain(check.title) }, range };
    for (let node: AstNode | undefined = leaf.astNode; node; node = node.$container) {
        if (node.$type !== 'Quantity') continue;
        const read = valueRead(node as Quantity);
        return read ? { contents: { kind: MarkupKind.Markdown, value: plain(read) }, range } : null;
    }
    return null;
}

function valueRead({ value, unit }: Quantity): string | undefined {
    const number = readNumber(value);
    const known = unitOf(unit);
    if (number === undefined || !known) return undefined;
    return `Read as ${number} ${known.symbol}`;
}
