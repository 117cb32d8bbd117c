import type { Side } from './names.js';
import { type Block, type Interned, type Node, signature } from './nodes.js';
import { commonRun } from './sequence.js';

/** What became of what. A pair whose signatures differ has changed; what lies in it is matched by itself. */
export interface Matching {
    /** Both ways: from old to new, and from new to old. */
    readonly partner: ReadonlyMap<Node, Node>;
    /** By old node, those that stand elsewhere now: in another order, or in another block. */
    readonly moved: ReadonlySet<Node>;
    /** By old node, calls that are done with other arguments. */
    readonly otherArguments: ReadonlySet<Node>;
    /** By old node in such a call, how it would be with the new arguments. */
    readonly withNewArguments: ReadonlyMap<Node, Node>;
    /** Neither they nor what they lie in has a partner. */
    readonly removed: readonly Node[];
    readonly added: readonly Node[];
}

interface Left {
    readonly node: Node;
    /** Between which neighbours that stayed it stands: the same number on both sides. */
    readonly gap: number;
}

/** As much alike as to be the same thing, changed, where they stand in the same place. */
const strong = 3;
/** As much alike as to be the same thing wherever it stands. */
const anywhere = 5;

export function matched(
    old: readonly Node[],
    now: readonly Node[],
    sides: { readonly old: Side; readonly new: Side },
    interned: Interned,
): Matching {
    const partner = new Map<Node, Node>();
    const moved = new Set<Node>();
    const otherArguments = new Set<Node>();
    const withNewArguments = new Map<Node, Node>();
    /** What was made by `withNames`, and of what. */
    const origin = new Map<Node, Node>();
    const original = (node: Node): Node => origin.get(node) ?? node;
    let leftOld: Left[] = [];
    let leftNew: Left[] = [];
    let gaps = 0;

    align(old, now);
    settle();
    // What a block that is gone or new held may stand elsewhere.
    if (explode()) settle();
    return {
        partner,
        moved,
        otherArguments,
        withNewArguments,
        removed: leftOld.map(each => original(each.node)),
        added: leftNew.map(each => each.node),
    };

    /** What is surely one thing first; what is found in it may be one with what was left before. */
    function settle(): void {
        for (let left = -1; left !== leftOld.length + leftNew.length; ) {
            left = leftOld.length + leftNew.length;
            pairAlike();
            pairAnywhere();
            if (left === leftOld.length + leftNew.length) pairWithin(strong - 1);
        }
    }

    function pair(one: Node, two: Node): void {
        partner.set(original(one), two);
        partner.set(two, original(one));
        if (one.sig === two.sig) {
            for (const [n, block] of one.blocks.entries())
                for (const [at, node] of block.nodes.entries()) pair(node, two.blocks[n]?.nodes[at] as Node);
            return;
        }
        const renamed = one.kind === 'group' ? newArguments(one, two) : undefined;
        if (renamed === 'all') return;
        const blocks = renamed ?? one.blocks;
        for (const block of blocks) {
            const other = two.blocks.find(each => each.name === block.name);
            if (other) align(block.nodes, other.nodes);
            else rest(block.nodes, []);
        }
        for (const block of two.blocks) if (!blocks.some(each => each.name === block.name)) rest([], block.nodes);
    }

    /** What a call does, with the things that it is given now; `all` where nothing else differs. Undefined where the arguments do not tell. */
    function newArguments(one: Node, two: Node): readonly Block[] | 'all' | undefined {
        if (one.args.length !== two.args.length || one.text !== two.text) return undefined;
        const [a, b] = [argumentNames(one, sides.old), argumentNames(two, sides.new)];
        if (a.join() === b.join()) return undefined;
        // Where one thing is given twice, places cannot be told from names: then each thing must stand where its place allows.
        if (new Set(a).size < a.length) {
            if (!parallel(one, two, a, b)) return undefined;
            otherArguments.add(original(one));
            pairInOrder(one, two);
            return 'all';
        }
        const names = new Map(a.map((name, n) => [name, b[n] as string]));
        const blocks = one.blocks.map(block => ({ ...block, nodes: block.nodes.map(node => withNames(node, names)) }));
        const count = (all: readonly Block[]): number => {
            const there = new Set(two.blocks.flatMap(block => block.nodes.map(each => each.sig)));
            return all.flatMap(block => block.nodes).filter(each => there.has(each.sig)).length;
        };
        // Parameters in another order and the arguments with them: then things are done to what they were done to.
        if (count(blocks) < count(one.blocks)) return undefined;
        otherArguments.add(original(one));
        return blocks;
    }

    function withNames(node: Node, names: ReadonlyMap<string, string>): Node {
        const named = (name: string): string => names.get(name) ?? name;
        const fields = Object.entries(node.fields).map(([field, value]): [string, string | number] => [
            field,
            typeof value === 'string' ? value.split(' ').map(named).join(' ') : value,
        ]);
        const blocks = node.blocks.map(block => ({ ...block, nodes: block.nodes.map(each => withNames(each, names)) }));
        const draft = { ...node, fields: Object.fromEntries(fields), by: named(node.by), blocks };
        const made = { ...draft, sig: interned.of(signature(draft)) };
        origin.set(made, original(node));
        withNewArguments.set(original(node), made);
        return made;
    }

    function pairInOrder(one: Node, two: Node): void {
        for (const [n, block] of one.blocks.entries()) {
            for (const [at, node] of block.nodes.entries()) {
                const other = two.blocks[n]?.nodes[at];
                if (!other) continue;
                partner.set(original(node), other);
                partner.set(other, original(node));
                // Nothing of it differs but for the arguments.
                withNewArguments.set(original(node), other);
                pairInOrder(node, other);
            }
        }
    }

    function rest(olds: readonly Node[], news: readonly Node[]): void {
        const gap = gaps++;
        leftOld.push(...olds.map(node => ({ node, gap })));
        leftNew.push(...news.map(node => ({ node, gap })));
    }

    /** Two lists in order: what stayed, changed or not, and in each gap between what is left. */
    function align(olds: readonly Node[], news: readonly Node[]): void {
        let [a, c] = [0, 0];
        for (const [x, y] of [...staying(olds, news), [olds.length, news.length] as const]) {
            gap(olds.slice(a, x), news.slice(c, y));
            const [one, two] = [olds[x], news[y]];
            if (one && two) pair(one, two);
            [a, c] = [x + 1, y + 1];
        }
    }

    function gap(olds: readonly Node[], news: readonly Node[]): void {
        if (olds.length === 0 && news.length === 0) return;
        // A call written out, or lines put into a call, print the same.
        if (olds.some(isGroup) !== news.some(isGroup) && olds.length > 0 && news.length > 0) {
            const [x, y] = [olds.flatMap(written), news.flatMap(written)];
            const known = new Set(y.map(each => each.sig));
            if (x.filter(each => known.has(each.sig)).length * 2 > Math.min(x.length, y.length)) {
                align(x, y);
                return;
            }
        }
        rest(olds, news);
    }

    /** The same in everything, elsewhere: first within the same step. */
    function pairAlike(): void {
        const places = new Map<number, Left[]>();
        for (const each of leftNew) {
            const same = places.get(each.node.sig);
            if (same) same.push(each);
            else places.set(each.node.sig, [each]);
        }
        const found = new Map<Left, Left>();
        for (const near of [true, false]) {
            for (const one of leftOld) {
                const others = places.get(one.node.sig);
                if (!others || found.has(one)) continue;
                const at = others.findIndex(
                    each => !near || stepName(each.node, sides.new) === stepName(one.node, sides.old),
                );
                const two = others[at];
                if (!two) continue;
                others.splice(at, 1);
                found.set(one, two);
            }
        }
        take([...found], true);
    }

    function take(pairs: readonly (readonly [Left, Left])[], isMove: boolean): void {
        const done = new Set(pairs.flat());
        leftOld = leftOld.filter(each => !done.has(each));
        leftNew = leftNew.filter(each => !done.has(each));
        for (const [one, two] of pairs) {
            if (isMove) moved.add(original(one.node));
            pair(one.node, two.node);
        }
    }

    /** In one place one thing instead of another. */
    function pairWithin(least: number): void {
        const byGap = new Map<number, { olds: Left[]; news: Left[] }>();
        for (const [side, lefts] of [
            ['olds', leftOld],
            ['news', leftNew],
        ] as const) {
            for (const each of lefts) {
                const here = byGap.get(each.gap) ?? { olds: [], news: [] };
                byGap.set(each.gap, here);
                here[side].push(each);
            }
        }
        const pairs: [Left, Left][] = [];
        for (const { olds, news } of byGap.values()) {
            if (olds.length === 0 || news.length === 0) continue;
            const nodes = inOrder(
                olds.map(each => each.node),
                news.map(each => each.node),
                least,
            );
            for (const [one, two] of nodes)
                pairs.push([
                    olds.find(each => each.node === one) as Left,
                    news.find(each => each.node === two) as Left,
                ]);
        }
        take(pairs, false);
    }

    /** Changed, and elsewhere. */
    function pairAnywhere(): void {
        const pairs: [Left, Left][] = [];
        const taken = new Set<Left>();
        for (const one of leftOld) {
            let best: { two: Left; score: number } | undefined;
            for (const two of leftNew) {
                if (taken.has(two)) continue;
                const score = likeness(one.node, two.node);
                if (score >= anywhere && score > (best?.score ?? 0)) best = { two, score };
            }
            if (!best) continue;
            taken.add(best.two);
            pairs.push([one, best.two]);
        }
        take(pairs, true);
    }

    /** Takes apart the blocks without a partner in which something lies that stands, or stood, elsewhere. False where there is none. */
    function explode(): boolean {
        const within = (lefts: readonly Left[]): Set<number> => {
            const sigs = new Set<number>();
            const visit = (node: Node): void => {
                // A wait is like any other.
                if (node.kind !== 'wait') sigs.add(node.sig);
                for (const block of node.blocks) block.nodes.forEach(visit);
            };
            for (const { node } of lefts) visit(node);
            return sigs;
        };
        const [inOld, inNew] = [within(leftOld), within(leftNew)];
        let any = false;
        const apart = (lefts: Left[], others: ReadonlySet<number>): Left[] =>
            lefts.flatMap(each => {
                const shares = (node: Node): boolean =>
                    node.blocks.some(block => block.nodes.some(inner => others.has(inner.sig) || shares(inner)));
                if (!shares(each.node)) return [each];
                any = true;
                const held = each.node.blocks.flatMap(block =>
                    apart(
                        block.nodes.map(node => ({ node, gap: gaps++ })),
                        others,
                    ),
                );
                const header = { ...each.node, blocks: [] };
                origin.set(header, header);
                return [{ node: header, gap: each.gap }, ...held];
            });
        const [olds, news] = [apart(leftOld, inNew), apart(leftNew, inOld)];
        if (any) [leftOld, leftNew] = [olds, news];
        return any;
    }
}

