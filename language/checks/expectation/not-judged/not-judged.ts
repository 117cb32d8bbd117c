import type { Finding } from '../../../findings/finding.js';
import { nameAndLabel } from '../../../machine/compile-conditions.js';
import type { Event } from '../../../plan/plan.js';
import type { Check } from '../../check.js';

/** A block that no listed failure can reach, so that nothing was computed about it in earnest. */
export const notJudged: Check = {
    code: 'not-judged',
    family: 'expectation',
    severity: 'warning',
    title: 'A block that no failure of the equipment leads into is not judged',
    ofCard: ({ plan, machine, traces }) => {
        const found = new Map<string, Finding>();
        for (const [n, arm] of plan.arms.entries()) {
            if (traces.arms[n] !== 'forced' || found.has(arm.source)) continue;
            const event = plan.events[arm.event] as Event;
            const item = machine.items[event.item];
            const what = item ? nameAndLabel(item) : 'what is looked at';
            found.set(arm.source, {
                code: 'not-judged',
                severity: 'warning',
                span: arm.span,
                card: plan.card,
                about: item ? [item.name] : [],
                fixes: [],
                related: [{ span: event.span, message: 'the block belongs to this' }],
                message:
                    arm.side === 'else'
                        ? `No failure of the equipment makes ${what} come out otherwise here, so this block is not judged. Say in the equipment what can fail, or leave the block out.`
                        : `Neither the card as written nor any failure of the equipment takes this block, so it is not judged. Say in "start with" or in the equipment how ${what} comes to be so.`,
                cause: arm.source,
            });
        }
        return [...found.values()];
    },
};
