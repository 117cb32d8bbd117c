import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Plan } from '../../../language/plan/plan.js';
import { rig } from './rig.js';
import { flow, lower } from './show.js';

const roles = 'role deck "Operator" at Deck role tech "Technician" at Hall';
const steps = (text: string) => `${rig} card C-1 "Card" { uses Rig ${roles} ${text} }`;

describe('a repeat', () => {
    it('counts anew each time an outer one comes round', () => {
        const text = steps(`
            step a "A" { deck: see LT is ON else { repeat step a at most 1 times } }
            step b "B" { deck: see LT is OFF else { repeat step a at most 1 times } }`);
        expect(flow(lower(text))).toEqual([
            '0 step a',
            '1 deck see LT ON -> 5 | 2',
            '2 step a',
            '3 deck see LT ON -> 5 | 4',
            '4 exhausted -> out',
            '5 done a',
            '6 step b',
            '7 deck see LT OFF -> 17 | 8',
            '8 step a',
            '9 deck see LT ON -> 13 | 10',
            '10 step a',
            '11 deck see LT ON -> 13 | 12',
            '12 exhausted -> out',
            '13 done a',
            '14 step b',
            '15 deck see LT OFF -> 17 | 16',
            '16 exhausted -> out',
            '17 done b',
            '18 end -> out',
        ]);
    });

    it('says in the key and the event which pass it is', () => {
        const text = steps('step a "A" { deck: see LT is ON else { repeat step a at most 2 times } }');
        const looks = lower(text).plan.events.filter(each => each.kind === 'look');
        expect(looks.map(each => [each.key, each.pass])).toEqual([
            ['a/see/LT/1', 0],
            ['a/see/LT/1#2', 1],
            ['a/see/LT/1#3', 2],
        ]);
    });

    it('of nothing, of a later step, and of no number of times', () => {
        expect(
            flow(lower(steps('step a "A" { deck: see LT is ON else { repeat step a at most 0 times } }'))),
        ).toContain('2 exhausted -> out');
        const later = 'step a "A" { deck: see LT is ON else { repeat step b at most 1 times } } step b "B" { }';
        expect(lower(steps(later)).plan.unknown.join()).toContain('only this step or an earlier one');
    });

    it('that multiplies with others beyond reason is left out and said', () => {
        const looks = 'deck: see LT is ON else { repeat step a at most 50 times }\n'.repeat(4);
        const { plan } = lower(steps(`step a "A" { ${looks} }`));
        expect(plan.unknown.join()).toContain('more than 20000 steps');
        expect(plan.events.length).toBeLessThan(20);
        expect(plan.events.filter(each => each.kind === 'exhausted')).toHaveLength(4);
    });
});

/* The meaning again, as plainly as can be: a list of words walked by one that counts and jumps. */

type Word =
    | { readonly is: 'wait' }
    | { readonly is: 'look'; readonly arm: readonly Word[] }
    | { readonly is: 'stop' }
    | { readonly is: 'repeat'; readonly step: number; readonly times: number };
type Steps = readonly (readonly Word[])[];

function text(all: Steps): string {
    const say = (word: Word): string => {
        switch (word.is) {
            case 'wait':
                return 'wait 1 s';
            case 'look':
                return `deck: see LT is ON else {\n${word.arm.map(say).join('\n')}\n}`;
            case 'stop':
                return 'stop "No."';
            case 'repeat':
                return `repeat step s${word.step} at most ${word.times} times`;
        }
    };
    return steps(all.map((words, index) => `step s${index} "Step" {\n${words.map(say).join('\n')}\n}`).join('\n'));
}

class Jump extends Error {
    constructor(readonly to: number) {
        super();
    }
}
class Out extends Error {}