const isGroup = (node: Node): boolean => node.kind === 'group';
const written = (node: Node): readonly Node[] =>
    node.kind === 'group' ? node.blocks.flatMap(block => block.nodes.flatMap(written)) : [node];

const stepName = (node: Node, side: Side): string => side.judged.plan.steps[node.step]?.name ?? '';

/** More cells than this are not weighed one by one. */
const mostWeighed = 60_000;
/** What is the same outweighs two that are only alike: so that of two lines that changed places one has moved and neither has changed. */
const exact = 8;
const alikeAtMost = 3.9;

/** Of a block and a line that changed places the line has moved, whether or not something in the block has changed. */
const sameBlock = 9;
const surelyThatBlock = 8.5;

function weightOf(one: Node, two: Node): number {
    const isBlock = one.blocks.length > 0;
    if (one.sig === two.sig) return isBlock ? sameBlock : exact;
    const score = likeness(one, two);
    if (isBlock && score >= anywhere) return surelyThatBlock;
    return score >= strong ? Math.min(score, alikeAtMost) : 0;
}

/** Places in both lists of what stayed where it was, changed or not. */
function staying(olds: readonly Node[], news: readonly Node[]): [number, number][] {
    const sigs = [olds, news].map(list => list.map(each => each.sig)) as [number[], number[]];
    const pairs: [number, number][] = [];
    let [a, b, c, d] = [0, olds.length, 0, news.length];
    while (a < b && c < d && sigs[0][a] === sigs[1][c]) pairs.push([a++, c++]);
    const ends: [number, number][] = [];
    while (a < b && c < d && sigs[0][b - 1] === sigs[1][d - 1]) ends.unshift([--b, --d]);
    const [x, y] = [olds.slice(a, b), news.slice(c, d)];
    const within =
        x.length * y.length <= mostWeighed
            ? heaviest(x, y, weightOf)
            : commonRun(
                  x.map(each => each.sig),
                  y.map(each => each.sig),
              );
    return [...pairs, ...within.map(([n, m]): [number, number] => [a + n, c + m]), ...ends];
}

