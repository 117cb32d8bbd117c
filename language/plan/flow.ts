/**
 * Lines to a flow graph. A node stands behind every node that leads to it, but for the way back of a `repeat`: so the order of
 * nodes is the order of the text, and what lies between two places in the text lies between two nodes.
 */
import { NONE } from '../machine/machine.js';
import type { Arm as ArmLines, Draft, KeepLine, Line } from './lines.js';
import type { Arm } from './plan.js';
import type { Context } from './scope.js';

export interface Node {
    readonly draft: Draft;
    next: number;
    other: number;
    /** Index of the repeat that it stands for, or NONE; its draft is what happens when no pass is left. */
    readonly repeat: number;
}

/** Counted only between the start of the step and the end of the look or `if` that it hangs on. */
export interface Repeat {
    readonly target: number;
    readonly times: number;
    start: number;
    end: number;
}

export type GraphArm = Omit<Arm, 'event' | 'entry' | 'join'> & { readonly node: number; readonly join: number };

export interface Graph {
    readonly nodes: readonly Node[];
    readonly repeats: readonly Repeat[];
    readonly arms: readonly GraphArm[];
    /** By place in `Plan.done`. */
    readonly done: readonly { readonly begin: number; readonly end: number }[];
}

type Loose = { readonly node: number; readonly side: 'next' | 'other' };

export function graphOf(lines: readonly Line[], context: Context, end: () => Draft): Graph {
    const builder = new Builder(context);
    builder.lines(lines);
    if (builder.open) builder.add(end());
    return builder;
}

class Builder implements Graph {
    readonly nodes: Node[] = [];
    readonly repeats: Repeat[] = [];
    readonly arms: GraphArm[] = [];
    readonly done: { begin: number; end: number }[] = [];
    /** Ends that the next node is joined to; none: nothing leads here. */
    private loose: Loose[] = [];
    private started = false;
    private readonly kept: { readonly line: KeepLine; readonly at: number }[] = [];
    private readonly steps = new Map<number, number>();
    /** Repeats in the arms that are open now. */
    private hanging: Repeat[] = [];

    constructor(private readonly context: Context) {}

    get open(): boolean {
        return !this.started || this.loose.length > 0;
    }

    add(draft: Draft, repeat = NONE): number {
        const index = this.nodes.push({ draft, next: NONE, other: NONE, repeat }) - 1;
        this.started = true;
        for (const { node, side } of this.loose) (this.nodes[node] as Node)[side] = index;
        this.loose = [{ node: index, side: 'next' }];
        return index;
    }

    lines(lines: readonly Line[]): void {
        for (const line of lines) {
            if (!this.open) {
                if (line.kind === 'alert') continue;
                this.context.say(
                    `What stands ${this.context.at(line.span)} is never done: everything before it leaves the card.`,
                );
                return;
            }
            this.line(line);
        }
    }

    private line(line: Line): void {
        switch (line.kind) {
            case 'alert':
                return;
            case 'act':
                for (const draft of line.drafts) this.add(draft);
                return;
            case 'torque':
            case 'hold':
            case 'wait':
                this.add(line.draft);
                return;
            case 'group':
                this.lines(line.lines);
                return;
            case 'step': {
                this.steps.set(line.step, this.add(line.start));
                this.lines(line.lines);
                if (this.open) this.add(line.end);
                return;
            }
            case 'card': {
                const done = { begin: this.add(line.begin), end: NONE };
                this.done[line.done] = done;
                this.lines(line.lines);
                if (this.open) done.end = this.add(line.end);
                return;
            }
            case 'look': {
                const node = this.add(line.draft);
                if (!line.otherwise) return;
                const met = this.loose;
                const failed = this.arm(node, 'other', line.otherwise);
                this.meet(node, [['else', line.otherwise, failed]], [...met, ...failed], failed.length > 0, line.join);
                return;
            }
            case 'branch': {
                const node = this.add(line.draft);
                const then = this.arm(node, 'next', line.then);
                const otherwise = this.arm(node, 'other', line.otherwise);
                const ends = [...then, ...otherwise];
                const sides: Side[] = [
                    ['then', line.then, then],
                    ['otherwise', line.otherwise, otherwise],
                ];
                this.meet(node, sides, ends, ends.length > 0, line.join);
                return;
            }
            case 'keep': {
                const at = this.add(line.draft);
                this.kept.push({ line, at });
                this.lines(line.lines);
                if (this.open) this.add(line.release(true));
                this.kept.pop();
                return;
            }
            case 'stop':
            case 'leave-for':
                this.release(NONE);
                this.add(line.draft);
                this.loose = [];
                return;
            case 'repeat': {
                const target = this.steps.get(line.step);
                if (target === undefined) return;
                this.release(target);
                const repeat: Repeat = { target, times: line.times, start: target, end: NONE };
                this.add(line.draft, this.repeats.push(repeat) - 1);
                this.hanging.push(repeat);
                this.loose = [];
            }
        }
    }

    /** Lets go, innermost first, of everything held since `from`. */
    private release(from: number): void {
        for (const { line, at } of this.kept.toReversed()) if (at > from) this.add(line.release(false));
    }

    /** The ends at which the arm falls through. */
    private arm(node: number, side: 'next' | 'other', { lines }: ArmLines): Loose[] {
        const outer = this.hanging;
        this.hanging = [];
        this.loose = [{ node, side }];
        this.lines(lines);
        for (const repeat of this.hanging) repeat.end = this.nodes.length;
        this.hanging = outer;
        return this.loose;
    }

    private meet(
        node: number,
        sides: readonly Side[],
        ends: readonly Loose[],
        joins: boolean,
        draft: () => Draft,
    ): void {
        this.loose = [...ends];
        const join = joins ? this.add(draft()) : NONE;
        for (const [side, { span }, falls] of sides) {
            const look = this.nodes[node]?.draft;
            const measured = side === 'else' && look?.kind === 'look' && look.look === 'measure';
            this.arms.push({
                node,
                side,
                join: falls.length > 0 ? join : NONE,
                source: `${span.file}:${span.offset}:${side}`,
                span,
                measured,
            });
        }
    }
}

type Side = readonly [side: Arm['side'], lines: ArmLines, falls: readonly Loose[]];
