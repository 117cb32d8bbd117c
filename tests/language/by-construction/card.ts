/** Blocks put together to a project: equipment, subtasks, one card. What is done to the text here changes nothing of its meaning. */
import { type Block, type Chunk, makers } from './blocks.js';
import { Names } from './names.js';
import { Random } from './random.js';

export interface Generated {
    readonly seed: number;
    readonly card: string;
    readonly text: string;
    /** The codes that belong to the mistakes in it, sorted; empty for a clean card. */
    readonly codes: readonly string[];
    /** What it was made of, for whoever reads a failure. */
    readonly blocks: readonly string[];
}

const number = 'T84-99-10-01';

export function generate(seed: number): Generated {
    const random = new Random(seed);
    const names = new Names(random);
    random.careful = random.chance(0.3);
    const blocks = chosen(random, names);
    const wrapper = new Wrapper(random, names, blocks);
    const modified = random.chance(0.3);

    const chunks = [
        ...blocks.filter(block => block.first).flatMap(block => block.chunks),
        ...merged(
            random,
            blocks.filter(block => !block.first && !block.last),
        ),
        ...blocks.filter(block => block.last).flatMap(block => block.chunks),
    ];
    const steps: string[] = [];
    let open: string[] = [];
    const close = () => {
        if (open.length > 0) steps.push(step('step', names.word(), '', open));
        open = [];
    };
    for (const chunk of chunks) {
        const lines = wrapper.wrap(chunk, modified);
        if (chunk.of || chunk.step) {
            close();
            const kind = chunk.of ? 'test' : 'step';
            steps.push(step(kind, chunk.step ?? names.word(), chunk.of ? ` of ${chunk.of.join(', ')}` : '', lines));
        } else {
            open.push(...lines);
            if (random.chance(0.3)) close();
        }
    }
    close();

    const noRevision = !random.careful && random.chance(0.1);
    const settings = (kind: string, list: readonly string[]) =>
        list.length ? [`${kind} with ${list.join(', ')}`] : [];
    const card = [
        `card ${number} "${names.label()}" {`,
        ...indent([
            'uses Northlight',
            ...(noRevision ? [] : [`revision "${random.whole(1, 9)}" dated "2026-01-0${random.whole(1, 9)}"`]),
            'role deck "Flight-deck operator" at FlightDeck',
            'role tech "Technician" at Ramp',
            'role insp "Inspector" at Ramp independent of tech, deck',
            ...settings(
                'start',
                blocks.flatMap(block => block.start ?? []),
            ),
            ...settings(
                'finish',
                blocks.flatMap(block => block.finish ?? []),
            ),
            ...steps.flatMap(each => each.split('\n')),
        ]),
        '}',
    ];
    const equipment = [
        'equipment Northlight "test stand" {',
        '  place FlightDeck "Flight deck"',
        '  place Ramp "Ramp"',
        ...indent(wrapper.equipment(blocks, modified)),
        '}',
    ];
    const text = [
        ...(modified ? ['modification M99-1 "Modification 99-1"'] : []),
        ...shuffled(random, [equipment.join('\n'), ...wrapper.subtasks, card.join('\n')]),
    ].join('\n\n');
    const codes = new Set(blocks.flatMap(block => block.codes));
    if (noRevision) codes.add('no-revision');
    return { seed, card: number, text: `${text}\n`, codes: [...codes].sort(), blocks: blocks.map(block => block.name) };
}

function chosen(random: Random, names: Names): Block[] {
    const blocks: Block[] = [];
    const count = random.whole(2, 7);
    while (blocks.length < count) {
        const block = random.pick(makers)(random, names);
        if (block.last && blocks.some(each => each.last || each.proof)) continue;
        if (block.proof && blocks.some(each => each.last)) continue;
        blocks.push(block);
    }
    return blocks;
}

/** The chunks of all blocks in one order that keeps the order within each block. */
function merged(random: Random, blocks: readonly Block[]): Chunk[] {
    const left = blocks.map(block => [...block.chunks]).filter(list => list.length > 0);
    const order: Chunk[] = [];
    while (left.length > 0) {
        const list = random.pick(left);
        const chunk = list.shift();
        if (chunk) order.push(chunk);
        if (list.length === 0) left.splice(left.indexOf(list), 1);
    }
    return order;
}

