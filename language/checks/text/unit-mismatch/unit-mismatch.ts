import type { AstNode } from 'langium';
import type { Finding, Span } from '../../../findings/finding.js';
import { isItem, isTool, type Limits, type Quantity } from '../../../grammar/generated/ast.js';
import { nearest } from '../../../grammar/nearest.js';
import type { ParsedProject } from '../../../names/project.js';
import { type Dimension, readNumber, spellings, unitMeant, unitOf } from '../../../vocabulary/units.js';
import type { Check } from '../../check.js';
import { article, error, every, replaceBy, spanOfProperty, titled } from '../shared.js';

export const unitMismatch: Check = {
    code: 'unit-mismatch',
    family: 'text',
    severity: 'error',
    title: 'A unit that does not measure what is meant',
    ofText: project => [...ofUnits(project), ...ofDimensions(project)],
};

type Measured = Quantity | Limits;

/** Units that there are not. */
function* ofUnits(project: ParsedProject): Iterable<Finding> {
    for (const node of every(project, 'Quantity', 'Limits')) {
        if (!node.unit || unitOf(node.unit) || node.glued) continue;
        const span = spanOfProperty(project, node, 'unit');
        const meant = unitMeant(node.unit) ?? nearest(node.unit, spellings);
        const message = `There is no unit "${node.unit}".${meant ? ` Did you mean ${meant}?` : ' The units are listed in the reference.'}`;
        yield error('unit-mismatch', node, span, message, { fixes: meant ? [replaceBy(span, meant)] : [] });
    }
}

/** How an example of the dimension is written. */
const examples: Readonly<Partial<Record<Dimension, string>>> = {
    time: '90 s, 2 min or 1 h',
    torque: '50 lbf·in or 5.6 N·m',
    current: '5 A',
    length: '4 in or 100 mm',
    'wire gauge': '22 AWG',
    pressure: '2,850 psi or 200 bar',
};

function* ofDimensions(project: ParsedProject): Iterable<Finding> {
    for (const [node, value, what] of times(project)) {
        const wrong = mismatch(project, node, value, 'time', what);
        if (wrong) yield wrong;
        else if ((readNumber(lowest(value)) ?? 0) < 0) {
            yield error(
                'unit-mismatch',
                node,
                project.spanOf(value),
                `${what} cannot be less than nothing: write it without the minus.`,
            );
        }
    }
    yield* some(project, 'RatedClause', node => node.quantity, 'current', 'What a breaker is rated for');
    yield* some(project, 'WireClause', node => node.quantity, 'wire gauge', 'The size of a wire');
    yield* some(project, 'TorqueClause', node => node.limits, 'torque', 'A torque');
    yield* some(project, 'Torque', node => node.limits, 'torque', 'A torque');
    yield* some(project, 'Torque', node => node.extension, 'length', 'The length of an extension');
    yield* ofTools(project);
    yield* ofGauges(project);
    yield* ofMeasures(project);
}

const lowest = (value: Measured) => (value.$type === 'Quantity' ? value.value : (value.low ?? ''));

function* times(project: ParsedProject): Iterable<[AstNode, Measured, string]> {
    for (const node of every(project, 'Wait', 'Press'))
        if (node.time) yield [node, node.time, node.$type === 'Wait' ? 'A wait' : 'The time a button is pressed'];
    for (const node of every(project, 'Timing')) {
        for (const each of [node.within, node.for, node.after]) if (each) yield [node, each, 'The time of a look'];
    }
    for (const node of every(project, 'Setting', 'ItemCondition'))
        if (node.atLeast) yield [node, node.atLeast, 'The time in a state'];
    for (const node of every(project, 'Step')) if (node.takes) yield [node, node.takes, 'What a step takes'];
    for (const node of every(project, 'Keep')) yield [node, node.atMost, 'The time something is held'];
    for (const node of every(project, 'KeepRule')) {
        for (const each of [node.atMost, node.rest, node.longRest])
            if (each) yield [node, each, 'The time something is held or rests'];
    }
    for (const node of every(project, 'Goes')) {
        if (node.time) yield [node, node.time, 'The time of a movement'];
    }
}

