import type { Finding } from '../../findings/finding.js';
import { calledFrom, changedHere, lineOf, roleName, thing } from '../../findings/phrases.js';
import type { Event } from '../../plan/plan.js';
import type { Judged } from '../check.js';

/** Whoever holds has worked on what he looks at, or is not declared independent of one who has. */
export function inspectorNotIndependent(card: Judged): readonly Finding[] {
    const { machine, plan, paths } = card;
    const found: Finding[] = [];
    for (const event of plan.events) {
        const state = paths.at[event.id];
        if (event.kind !== 'hold' || !state) continue;
        const inspector = plan.roles[event.role];
        if (!inspector) continue;
        const told = new Set<number>();
        for (const item of new Set(event.refs)) {
            for (const by of state.worked[item] ?? []) {
                const work = plan.events[by] as Event;
                if (work.role !== event.role && inspector.independentOf.includes(work.role)) continue;
                if (told.has(work.role)) continue;
                told.add(work.role);
                const same = work.role === event.role;
                const who = same
                    ? `${inspector.label} has worked on it at line ${lineOf(work)}, and so cannot inspect it`
                    : `${inspector.label} is not declared independent of ${roleName(plan, work.role)}, who worked on it at line ${lineOf(work)}`;
                found.push({
                    code: 'inspector-not-independent',
                    severity: 'error',
                    span: event.span,
                    card: plan.card,
                    about: [inspector.name, machine.items[item]?.name ?? ''],
                    message: `The inspection of ${thing(machine, item)} is not independent: ${who}. ${same ? 'Let somebody else do one of the two.' : 'Say "independent of" where the role is declared, if it is so, or let somebody else inspect.'}`,
                    related: [
                        ...calledFrom(event),
                        ...changedHere(plan, [by], event.id, 'worked on'),
                        { span: inspector.span, message: `${inspector.label} is declared here` },
                    ],
                    fixes: [],
                    cause: `${event.key} ${work.role}`,
                });
            }
        }
    }
    return found;
}
