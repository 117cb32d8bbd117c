import type { Finding } from '../../../findings/finding.js';
import { calledFrom, thing } from '../../../findings/phrases.js';
import { NONE } from '../../../machine/machine.js';
import { sameDimension } from '../../../vocabulary/units.js';
import type { Check, Judged } from '../../check.js';

/** A wrench that does not reach the torque that it is to give. */
export const toolOutOfRange: Check = {
    code: 'tool-out-of-range',
    family: 'text',
    severity: 'warning',
    title: 'A torque lies outside the range of the tool',
    ofCard: card => [...found(card)],
};

function* found({ machine, plan }: Judged): Iterable<Finding> {
    for (const event of plan.events) {
        if (event.kind !== 'torque') continue;
        const tool = plan.tools[event.tool];
        const limits = event.limits ?? machine.items[event.item]?.torque;
        if (!tool?.range || !limits) continue;
        // Another code says that a torque is not given in psi.
        if (!sameDimension(limits.unit, tool.range.unit)) continue;
        // With an extension the wrench shows less than the fastener gets, with one that points back more: how much depends on its length.
        const straight = event.extension === NONE;
        const below = (straight || event.extension > 0) && limits.low < tool.range.low;
        const above = (straight || event.extension < 0) && limits.high > tool.range.high;
        if (!below && !above) continue;
        const how = below && above ? 'outside' : below ? 'below' : 'above';
        yield {
            code: 'tool-out-of-range',
            severity: 'warning',
            span: event.span,
            card: plan.card,
            about: [tool.name, machine.items[event.item]?.name ?? ''],
            message: `${thing(machine, event.item)} is torqued to ${limits.text}, which lies ${how} what ${tool.label} (${tool.name}) is good for: ${tool.range.text}. Use another tool, or correct one of the two ranges.`,
            related: [...calledFrom(event), { span: tool.span, message: `${tool.name} is declared here` }],
            fixes: [],
            cause: `${tool.name} ${event.item} ${limits.text}`,
        };
    }
}