function* some<T extends 'RatedClause' | 'WireClause' | 'TorqueClause' | 'Torque'>(
    project: ParsedProject,
    type: T,
    of: (node: import('../../../grammar/generated/ast.js').CotterAstType[T]) => Measured | undefined,
    dimension: Dimension,
    what: string,
): Iterable<Finding> {
    for (const node of every(project, type)) {
        const value = of(node);
        const wrong = value && mismatch(project, node, value, dimension, what);
        if (wrong) yield wrong;
    }
}

function mismatch(
    project: ParsedProject,
    node: AstNode,
    value: Measured,
    dimension: Dimension,
    what: string,
): Finding | undefined {
    const unit = unitOf(value.unit);
    if (!unit || unit.dimension === dimension) return undefined;
    const message = `${what} is not given in ${unit.symbol}, which is a unit of ${unit.dimension}. Write it as ${dimension}${examples[dimension] ? `, such as ${examples[dimension]}` : ''}.`;
    return error('unit-mismatch', node, unitSpan(project, value), message);
}

function unitSpan(project: ParsedProject, value: Measured): Span {
    return spanOfProperty(project, value, 'unit');
}

function* ofTools(project: ParsedProject): Iterable<Finding> {
    for (const node of every(project, 'Torque')) {
        const tool = node.tool?.ref;
        const unit = tool && isTool(tool) && tool.range ? unitOf(tool.range.unit) : undefined;
        if (!tool || !unit || unit.dimension === 'torque') continue;
        const message = `${(tool as { label: string }).label} (${tool.name}) has a range in ${unit.symbol}, which is no torque: it cannot be used here.`;
        const related = [{ span: project.spanOf(tool), message: 'The range is given here' }];
        yield error('unit-mismatch', node, spanOfProperty(project, node, 'tool'), message, {
            about: [tool.name],
            related,
        });
    }
}

/** A gauge shows one thing, and is read in a unit of that thing. */
function* ofGauges(project: ParsedProject): Iterable<Finding> {
    for (const item of every(project, 'Item')) {
        const bands = item.members.flatMap(member => ('band' in member && member.band ? [member.band as Limits] : []));
        const first = bands.find(band => unitOf(band.unit));
        for (const band of bands) if (first) yield* against(project, band, first, `${titled(item)} shows`, item.name);
    }
    for (const node of every(project, 'Read')) {
        const item = node.item.ref;
        const band = item && isItem(item) ? bandOf(item) : undefined;
        if (band && item)
            yield* against(project, node.limits, band, `${isItem(item) ? titled(item) : item.name} shows`, item.name);
    }
    for (const node of every(project, 'Fails')) {
        const item = node.item.ref;
        const band = item ? bandOf(item) : undefined;
        if (band && item && node.band) yield* against(project, node.band, band, `${titled(item)} shows`, item.name);
    }
}

function bandOf(item: { readonly members: readonly AstNode[] }): Limits | undefined {
    for (const member of item.members)
        if ('band' in member && member.band && unitOf((member.band as Limits).unit)) return member.band as Limits;
    return undefined;
}

/** What is measured of an item has one dimension, in the equipment and on every card. */
function* ofMeasures(project: ParsedProject): Iterable<Finding> {
    for (const node of every(project, 'Measure')) {
        const item = node.item.ref;
        if (!item || !isItem(item)) continue;
        for (const clause of item.clauses) {
            if (clause.$type !== 'MeasuredClause' || !('what' in clause) || clause.what !== node.what) continue;
            yield* against(
                project,
                node.limits,
                (clause as unknown as { limits: Limits }).limits,
                `"${node.what}" of ${titled(item)} is measured`,
                item.name,
            );
        }
    }
}

function* against(project: ParsedProject, value: Limits, model: Limits, says: string, name: string): Iterable<Finding> {
    const one = unitOf(value.unit);
    const two = unitOf(model.unit);
    if (!one || !two || one.dimension === two.dimension) return;
    const message = `${says} ${two.symbol}: ${one.symbol} is ${article(`unit of ${one.dimension}`)}, and ${two.symbol} one of ${two.dimension}.`;
    const related = [{ span: project.spanOf(model), message: `${two.symbol} is written here` }];
    yield error('unit-mismatch', value, unitSpan(project, value), message, { about: [name], related });
}