/** Says the same in other words: as a subtask with parameters, as a loop of one row, for both kinds of aircraft. */
class Wrapper {
    readonly subtasks: string[] = [];
    private readonly kinds: Record<string, string>;

    constructor(
        private readonly random: Random,
        private readonly names: Names,
        blocks: readonly Block[],
    ) {
        this.kinds = Object.assign({ deck: 'role', tech: 'role', insp: 'role' }, ...blocks.map(block => block.items));
    }

    wrap(chunk: Chunk, modified: boolean): string[] {
        let lines = [...chunk.lines];
        if (lines.length === 0) return lines;
        // A step cannot be repeated from within a subtask.
        if (!chunk.step && this.random.chance(0.3)) lines = this.asSubtask(lines);
        else if (this.random.chance(0.2)) lines = this.asLoop(lines);
        if (modified && this.random.chance(0.3)) {
            lines = ['where M99-1 {', ...indent(lines), '} otherwise {', ...indent(lines), '}'];
        }
        return lines;
    }

    /** Some items stand in both arms of a `where`: the same thing under two part numbers. */
    equipment(blocks: readonly Block[], modified: boolean): string[] {
        const lines = blocks.flatMap(block => block.equipment);
        const places = lines.filter(line => line.startsWith('place '));
        const others = lines.filter(line => !line.startsWith('place '));
        if (!modified) return [...places, ...others];
        return [
            ...places,
            ...others.flatMap(line =>
                /^(control|port|panel|breaker) /.test(line) && this.random.chance(0.2)
                    ? [
                          'where M99-1 {',
                          `  ${line}`,
                          '} otherwise {',
                          `  ${line.replace(/"([a-z]+)/, '"other $1')}`,
                          '}',
                      ]
                    : [line],
            ),
        ];
    }

    private asSubtask(lines: readonly string[]): string[] {
        const used = this.usedIn(lines).filter(name => this.kinds[name] === 'role' || this.random.chance(0.6));
        const parameters = used.map(name => ({
            kind: this.kinds[name] as string,
            name: this.names.word(),
            stands: name,
        }));
        let body = lines.join('\n');
        for (const each of parameters) body = replaced(body, each.stands, each.name);
        const name = this.names.word();
        const list = parameters.map(each => `${each.kind} ${each.name}`).join(', ');
        this.subtasks.push(
            [
                `subtask ${name} "${this.names.label()}"${list && ` (${list})`} uses Northlight {`,
                ...indent(body.split('\n')),
                '}',
            ].join('\n'),
        );
        return [`do ${name}${list && `(${parameters.map(each => each.stands).join(', ')})`}`];
    }

    private asLoop(lines: readonly string[]): string[] {
        const items = this.usedIn(lines).filter(name => this.kinds[name] !== 'role');
        if (items.length === 0) return [...lines];
        const item = this.random.pick(items);
        const name = this.names.word();
        return [`for each ${name} in ${item} {`, ...indent(replaced(lines.join('\n'), item, name).split('\n')), '}'];
    }

    private usedIn(lines: readonly string[]): string[] {
        const text = lines.join('\n');
        return Object.keys(this.kinds).filter(name => replaced(text, name, '\u0000') !== text);
    }
}

/** Every whole word `name` becomes `by`; names have hyphens. Words inside a text stay unless they stand in brackets. */
function replaced(text: string, name: string, by: string): string {
    return text
        .split(/("[^"]*")/)
        .map((part, index) =>
            index % 2 === 1
                ? part.replaceAll(`[${name}]`, `[${by}]`)
                : part.replaceAll(new RegExp(`(?<![\\w-])${name}(?![\\w-])`, 'g'), by),
        )
        .join('');
}

function step(kind: string, name: string, of: string, lines: readonly string[]): string {
    return [`${kind} ${name} "${name}"${of} {`, ...indent(lines), '}'].join('\n');
}

function indent(lines: readonly string[]): string[] {
    return lines.map(line => `  ${line}`);
}

function shuffled<T>(random: Random, list: readonly T[]): T[] {
    const left = [...list];
    const order: T[] = [];
    while (left.length > 0) order.push(...left.splice(random.whole(0, left.length - 1), 1));
    return order;
}
