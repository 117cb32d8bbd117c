import { beforeEach, describe, expect, it, vi } from 'vitest';
import { runFailures } from '../../../language/failures/runs.js';
import { runCard } from '../../../language/trace/traces.js';
import { tell } from './told.js';

/** How many events were performed, whoever asked for it. */
const performed = vi.hoisted(() => ({ events: 0 }));
vi.mock('../../../language/trace/perform.js', async original => {
    const real = await original<typeof import('../../../language/trace/perform.js')>();
    return {
        ...real,
        perform: (...all: Parameters<typeof real.perform>) => {
            performed.events++;
            return real.perform(...all);
        },
    };
});

const equipment = `equipment E "Equipment" { place Here "Here"
  control SW "SWITCH" at Here positions OFF, ON  breaker CB "BREAKER" at Here  unit BOX "box" at Here
  light LT "lamp" at Here from CB { shows ON when SW is ON  shows OFF otherwise }
  valve V "valve" at Here positions SHUT, OPEN { goes OPEN in 2 to 3 s when SW is ON  goes SHUT in 2 to 3 s when SW is OFF }
  mark M "label" at Here { shows CLEAN when SW is ON  shows CLEAN otherwise } }`;

const steps: Readonly<Record<string, (n: number) => string>> = {
    'actions and looks': () =>
        'tech: set SW to ON tech: see V is OPEN within 5 s tech: set SW to OFF tech: see V is SHUT within 5 s',
    'blocks that stop': () =>
        'tech: set SW to ON tech: see LT is ON else { tech: set SW to OFF stop "Dark." } tech: set SW to OFF',
    'blocks that fall through': () =>
        'tech: set SW to ON tech: see LT is ON else { tech: pull CB tech: close CB } tech: set SW to OFF',
    'blocks that nothing leads into': () =>
        'tech: see M is CLEAN else { tech: "Clean it." tech: see M is CLEAN else { tech: "Clean it again." } }',
    'blocks that repeat': n =>
        `tech: set SW to ON tech: see LT is ON else { tech: pull CB tech: close CB repeat step s${n} at most 2 times } tech: set SW to OFF`,
    'blocks that nothing leads into and that repeat': n =>
        `tech: see M is CLEAN else { tech: "Clean it." repeat step s${n} at most 3 times }`,
    branches: () =>
        'if tech sees LT is ON { tech: set SW to OFF } otherwise { tech: "Look." } if tech sees M is CLEAN { tech: "Good." } otherwise { tech: "Clean." }',
    measures: () => 'tech: measure "gap" of BOX 1 to 2 mm else { tech: remove BOX tech: install BOX }',
    'keeps and waits': () => 'tech: keep SW at ON at most 30 s { wait 5 s tech: see LT is ON else { stop "Dark." } }',
};

function count(step: (n: number) => string, length: number): { card: number; failures: number; events: number } {
    const text = `${equipment} card C-1 "Card" { uses E role tech "Technician" at Here
      ${Array.from({ length }, (_, n) => `step s${n} "Step" { ${step(n)} }`).join('\n')} }`;
    const { machine, plan } = tell(text);
    expect(plan.unknown).toEqual([]);
    performed.events = 0;
    const runs = runCard(machine, plan);
    const card = performed.events;
    performed.events = 0;
    runFailures(machine, plan, runs);
    return { card, failures: performed.events, events: plan.events.length };
}

describe('events performed', () => {
    beforeEach(() => {
        performed.events = 0;
    });

    it.each(Object.entries(steps))('grow with the card and no faster: %s', (_, step) => {
        const [small, middle, large] = [10, 20, 40].map(length => count(step, length)) as [
            ReturnType<typeof count>,
            ReturnType<typeof count>,
            ReturnType<typeof count>,
        ];
        // As many more for the second ten and for each of the next two tens: a straight line.
        for (const what of ['events', 'card', 'failures'] as const)
            expect(large[what] - middle[what], what).toBe(2 * (middle[what] - small[what]));
        // Slowest and fastest, and once by force for what neither comes by.
        expect(large.card).toBeLessThanOrEqual(3 * large.events);
    });
});
