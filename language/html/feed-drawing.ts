/** The feeds of an equipment as drawings: dagre lays them out, one drawing for as much as a page holds. */
import { Graph, layout } from '@dagrejs/dagre';
import type { FeedEdge, FeedNode, Feeds } from '../readers/equipment-sheet/index.js';
import { html, type Markup } from './html.js';

/** In the units of the drawing, which are about those of the page. */
const most = { width: 840, height: 860 };
const node = { width: 138, line: 14, pad: 10 };

/** One drawing: what is fed in it, and all that feeds that. */
interface Part {
    readonly nodes: readonly FeedNode[];
    readonly edges: readonly FeedEdge[];
}

interface Point {
    readonly x: number;
    readonly y: number;
}

interface Laid {
    readonly width: number;
    /** Where it begins. */
    readonly top: number;
    readonly height: number;
    readonly nodes: readonly {
        readonly node: FeedNode;
        readonly lines: readonly string[];
        readonly at: Point;
        readonly height: number;
    }[];
    readonly edges: readonly { readonly edge: FeedEdge; readonly points: readonly Point[] }[];
}

/** Every edge in exactly one drawing, "drawing 2 of 3" where there are several. A table beside them says the same in words. */
export function feedDrawings(feeds: Feeds, tableId: string): readonly Markup[] {
    const drawn = [...parted(feeds)];
    const fedIn = new Map<string, number>();
    for (const [at, { part }] of drawn.entries()) for (const edge of part.edges) fedIn.set(edge.to, at + 1);
    return drawn.map(({ part, laid }, at) => drawing(laid, part, at + 1, drawn.length, fedIn, tableId));
}

/** Parts that fit a page: chains stay together as long as they do. */
function* parted(feeds: Feeds): Iterable<{ part: Part; laid: Laid }> {
    const byName = new Map(feeds.nodes.map(each => [each.name, each]));
    const into = new Map<string, FeedEdge[]>();
    for (const edge of feeds.edges) into.set(edge.to, [...(into.get(edge.to) ?? []), edge]);
    const partOf = (fed: readonly string[]): Part => {
        const edges = fed.flatMap(each => into.get(each) ?? []);
        const names = new Set(edges.flatMap(each => [each.from, each.to]));
        return { edges, nodes: feeds.nodes.filter(each => names.has(each.name) && byName.has(each.name)) };
    };
    const open: Chains[] = packs(chains(feeds, into));
    for (let fed = open.shift(); fed; fed = open.shift()) {
        const part = partOf(fed.flat());
        const laid = lay(part);
        const fits = laid.width <= most.width && laid.height <= most.height;
        const smaller = fits || fed.flat().length === 1 ? [] : divided(fed, laid);
        if (smaller.length === 0) yield { part, laid };
        else open.unshift(...smaller);
    }
}

/** Fed things in chains, each in the order in which they feed each other. */
type Chains = readonly (readonly string[])[];

/** More fed things than this are never laid out together. */
const MOST_TOGETHER = 24;
/** What feeds more than this is drawn again in every drawing, like a bus. */
const MOST_FED = 4;

/** Fed things that hang together, but for what feeds many; in the order of the text, each after what feeds it. */
function chains({ nodes, edges }: Feeds, into: ReadonlyMap<string, readonly FeedEdge[]>): string[][] {
    const out = new Map<string, number>();
    for (const { from } of edges) out.set(from, (out.get(from) ?? 0) + 1);
    const root = new Map<string, string>(nodes.map(each => [each.name, each.name]));
    const find = (name: string): string => {
        let at = name;
        for (let up = root.get(at); up !== undefined && up !== at; up = root.get(at)) {
            root.set(at, root.get(up) ?? up);
            at = up;
        }
        return at;
    };
    for (const { from, to } of edges)
        if ((out.get(from) ?? 0) <= MOST_FED && into.has(from)) root.set(find(to), find(from));
    // What only stands at the beginning of a chain joins what it feeds alone, so that two with one connector stay together.
    for (const { from, to } of edges)
        if ((out.get(from) ?? 0) <= MOST_FED && !into.has(from)) root.set(find(to), find(from));
    const groups = new Map<string, string[]>();
    for (const { name } of nodes) {
        if (!into.has(name)) continue;
        const group = groups.get(find(name)) ?? [];
        groups.set(find(name), group);
        group.push(name);
    }
    return [...groups.values()].map(group => inOrder(group, into));
}

