import type { Span } from '../../findings/finding.js';
import { type Band, NONE } from '../../machine/machine.js';
import type { Argument, Call, Event, PageLine, PageStep, Sentence } from '../../plan/plan.js';
import { sayInstall, sayOperate, wordsOf } from '../../vocabulary/sentences.js';
import type { Side } from './names.js';

/**
 * What is compared: the page of a card as a tree. A leaf is one thing done, seen or said; a line that does one thing to several items makes a leaf
 * of each. Names in `fields` are those that both sides share.
 */
export interface Node {
    readonly kind: Exclude<PageLine['kind'], 'act'> | Act;
    /** What would differ if the node were another one, by name of the field. Numbers are in base units. */
    readonly fields: Readonly<Record<string, string | number>>;
    /** As written, references by the names that both sides share; "" where there is none. */
    readonly text: string;
    /** As printed, one sentence. */
    readonly says: string;
    /** How numbers in it are written: "2 min" is not "120 s" on the page. */
    readonly written: string;
    readonly by: string;
    readonly byLabel: string;
    /** "Only with Modification 29-14." */
    readonly only: string;
    readonly args: readonly Argument[];
    readonly event: Event | undefined;
    /** The line that it is of, and what that line says as a whole. */
    readonly line: Line;
    readonly span: Span;
    readonly calls: readonly Call[];
    readonly step: number;
    readonly blocks: readonly Block[];
    /** The same number: the same in everything, what lies in it too. Counted over both sides. */
    readonly sig: number;
}

/** One line of the page. */
export interface Line {
    readonly says: string;
    /** How many nodes it makes. */
    parts: number;
}

type Act = 'operate' | 'tag' | 'press' | 'tell' | 'go' | 'clear' | 'prose' | 'act';

export interface Block {
    readonly name: 'lines' | 'if-not' | 'then' | 'otherwise';
    readonly nodes: readonly Node[];
}

/** Gives the same number to the same words, over both sides. */
export class Interned {
    private readonly numbers = new Map<string, number>();
    of(words: string): number {
        const known = this.numbers.get(words);
        if (known !== undefined) return known;
        this.numbers.set(words, this.numbers.size);
        return this.numbers.size - 1;
    }
}

type Common = Pick<Node, 'span' | 'calls' | 'only' | 'step' | 'line'>;
type Draft = Partial<Node> & Pick<Node, 'kind' | 'says'>;

/** The steps of a card, and the alerts that stand outside of them. */
export function treeOf(
    side: Side,
    interned: Interned,
): { readonly steps: readonly Node[]; readonly alerts: readonly Node[] } {
    const { plan } = side.judged;
    const builder = new Builder(side, interned);
    return {
        steps: plan.page.steps.map(each => builder.step(each, plan.steps[each.step]?.span ?? plan.span, [])),
        alerts: builder.lines(plan.page.alerts, NONE),
    };
}

class Builder {
    private readonly events: ReadonlyMap<string, Event>;
    constructor(
        private readonly side: Side,
        private readonly interned: Interned,
    ) {
        this.events = new Map(side.judged.plan.events.map(event => [event.key, event]));
    }

    lines(lines: readonly PageLine[], step: number): Node[] {
        return lines.flatMap(line => this.line(line, step));
    }

    step(page: Pick<PageStep, 'step' | 'lines' | 'only'>, span: Span, calls: readonly Call[]): Node {
        const { steps } = this.side.judged.plan;
        const step = steps[page.step];
        return this.node(
            { span, calls, only: page.only, step: page.step, line: { says: step?.label ?? '', parts: 0 } },
            {
                kind: 'step',
                says: step?.label ?? '',
                fields: {
                    name: step?.name ?? '',
                    label: step?.label ?? '',
                    test: step?.kind === 'test' ? 1 : 0,
                    of: this.sorted(step?.of ?? [], this.side.item),
                    takes: step?.takes ?? 0,
                },
                blocks: [{ name: 'lines', nodes: this.lines(page.lines, page.step) }],
            },
        );
    }

