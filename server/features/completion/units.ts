import type { Expected, Filled } from '../../../language/grammar/expected.js';
import { unitOf, units } from '../../../language/vocabulary/units.js';
import type { Proposal } from './proposal.js';
import { filledIn, meant, type Situation } from './situation.js';

/** Dimensions of figures by where they stand, and the unit that writers use most there. */
const dimensions: Readonly<Record<string, readonly string[]>> = {
    'Wait.time': ['s', 'min', 'h'],
    'Timing.within': ['s', 'min', 'h'],
    'Timing.for': ['s', 'min', 'h'],
    'Timing.after': ['s', 'min', 'h'],
    'Press.time': ['s', 'min'],
    'Keep.atMost': ['s', 'min'],
    'KeepRule.atMost': ['s', 'min', 'h'],
    'KeepRule.rest': ['s', 'min', 'h'],
    'KeepRule.longRest': ['s', 'min', 'h'],
    'Step.takes': ['min', 'h', 's'],
    'Goes.time': ['s', 'min', 'h'],
    'ItemCondition.atLeast': ['s', 'min', 'h'],
    'Setting.atLeast': ['s', 'min', 'h'],
    'RatedClause.quantity': ['A'],
    'WireClause.quantity': ['AWG'],
    'Torque.extension': ['in', 'mm'],
    'TorqueClause.limits': ['N·m', 'lbf·in', 'lbf·ft'],
    'Torque.limits': ['N·m', 'lbf·in', 'lbf·ft'],
    'Tool.range': ['N·m', 'lbf·in', 'lbf·ft'],
};
/** What gauges and measures of an aircraft are written in, the most used first. */
const ofGauges = ['psi', 'V', 'A', '°C', 'rpm', '%', 'mm', 'L', 'kPa', 'bar'];

/** Units for a figure: those of its dimension where that is known, those of the thing, those used nearby. */
export function unitsDue(situation: Situation, { outer, filled }: Extract<Expected, { kind: 'word' }>): Proposal[] {
    const due = dimensions[outer] ?? [];
    const ofThing = due.length > 0 ? [] : unitsOfThing(situation, outer, filled);
    const nearby = due.length > 0 ? [] : [...situation.recent.keys()].filter(each => each !== 'in' && unitOf(each));
    const ofItem =
        due.length > 0
            ? []
            : (/(?<=\d )[A-Za-z°%·]+(?= when| for| otherwise)/g.exec(situation.line)?.slice(0, 1) ?? []);
    const first = [
        ...new Set([
            ...due,
            ...ofItem.filter(each => unitOf(each)),
            ...ofThing,
            ...nearby,
            ...(due.length > 0 ? [] : ofGauges),
        ]),
    ];
    const dimension = due.length > 0 ? unitOf(first[0] ?? '')?.dimension : undefined;
    const others = units.map(each => each.symbol).filter(each => !first.includes(each));
    return [...first, ...others].map((text, n) => ({
        text,
        kind: 'unit',
        detail: unitOf(text)?.dimension ?? '',
        rank: (n < first.length ? 8 : unitOf(text)?.dimension === dimension ? 9 : 30) + n / 1000,
    }));
}

/** The unit in which the thing itself is given. */
function unitsOfThing(situation: Situation, outer: string, filled: Filled | undefined): string[] {
    const type = outer.split('.')[0] ?? '';
    const name = filledIn(filled, type, 'item')?.word;
    const text = meant(situation, name)?.$cstNode?.text ?? '';
    return [...new Set(text.match(/(?<=\d )[A-Za-z°%·]+/g) ?? [])].filter(each => unitOf(each));
}