function inOrder(group: readonly string[], into: ReadonlyMap<string, readonly FeedEdge[]>): string[] {
    const here = new Set(group);
    const done = new Set<string>();
    const visit = (start: string): void => {
        const open: [string, number][] = [[start, 0]];
        const on = new Set([start]);
        for (let top = open.at(-1); top; top = open.at(-1)) {
            const [name, at] = top;
            const next = into.get(name)?.[at];
            top[1]++;
            if (next) {
                if (here.has(next.from) && !done.has(next.from) && !on.has(next.from)) {
                    on.add(next.from);
                    open.push([next.from, 0]);
                }
            } else {
                done.add(name);
                open.pop();
            }
        }
    };
    for (const each of group) if (!done.has(each)) visit(each);
    return [...done];
}

function packs(all: readonly string[][]): Chains[] {
    const found: (readonly string[])[][] = [];
    const length = (chains: Chains): number => chains.reduce((sum, each) => sum + each.length, 0);
    for (const chain of all) {
        const last = found.at(-1);
        if (last && length(last) + chain.length <= MOST_TOGETHER) last.push(chain);
        else for (let at = 0; at < chain.length; at += MOST_TOGETHER) found.push([chain.slice(at, at + MOST_TOGETHER)]);
    }
    return found;
}

/** Several chains: as many of the first as fit in height, then the others. One: what stands early, then what stands late. */
function divided(fed: Chains, laid: Laid): Chains[] {
    if (fed.length > 1) {
        const share = laid.height > most.height ? most.height / laid.height : 0.5;
        const first = Math.min(fed.length - 1, Math.max(1, Math.floor(fed.length * share)));
        return [fed.slice(0, first), fed.slice(first)];
    }
    const [chain = []] = fed;
    const x = new Map(laid.nodes.map(each => [each.node.name, each.at.x]));
    const isEarly = (name: string): boolean => (x.get(name) ?? 0) <= laid.width / 2;
    const [early, late] = [chain.filter(isEarly), chain.filter(each => !isEarly(each))];
    if (laid.width > most.width && early.length > 0 && late.length > 0) return [[early], [late]];
    const middle = Math.ceil(chain.length / 2);
    return [[chain.slice(0, middle)], [chain.slice(middle)]];
}

function lay({ nodes, edges }: Part): Laid {
    const graph = new Graph({ directed: true, multigraph: true });
    graph.setGraph({ rankdir: 'LR', ranksep: 34, nodesep: 14, edgesep: 10, marginx: 4, marginy: 4 });
    graph.setDefaultEdgeLabel(() => ({}));
    const lines = new Map(nodes.map(each => [each.name, nameAnd(each, linesOf(each))]));
    const heightOf = (name: string): number => (1 + (lines.get(name)?.length ?? 0)) * node.line + node.pad;
    for (const { name } of nodes) graph.setNode(name, { width: node.width, height: heightOf(name) });
    for (const [at, { from, to }] of edges.entries()) graph.setEdge(from, to, { weight: 1 }, String(at));
    layout(graph);
    const { width = 0, height = 0 } = graph.graph() as { width?: number; height?: number };
    const places = nodes.map(each => graph.node(each.name) as unknown as Point);
    const turned = isTurned(places);
    const turn = ({ x, y }: Point): Point => ({ x, y: turned ? height - y : y });
    const at = new Map(nodes.map((each, n) => [each.name, turn(places[n] as Point)]));
    const columns = [...new Set(places.map(each => Math.round(each.x)))];
    const wires = edges.map((edge, n) => {
        const { points } = graph.edge(edge.from, edge.to, String(n)) as unknown as { points: readonly Point[] };
        const inner = points.slice(1, -1).map(turn);
        return { edge, points: across(at.get(edge.from) as Point, inner, at.get(edge.to) as Point, columns) };
    });
    // A wire may pass above the highest box.
    const ys = wires.flatMap(each => each.points.map(({ y }) => y));
    const top = Math.floor(ys.reduce((least, y) => Math.min(least, y - 3), 0));
    const end = Math.ceil(ys.reduce((most, y) => Math.max(most, y + 3), height));
    return {
        width: Math.ceil(width),
        top,
        height: end - top,
        nodes: nodes.map(each => ({
            node: each,
            lines: lines.get(each.name) ?? [],
            at: at.get(each.name) as Point,
            height: heightOf(each.name),
        })),
        edges: wires,
    };
}

/** What the text has first is to stand above what it has later. */
function isTurned(places: readonly Point[]): boolean {
    let turned = 0;
    for (const [n, { x, y }] of places.entries())
        for (const next of places.slice(n + 1)) if (Math.abs(next.x - x) < 1) turned += next.y < y ? 1 : -1;
    return turned > 0;
}

/** From the right side of one box to the left side of the other; between other boxes, straight across their column. */
function across(from: Point, inner: readonly Point[], to: Point, columns: readonly number[]): readonly Point[] {
    const half = node.width / 2;
    const between = to.x > from.x ? inner.filter(each => each.x > from.x + half && each.x < to.x - half) : [];
    const crossing = between.filter(each => columns.some(x => Math.abs(x - each.x) < 2));
    return [
        { x: from.x + half, y: from.y },
        ...crossing.flatMap(({ x, y }) => [
            { x: x - half, y },
            { x: x + half, y },
        ]),
        { x: to.x - half, y: to.y },
    ];
}

