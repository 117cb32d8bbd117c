import type { Span } from '../../findings/finding.js';
import type { Marks } from './comparison.js';
import type { Found } from './found.js';
import type { Matching } from './matching.js';
import type { Side } from './names.js';
import { allIn, type Node } from './nodes.js';

export const noMarks: Marks = { keys: [], alerts: [], steps: [], parts: [] };

export const placeOf = (span: Span): string => `${span.file}:${span.offset}`;

export function marksOf(
    trees: { readonly old: readonly Node[]; readonly new: readonly Node[] },
    matching: Matching,
    sides: { readonly old: Side; readonly new: Side },
    changes: readonly Found[],
): Marks {
    const [keys, alerts, steps, parts] = [new Set<string>(), new Set<string>(), new Set<string>(), new Set<string>()];
    const mark = (node: Node): void => {
        if (node.kind === 'step') steps.add(sides.new.judged.plan.steps[node.step]?.number ?? '');
        else if (node.kind === 'alert') alerts.add(placeOf(node.span));
        else if (node.event) keys.add(node.event.key);
        // A call prints nothing but its lines.
        else for (const block of node.blocks) for (const each of block.nodes) mark(each);
    };
    for (const node of allIn(trees.new)) {
        const was = matching.partner.get(node);
        if (!was || matching.moved.has(was) || printsOtherwise(was, node)) mark(node);
    }
    gone(trees.old);
    for (const { where, aspect } of changes) if (where === 'the head of the card' && aspect) parts.add(aspect);
    const breakers = ({ judged }: Side): string =>
        judged.plan.page.breakers.map(each => [each.place, each.grid, each.name, each.label].join('|')).join('\n');
    if (breakers(sides.old) !== breakers(sides.new)) parts.add('breakers');
    return { keys: [...keys], alerts: [...alerts], steps: [...steps], parts: [...parts] };

    /** Where something is gone what follows it has the bar; at the end of a block, what stands before it. */
    function gone(nodes: readonly Node[], outer?: Node): void {
        for (const [n, node] of nodes.entries()) {
            for (const block of node.blocks) gone(block.nodes, node);
            if (matching.partner.has(node)) continue;
            const stayed = (each: Node): boolean => matching.partner.has(each);
            const next = nodes.slice(n + 1).find(stayed) ?? nodes.slice(0, n).findLast(stayed) ?? outer;
            const now = next && matching.partner.get(next);
            if (now) mark(now);
        }
    }
}

const printsOtherwise = (was: Node, is: Node): boolean =>
    was.line.says !== is.line.says ||
    // Another word for the same person stands once, at the head.
    was.by !== is.by ||
    was.only !== is.only ||
    was.fields['alert'] !== is.fields['alert'] ||
    was.fields['record'] !== is.fields['record'] ||
    (is.kind === 'step' && (was.fields['takes'] !== is.fields['takes'] || was.fields['of'] !== is.fields['of']));