/** What happens, word by word, when the looks come out as they are told. */
function walk(all: Steps, met: () => boolean): string[] {
    const happened: string[] = [];
    const passes = new Map<Word, number>();
    const forget = (words: readonly Word[]): void => {
        for (const each of words) {
            passes.delete(each);
            if (each.is === 'look') forget(each.arm);
        }
    };
    const does = (words: readonly Word[]): void => {
        for (const word of words) {
            if (word.is === 'wait') happened.push('wait');
            else if (word.is === 'look') {
                happened.push('look');
                if (!met()) does(word.arm);
                // What hangs on a look that is behind us counts from nothing.
                forget(word.arm);
            } else if (word.is === 'stop') {
                happened.push('stop');
                throw new Out();
            } else {
                const pass = passes.get(word) ?? 0;
                if (pass >= word.times) {
                    happened.push('exhausted');
                    throw new Out();
                }
                passes.set(word, pass + 1);
                throw new Jump(word.step);
            }
        }
    };
    let step = 0;
    try {
        while (step < all.length) {
            try {
                happened.push(`step s${step}`);
                does(all[step] ?? []);
                step++;
            } catch (jump) {
                if (!(jump instanceof Jump)) throw jump;
                step = jump.to;
            }
        }
    } catch (out) {
        if (!(out instanceof Out)) throw out;
        return happened;
    }
    return [...happened, 'end'];
}

function walkPlan(plan: Plan, met: () => boolean): string[] {
    const happened: string[] = [];
    for (let at = 0; at >= 0; ) {
        const event = plan.events[at];
        if (!event) break;
        if (event.kind === 'step-start') happened.push(`step ${plan.steps[event.step]?.name}`);
        else if (event.kind !== 'join' && event.kind !== 'step-end') happened.push(event.kind);
        at = event.kind === 'look' && !met() ? event.other : event.next;
    }
    return happened;
}

const leaf = (step: number): fc.Arbitrary<Word> =>
    fc.oneof(
        fc.constant<Word>({ is: 'wait' }),
        fc.constant<Word>({ is: 'stop' }),
        fc.record({ is: fc.constant('repeat' as const), step: fc.nat(step), times: fc.nat(2) }),
    );
const word = (step: number, depth: number): fc.Arbitrary<Word> => {
    const wait = fc.constant<Word>({ is: 'wait' });
    if (depth === 0) return wait;
    const inner = fc
        .tuple(fc.array(word(step, depth - 1), { maxLength: 2 }), leaf(step))
        .map(([before, last]) => [...before, last]);
    return fc.oneof(wait, fc.record({ is: fc.constant('look' as const), arm: inner }));
};
const model: fc.Arbitrary<Steps> = fc
    .integer({ min: 1, max: 3 })
    .chain(count => fc.tuple(...Array.from({ length: count }, (_, step) => fc.array(word(step, 2), { maxLength: 3 }))));

describe('the unrolled flow', () => {
    it('does what a walk with counters does', () => {
        fc.assert(
            fc.property(model, fc.array(fc.boolean(), { minLength: 200, maxLength: 200 }), (all, outcomes) => {
                const { plan } = lower(text(all));
                fc.pre(!plan.unknown.some(each => each.startsWith('The repeats make more than')));
                expect(plan.unknown).toEqual([]);
                const told = () => {
                    let at = 0;
                    return () => outcomes[at++] ?? true;
                };
                expect(walkPlan(plan, told())).toEqual(walk(all, told()));
            }),
            { numRuns: 300 },
        );
    });

    it('only leads on, to events that are there, with keys of their own', () => {
        fc.assert(
            fc.property(model, all => {
                const { plan } = lower(text(all));
                expect(new Set(plan.events.map(each => each.key)).size).toBe(plan.events.length);
                const reached = new Set([0]);
                for (const [index, event] of plan.events.entries()) {
                    expect(event.id).toBe(index);
                    expect(reached.has(index)).toBe(true);
                    for (const to of [event.next, event.other]) {
                        if (to === -1) continue;
                        expect(to).toBeGreaterThan(index);
                        reached.add(to);
                    }
                }
                for (const arm of plan.arms) {
                    expect([plan.events[arm.event]?.next, plan.events[arm.event]?.other]).toContain(arm.entry);
                    expect(arm.join === -1 || arm.join >= arm.entry).toBe(true);
                    expect(arm.join === -1 || plan.events[arm.join]?.kind === 'join').toBe(true);
                }
            }),
            { numRuns: 200 },
        );
    });
});