function inOrder(olds: readonly Node[], news: readonly Node[], least: number): [Node, Node][] {
    if (olds.length * news.length > mostWeighed) return [];
    const weigh = (one: Node, two: Node): number => {
        const score = likeness(one, two);
        return score >= least ? score : 0;
    };
    return heaviest(olds, news, weigh).map(([x, y]) => [olds[x] as Node, news[y] as Node]);
}

/** The pairs of places, rising in both lists, with the highest sum of weights. */
function heaviest(
    olds: readonly Node[],
    news: readonly Node[],
    weigh: (one: Node, two: Node) => number,
): [number, number][] {
    const width = news.length + 1;
    const best = new Float64Array((olds.length + 1) * width);
    const weights = new Float64Array(olds.length * news.length);
    for (let x = olds.length - 1; x >= 0; x--) {
        for (let y = news.length - 1; y >= 0; y--) {
            const here = weigh(olds[x] as Node, news[y] as Node);
            weights[x * news.length + y] = here;
            best[x * width + y] = Math.max(
                best[(x + 1) * width + y] as number,
                best[x * width + y + 1] as number,
                here > 0 ? here + (best[(x + 1) * width + y + 1] as number) : 0,
            );
        }
    }
    const pairs: [number, number][] = [];
    for (let x = 0, y = 0; x < olds.length && y < news.length; ) {
        const here = weights[x * news.length + y] as number;
        const at = best[x * width + y] as number;
        if (here > 0 && at === here + (best[(x + 1) * width + y + 1] as number)) pairs.push([x++, y++]);
        else if (at === best[(x + 1) * width + y]) x++;
        else y++;
    }
    return pairs;
}