    private line(line: PageLine, step: number): Node[] {
        const events = line.keys.flatMap(key => this.events.get(key) ?? []);
        const inside = (lines: readonly PageLine[], name: Block['name'] = 'lines'): Block => ({
            name,
            nodes: this.lines(lines, step),
        });
        const [event] = events;
        const says = 'sentence' in line ? spoken(line.sentence) : '';
        const common: Common = { span: line.span, calls: line.calls, only: line.only, step, line: { says, parts: 0 } };
        const make = (draft: Omit<Draft, 'says'>): Node[] => [
            this.node(common, { says, event, ...this.by(line), ...draft }),
        ];
        switch (line.kind) {
            case 'alert':
                return make({ kind: 'alert', fields: { alert: line.alert }, text: this.textIn(line.span) });
            case 'act':
                return this.acts(common, events, says, line.by);
            case 'look': {
                const look = event?.kind === 'look' ? event : undefined;
                return make({
                    kind: 'look',
                    fields: look
                        ? {
                              look: look.look,
                              item: this.side.item(look.item),
                              state: look.look === 'see' ? this.side.state(look.slot, look.state) : '',
                              ...limitsOf(look.limits),
                              within: look.within,
                              for: look.for,
                              after: look.after,
                              record: look.record ? 1 : 0,
                              what: look.what,
                          }
                        : { says },
                    written: `${look?.limits?.text ?? ''} ${timing(says)}`,
                    blocks: line.ifNot ? [inside(line.ifNot, 'if-not')] : [],
                });
            }
            case 'torque': {
                const torque = event?.kind === 'torque' ? event : undefined;
                const fields: Node['fields'] = torque
                    ? {
                          item: this.side.item(torque.item),
                          ...limitsOf(torque.limits, this.side.itemOf(torque.item)?.torque),
                          tool: this.side.tool(torque.tool),
                          extension: torque.extension,
                      }
                    : { says };
                return make({
                    kind: 'torque',
                    fields,
                    written: `${fields['low'] === 'of the item' ? '' : line.limits} ${line.extension}`,
                });
            }
            case 'wait':
                return make({ kind: 'wait', fields: { seconds: line.seconds }, written: says });
            case 'hold':
                return make({ kind: 'hold', text: this.textIn(line.span) });
            case 'branch':
                return make({
                    kind: 'branch',
                    fields:
                        event?.kind === 'branch'
                            ? { item: this.side.item(event.item), state: this.side.state(event.slot, event.state) }
                            : { says },
                    blocks: [inside(line.then, 'then'), inside(line.otherwise, 'otherwise')],
                });
            case 'keep':
                return make({
                    kind: 'keep',
                    fields:
                        event?.kind === 'keep-start'
                            ? {
                                  item: this.side.item(event.item),
                                  state: this.side.state(event.slot, event.state),
                                  atMost: event.atMost,
                              }
                            : { says },
                    blocks: [inside(line.lines)],
                });
            case 'group':
                return make({
                    kind: 'group',
                    says: line.title,
                    fields: {},
                    text: line.callee,
                    args: line.args,
                    blocks: [inside(line.lines)],
                } as Omit<Draft, 'says'>);
            case 'card':
                return make({
                    kind: 'card',
                    says: line.card,
                    fields: { card: line.card, revision: line.revision },
                    blocks: [inside(line.lines)],
                } as Omit<Draft, 'says'>);
            case 'step':
                return [this.step(line, line.span, line.calls)];
            case 'repeat': {
                const name = this.side.judged.plan.steps[line.step]?.name ?? '';
                const label = this.side.judged.plan.steps[line.step]?.label ?? '';
                return [
                    this.node(common, {
                        kind: 'repeat',
                        says: `Go back to “${label}”, at most ${line.times} ${line.times === 1 ? 'time' : 'times'}.`,
                        fields: { step: name, times: line.times },
                        event,
                    }),
                ];
            }
            case 'stop':
                return make({ kind: 'stop', text: this.textIn(line.span) });
            case 'leave-for':
                return make({
                    kind: 'leave-for',
                    fields: { card: event?.kind === 'leave-for' ? event.card : says },
                });
        }
    }

    private by(line: PageLine): Pick<Node, 'by' | 'byLabel'> {
        if (!('by' in line)) return { by: '', byLabel: '' };
        return { by: this.side.role(line.by), byLabel: this.side.judged.plan.roles[line.by]?.label ?? '' };
    }

