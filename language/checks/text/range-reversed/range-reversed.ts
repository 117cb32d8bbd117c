import type { Finding, Fix, Span } from '../../../findings/finding.js';
import type { Limits, Timing } from '../../../grammar/generated/ast.js';
import type { ParsedProject } from '../../../names/project.js';
import { printQuantity, readNumber, toSeconds } from '../../../vocabulary/units.js';
import type { Check } from '../../check.js';
import { error, every, spanOfProperty } from '../shared.js';

/** Limits whose lower end is above the upper one: nothing lies between them. */
export const rangeReversed: Check = {
    code: 'range-reversed',
    family: 'text',
    severity: 'error',
    title: 'A range whose first value is the larger one',
    ofText: project => [...ofLimits(project), ...ofTimings(project)],
};

function* ofLimits(project: ParsedProject): Iterable<Finding> {
    for (const node of every(project, 'Limits')) {
        const low = readNumber(node.low ?? '');
        const high = readNumber(node.high ?? '');
        if (low === undefined || high === undefined || low <= high) continue;
        const as = (from: string, to: string) => `${from} to ${node.unit ? printQuantity(to, node.unit) : to}`;
        const message = `${as(node.low ?? '', node.high ?? '')} runs from the larger value to the smaller: nothing lies between them. If these are the two ends, write ${as(node.high ?? '', node.low ?? '')}.`;
        yield error('range-reversed', node, project.spanOf(node), message, { fixes: [ends(project, node)] });
    }
}

const swapped = (title: string, one: Span, first: string, two: Span, second: string): Fix => ({
    title,
    edits: [
        { span: one, newText: second },
        { span: two, newText: first },
    ],
});

function ends(project: ParsedProject, node: Limits): Fix {
    const [low, high] = [spanOfProperty(project, node, 'low'), spanOfProperty(project, node, 'high')];
    return swapped('Exchange the two values', low, node.low ?? '', high, node.high ?? '');
}

/** "after T within T": both count from the beginning of the look. */
function* ofTimings(project: ParsedProject): Iterable<Finding> {
    for (const node of every(project, 'Timing')) {
        const { after, within } = node;
        if (!after || !within) continue;
        const from = toSeconds(after.value, after.unit);
        const to = toSeconds(within.value, within.unit);
        if (from === undefined || to === undefined || from <= to) continue;
        const [one, two] = [printQuantity(after.value, after.unit), printQuantity(within.value, within.unit)];
        const message = `"after ${one} within ${two}" asks for something to be seen before anybody looks: both times count from the beginning of the look. If these are the two ends, write after ${two} within ${one}.`;
        yield error('range-reversed', node, project.spanOf(node), message, { fixes: [times(project, node)] });
    }
}

function times(project: ParsedProject, { after, within }: Timing): Fix {
    const spans = [after, within].map(each => (each ? project.spanOf(each) : undefined));
    const written = [after, within].map(each => (each ? printQuantity(each.value, each.unit) : ''));
    const [one, two] = spans;
    if (!one || !two) return { title: 'Exchange the two times', edits: [] };
    return swapped('Exchange the two times', one, written[0] ?? '', two, written[1] ?? '');
}