/** How much speaks for two things being one: 0 nothing, 3 enough in one place, 5 enough anywhere. */
export function likeness(one: Node, two: Node): number {
    if (one.kind !== two.kind) return 0;
    const same = (field: string): boolean => one.fields[field] === two.fields[field];
    const by = one.by === two.by ? 0.5 : 0;
    switch (one.kind) {
        case 'step':
            return same('name') ? 6 : shared(one, two) >= 0.5 ? 5.5 : same('label') ? 5 : 0;
        case 'operate':
            if (same('item')) return (same('verb') ? 3.5 : 0) + (same('verb') && same('state') ? 1 : 0) + by;
            return same('verb') && same('state') ? 2 + by : 0;
        case 'tag':
            return same('verb') ? (same('item') ? 4 : 2) + by : 0;
        case 'look':
            // A look at another thing is another look: one is lost.
            if (!same('item')) return 0;
            return !same('look') ? 2 : 3.5 + (same('state') && same('low') && same('high') ? 1 : 0) + by;
        case 'press':
        case 'torque':
            return (same('item') ? 4.5 : 2) + by;
        case 'keep':
            return (same('item') ? 4.5 : 2) + by + shared(one, two);
        case 'branch':
            return (same('item') ? 4 : 2) + by + shared(one, two);
        case 'go':
        case 'clear':
            return (same('place') ? 4.5 : 2) + by;
        case 'wait':
            return 3;
        case 'tell': {
            const words = wordsShared(one.text, two.text);
            return (same('to') ? 3 : 2) + by + words * 1.6;
        }
        case 'alert': {
            const words = wordsShared(one.text, two.text);
            return words === 1 ? 5 : same('alert') && words > 0.3 ? 3 + words : 0;
        }
        case 'hold': {
            const words = wordsShared(one.text, two.text);
            return words > 0.3 ? 3 + words * 1.8 + by : 0;
        }
        case 'prose':
        case 'stop': {
            const words = wordsShared(one.text, two.text);
            return words > 0.3 ? 3 + words * 1.8 + by : 2 + by;
        }
        case 'group':
            return (
                (one.text === two.text ? 3.5 : 0) +
                3 * shared(one, two) +
                (argumentWords(one) === argumentWords(two) ? 1.5 : 0)
            );
        case 'card':
            return same('card') ? 5 : 0;
        case 'repeat':
            return same('step') ? 4 : 3;
        case 'leave-for':
            return 3;
        default:
            return one.says === two.says ? 5 : 2;
    }
}