    /** One node for each thing that is done; a tag belongs to the act that it goes with. */
    private acts(common: Common, events: readonly Event[], says: string, role: number): Node[] {
        const by = { by: this.side.role(role), byLabel: this.side.judged.plan.roles[role]?.label ?? '' };
        const operated = new Set(events.flatMap(event => (event.kind === 'operate' ? [event.item] : [])));
        const hung = new Set(
            events.flatMap(event => (event.kind === 'tag' && event.verb === 'tag' ? [event.item] : [])),
        );
        const own = events.filter(event => !(event.kind === 'tag' && event.verb === 'tag' && operated.has(event.item)));
        const alone = own.length === 1;
        const nodes = own.map(event => {
            const made = { event, ...by };
            switch (event.kind) {
                case 'operate': {
                    const tag = hung.has(event.item);
                    return this.node(common, {
                        ...made,
                        kind: 'operate',
                        says: alone ? says : this.sayOne(event, tag),
                        fields: {
                            verb: event.verb,
                            item: this.side.item(event.item),
                            state: this.side.state(event.slot, event.state),
                            ensure: event.ensure ? 1 : 0,
                            fresh: event.fresh ? 1 : 0,
                            tag: tag ? 1 : 0,
                            spares: this.sorted(event.spares, this.side.spare),
                            materials: this.sorted(event.materials, this.side.material),
                        },
                    });
                }
                case 'tag':
                    return this.node(common, {
                        ...made,
                        kind: 'tag',
                        says: alone ? says : this.sayOne(event, false),
                        fields: { verb: event.verb, item: this.side.item(event.item) },
                    });
                case 'press':
                    return this.node(common, {
                        ...made,
                        kind: 'press',
                        says,
                        fields: { item: this.side.item(event.item), seconds: event.guaranteed },
                        written: timing(says),
                    });
                case 'tell':
                    return this.node(common, {
                        ...made,
                        kind: 'tell',
                        says,
                        fields: { to: this.side.role(event.to) },
                        text: this.textIn(common.span),
                    });
                case 'go':
                    return this.node(common, {
                        ...made,
                        kind: 'go',
                        says,
                        fields: { place: this.side.place(event.place) },
                    });
                case 'clear':
                    return this.node(common, {
                        ...made,
                        kind: 'clear',
                        says,
                        fields: { verb: event.verb, place: this.side.place(event.place) },
                    });
                case 'prose':
                    return this.node(common, {
                        ...made,
                        kind: 'prose',
                        says,
                        text: this.textIn(common.span),
                    });
                default:
                    return this.node(common, { ...made, kind: 'act', says, fields: { says } });
            }
        });
        // What is never reached has no events; it is printed all the same.
        return nodes.length > 0 ? nodes : [this.node(common, { ...by, kind: 'act', says, fields: { says } })];
    }

    private sayOne(event: Event, tag: boolean): string {
        const item = this.side.itemOf(event.item);
        if (!item || (event.kind !== 'operate' && event.kind !== 'tag')) return '';
        return wordsOf(
            event.kind === 'operate' && event.verb === 'install'
                ? sayInstall([item], event.fresh, [])
                : sayOperate(event.verb, [item], tag),
        );
    }

    private sorted(indices: readonly number[], name: (index: number) => string): string {
        return indices.map(name).sort().join(' ');
    }

    /** The first text of a statement as written, names in it as both sides share them. */
    private textIn(span: Span): string {
        const written = this.side.judged.text(span.file).slice(span.offset, span.end);
        const text = /"((?:[^"\\]|\\.)*)"/.exec(written)?.[1] ?? '';
        return text.replace(/(?<!\\)\[([^\]]*)\]/g, (_, name: string) => `[${this.side.named(name.trim())}]`);
    }

    private node(common: Common, draft: Draft): Node {
        const whole = {
            fields: {},
            text: '',
            written: '',
            by: '',
            byLabel: '',
            args: [],
            event: undefined,
            blocks: [],
            ...common,
            ...draft,
        };
        whole.line.parts++;
        return { ...whole, sig: this.interned.of(signature(whole)) };
    }
}

/** Everything about a node that a reader would see. A call is what it does, whatever it is called and with whatever. */
export function signature(node: Omit<Node, 'sig'>): string {
    const fields = Object.entries(node.fields).map(([field, value]) => `${field}=${value}`);
    const text = node.kind === 'group' ? '' : node.text;
    const blocks = node.blocks.map(block => `${block.name}[${block.nodes.map(each => each.sig).join()}]`);
    return [node.kind, node.by, ...fields, text, node.only, node.written, ...blocks].join('\u0001');
}

const limitsOf = (band: Band | undefined, own?: Band): Pick<Node['fields'], string> =>
    band && own && band.low === own.low && band.high === own.high
        ? { low: 'of the item', high: 'of the item' }
        : { low: band?.low ?? '', high: band?.high ?? '' };

const timing = (says: string): string =>
    [
        /^After ([^,]*),/,
        / (?:within|for) ([^.]*(?:\.\d+)?[^.]*)\.$/,
        /at most ([^.]*(?:\.\d+)?[^.]*)\.$/,
        /hold it for (.*)\.$/,
    ]
        .map(each => each.exec(says)?.[1] ?? '')
        .join(' ')
        .trim();

/** The sentence of a line as another line speaks of it. */
const spoken = (sentence: Sentence): string => wordsOf(sentence).replace(/(\. Meanwhile)?:$/, '.');

/** All nodes below, in the order of the page, the containers before what they hold. */
export function* allIn(nodes: readonly Node[]): Iterable<Node> {
    for (const node of nodes) {
        yield node;
        for (const block of node.blocks) yield* allIn(block.nodes);
    }
}