/** Letters that fit across a box; the width of a letter is not known, so this is on the safe side. */
const ACROSS = 19;
const LINES = 3;

/** The label in at most three lines: the table has it whole. */
function linesOf({ name, label }: FeedNode): readonly string[] {
    const words = label === name ? [] : label.split(/\s+/).filter(Boolean);
    const lines: string[] = [];
    for (const word of words) {
        const last = lines.at(-1);
        if (last !== undefined && last.length + 1 + word.length <= ACROSS) lines[lines.length - 1] = `${last} ${word}`;
        else lines.push(word);
    }
    const cut = lines.map(line => (line.length > ACROSS ? `${[...line].slice(0, ACROSS - 1).join('')}…` : line));
    if (cut.length <= LINES) return cut;
    return [...cut.slice(0, LINES - 1), `${[...(cut[LINES - 1] ?? '')].slice(0, ACROSS - 2).join('')} …`];
}

function drawing(
    laid: Laid,
    { edges }: Part,
    at: number,
    of: number,
    fedIn: ReadonlyMap<string, number>,
    tableId: string,
): Markup {
    const title = of > 1 ? `Feeds, drawing ${at} of ${of}` : 'Feeds';
    const fedHere = new Set(edges.map(each => each.to));
    const boxes = laid.nodes.map(({ node: each, lines, at: { x, y }, height }) => {
        const elsewhere = fedHere.has(each.name) ? undefined : fedIn.get(each.name);
        const where = each.of ? `in ${each.of}` : elsewhere && elsewhere !== at ? `fed in drawing ${elsewhere}` : '';
        const top = y - height / 2 + node.pad / 2;
        const head = [each.kind, where].filter(Boolean).join(', ');
        const write = (text: string, line: number, kind: string): Markup =>
            html`<text class="${kind}" x="${round(x - node.width / 2 + 9)}" y="${round(top + line * node.line - 4)}">${text}</text>`;
        return html`<g class="${each.of || where ? 'box outside' : 'box'}"><rect x="${round(x - node.width / 2)}" y="${round(y - height / 2)}" width="${node.width}" height="${round(height)}" rx="${each.kind === 'source' ? 14 : 2}"/>${write(shortened(head, 24), 1, 'kind')}${lines.map((line, n) => write(line, n + 2, n === 0 ? 'name' : 'label'))}</g>
`;
    });
    const wires = laid.edges.map(
        ({ edge, points }) =>
            html`<path class="wire ${edge.kind}" d="${curve(points)}"/><path class="tip" d="${tip(points)}"/>
`,
    );
    return html`<div class="drawing" tabindex="0" role="group" aria-label="${title}"><svg viewBox="0 ${laid.top} ${laid.width} ${laid.height}" width="${laid.width}" height="${laid.height}" role="img" aria-label="${title}: the table below says the same in words." aria-describedby="${tableId}">
${wires}${boxes}</svg>${of > 1 ? html`<p class="soft">${title}</p>` : ''}</div>
`;
}

/** The first line is what the thing is called on the sheet: its name, then its label. */
function nameAnd({ name }: FeedNode, lines: readonly string[]): readonly string[] {
    const [first] = lines;
    // "connector P1" says its name already.
    if (first !== undefined && lines.length === 1 && first.split(' ').includes(name)) return [first];
    return [shortened(name, 16), ...lines];
}

const shortened = (text: string, most: number): string =>
    [...text].length > most ? `${[...text].slice(0, most - 1).join('')}…` : text;

const round = (value: number): number => Math.round(value * 10) / 10;
const point = ({ x, y }: Point): string => `${round(x)} ${round(y)}`;
/** Leaves and enters level. Points come in pairs: out of one column, into the next. */
function curve(points: readonly Point[]): string {
    const parts = points.map((at, n) => {
        const before = points[n - 1];
        if (!before) return `M ${point(at)}`;
        if (n % 2 === 0) return `L ${point(at)}`;
        const bend = Math.max(14, Math.abs(at.x - before.x) / 2);
        return `C ${point({ x: before.x + bend, y: before.y })} ${point({ x: at.x - bend, y: at.y })} ${point(at)}`;
    });
    return parts.join(' ');
}

function tip(points: readonly Point[]): string {
    const { x, y } = points.at(-1) ?? { x: 0, y: 0 };
    return `M ${point({ x, y })} L ${point({ x: x - 7, y: y - 3.2 })} L ${point({ x: x - 7, y: y + 3.2 })} Z`;
}
