import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compileMachine } from '../../../language/machine/compile.js';
import { parseProject } from '../../../language/names/project.js';
import { lowerCard } from '../../../language/plan/lower.js';
import { embodiedIn, equipmentsOfCard, variantsOf } from '../../../language/plan/variants.js';
import { card } from './rig.js';
import { lower, sample } from './show.js';

/** Lowers every card of a text, whatever it is. */
function lowerAll(text: string): number {
    const project = parseProject([{ path: 'a.cotter', text }]);
    let events = 0;
    for (const each of project.cards) {
        for (const variant of variantsOf(project, each).variants) {
            const has = embodiedIn(variant);
            const plan = lowerCard(project, each, compileMachine(project, equipmentsOfCard(project, each), has), has);
            const back = plan.events.filter(event => [event.next, event.other].some(to => to !== -1 && to <= event.id));
            expect(back).toEqual([]);
            structuredClone(plan);
            events += plan.events.length;
        }
    }
    return events;
}

const words = sample.split(/(\s+)/);
const everything = card(
    `deck: pull CB-1, CB-2 and tag
     deck: keep SW at START at most 30 s { deck: see LT is ON within 6 s else { tech: leave Bay stop "No [BOX]." } }
     for each (a, b) in (CB-1, P1), (CB-2, P2) { deck: close a tech: disconnect b }
     where M1 { deck: read PG at least 5 psi for 3 s record } otherwise { tech: measure "gap" of BOX 1 to 2 mm else { repeat step s at most 2 times } }
     if tech sees DRAIN is OPEN { tech: torque B1 1 to 2 N·m with TW and extension 4 in } otherwise { leave for C-1 }
     do Sub(CB-1, tech)`,
    'subtask Sub "Sub" (breaker x, role who) uses Rig { who: ensure x is PULLED and tag }',
);

describe('a broken card', () => {
    it('is lowered whichever word is gone', () => {
        for (let at = 0; at < words.length; at += 20)
            lowerAll([...words.slice(0, at), ...words.slice(at + 1)].join(''));
    });

    it('is lowered after any cut, doubling or swap of words', () => {
        const parts = everything.split(/(\s+|[(){},:"[\]])/);
        const place = fc.nat(parts.length);
        fc.assert(
            fc.property(place, place, fc.constantFrom('cut', 'double', 'swap', 'end'), (one, two, how) => {
                const [from, to] = one < two ? [one, two] : [two, one];
                const changed = {
                    cut: [...parts.slice(0, from), ...parts.slice(Math.min(to, from + 4))],
                    double: [...parts.slice(0, from + 3), ...parts.slice(from)],
                    swap: parts.map((each, at) =>
                        at === from ? (parts[to] ?? '') : at === to ? (parts[from] ?? '') : each,
                    ),
                    end: parts.slice(0, to),
                }[how];
                lowerAll(changed.join(''));
            }),
            { numRuns: 150 },
        );
    });

    it('is never clean', () => {
        const { plan } = lower(sample.replace('deck: close CB-217', 'deck: close CB-2'));
        expect(plan.unknown).toEqual([expect.stringMatching(/^CB-2 at line \d+ is not known\.$/)]);
    });

    it('whose calls multiply each other ends, and says so', () => {
        const subtasks = Array.from(
            { length: 30 },
            (_, index) => `subtask S${index} "S" { do S${index + 1} do S${index + 1} }`,
        ).join('\n');
        const { plan } = lower(card('do S0', `${subtasks}\n subtask S30 "S" { wait 1 s }`));
        expect(plan.unknown.join()).toContain('more than 20000 statements');
    });

    it('whose calls lie very deep ends, and says so', () => {
        const subtasks = Array.from({ length: 2_000 }, (_, index) => `subtask S${index} "S" { do S${index + 1} }`).join(
            '\n',
        );
        const { plan } = lower(card('do S0', `${subtasks}\n subtask S2000 "S" { wait 1 s }`));
        expect(plan.unknown.join()).toContain('more than 64 deep');
    });
});
