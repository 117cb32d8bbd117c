import type { Finding } from '../../../findings/finding.js';
import { calledFrom, lineOf } from '../../../findings/phrases.js';
import { nameAndLabel } from '../../../machine/compile-conditions.js';
import type { Event } from '../../../plan/plan.js';
import type { Check } from '../../check.js';

/** A block that no listed failure can reach, so that nothing was computed about it in earnest. */
export const notJudged: Check = {
    code: 'not-judged',
    family: 'expectation',
    severity: 'warning',
    title: 'A block that no failure of the equipment leads into is not judged',
    ofCard: ({ plan, machine, traces, runs }) => {
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
        for (const id of runs.beyond) {
            const event = plan.events[id] as Event;
            const [left] = runs.plain.flatMap(each => plan.events[each.visits.at(-1)?.event ?? -1] ?? []);
            const source = `beyond ${event.span.file} ${event.span.offset}`;
            if (found.has(source)) continue;
            found.set(source, {
                code: 'not-judged',
                severity: 'warning',
                span: event.span,
                card: plan.card,
                about: [],
                fixes: [],
                related: [
                    ...(left ? [{ span: left.span, message: 'the card leaves here' }] : []),
                    ...calledFrom(event),
                ],
                message: `As written the card never comes to this line${left ? `: it always leaves at line ${lineOf(left)}` : ''}. What follows is not judged. Say in "start with" how the card comes here.`,
                cause: source,
            });
        }
        return [...found.values()];
    },
};