const argumentWords = (node: Node): string => node.args.map(each => each.text).join();

/** The share of what lies in both among what lies in either. */
function shared(one: Node, two: Node): number {
    const [a, b] = [one, two].map(node => node.blocks.flatMap(block => block.nodes.map(each => each.sig))) as [
        number[],
        number[],
    ];
    const known = new Set(a);
    const both = b.filter(each => known.has(each)).length;
    return both / Math.max(1, a.length, b.length);
}

function wordsShared(one: string, two: string): number {
    if (one === two) return 1;
    const words = (text: string): readonly string[] => text.toLowerCase().match(/[\p{L}\p{N}-]+/gu) ?? [];
    const [a, b] = [words(one), words(two)];
    const known = new Set(a);
    return b.filter(each => known.has(each)).length / Math.max(1, a.length, b.length);
}

function argumentNames(node: Node, side: Side): string[] {
    return node.args.map(({ is, index, text }) => (is === 'word' || is === 'nothing' ? text : side[is](index)));
}

function parallel(one: Node, two: Node, a: readonly string[], b: readonly string[]): boolean {
    const fits = (x: string, y: string): boolean => x === y || a.some((name, n) => name === x && b[n] === y);
    const words = (x: string | number, y: string | number | undefined): boolean => {
        if (typeof x !== 'string' || typeof y !== 'string') return x === y;
        const [p, q] = [x.split(' '), y.split(' ')];
        return p.length === q.length && p.every((each, n) => fits(each, q[n] ?? ''));
    };
    return (
        one.kind === two.kind &&
        one.text === two.text &&
        one.only === two.only &&
        one.written === two.written &&
        fits(one.by, two.by) &&
        Object.keys(one.fields).length === Object.keys(two.fields).length &&
        Object.entries(one.fields).every(([field, value]) => words(value, two.fields[field])) &&
        one.blocks.length === two.blocks.length &&
        one.blocks.every((block, n) => {
            const others = two.blocks[n]?.nodes ?? [];
            return (
                block.nodes.length === others.length &&
                block.nodes.every((node, at) => parallel(node, others[at] as Node, a, b))
            );
        })
    );
}
