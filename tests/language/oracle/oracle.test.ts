import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { SourceText } from '../../../language/names/project.js';
import type { Paths } from '../../../language/paths/paths.js';
import { type Judged, judgeAll } from '../../judge.js';
import { textsIn } from '../../marks.js';
import { generate } from '../by-construction/card.js';
import { type Compared, compare } from './compare.js';
import { tangled } from './tangled.js';
import { type Walked, walk } from './walk.js';

/** Ways through one card that are followed before it is called too tangled. */
const most = 1_500;

interface Beside {
    readonly judged: Judged;
    readonly walked: Walked;
    readonly compared: Compared;
}

function besideEachOther(sources: readonly SourceText[]): Beside[] {
    return judgeAll(sources)
        .filter(judged => judged.machine.ring.length === 0 && judged.plan.unknown.length === 0)
        .map(judged => {
            const { project, plan, machine, paths } = judged;
            const roots = project.files.map(file => file.root);
            const walked = walk(roots, plan.card, plan, machine, most);
            return { judged, walked, compared: compare(walked, machine, plan, paths) };
        });
}

function agree(all: readonly Beside[]): void {
    for (const { walked, compared } of all) {
        expect(walked.disagreements, 'the plan beside the text').toEqual([]);
        expect(compared.lost, 'found on some path and not held').toEqual([]);
        expect(compared.wider, 'held and found on no path').toEqual([]);
    }
}

describe('paths beside every path followed by itself', () => {
    it('on the example cards', () => {
        const all = besideEachOther(textsIn('examples/northlight'));
        agree(all);
        expect(all).toHaveLength(14);
        expect(all.every(each => !each.walked.cut)).toBe(true);
        expect(Math.max(...all.map(each => each.walked.paths))).toBeGreaterThan(2);
        agree(readdirSync('examples/faulty').flatMap(family => besideEachOther(textsIn(`examples/faulty/${family}`))));
    });

    it('on the sample', () => {
        const text = readFileSync('tests/language/sample/valve.cotter', 'utf8');
        const all = besideEachOther([{ path: 'valve.cotter', text }]);
        agree(all);
        expect(all).toHaveLength(2);
    });

    it('on the fixtures of the checks', () => {
        const all = textsIn('language/checks').flatMap(file => besideEachOther([file]));
        agree(all);
        expect(all.length).toBeGreaterThan(20);
    });

    it('on 300 generated cards', () => {
        for (let seed = 1; seed <= 300; seed++) {
            agree(besideEachOther([{ path: 'generated.cotter', text: generate(seed).text }]));
        }
    }, 600_000);

    it('on 400 cards full of branches, loops, repeats and ways out', () => {
        let paths = 0;
        let cells = 0;
        let cut = 0;
        for (let seed = 1; seed <= 400; seed++) {
            const all = besideEachOther([{ path: 'tangled.cotter', text: tangled(seed) }]);
            agree(all);
            for (const { walked, compared } of all) {
                paths += walked.paths;
                cells += compared.cells;
                cut += walked.cut ? 1 : 0;
            }
        }
        expect(paths).toBeGreaterThan(20_000);
        expect(cells).toBeGreaterThan(200_000);
        expect(cut).toBeLessThan(40);
    }, 600_000);
});

describe('the comparison', () => {
    const sources = [{ path: 'tangled.cotter', text: tangled(2) }];
    const [one] = besideEachOther(sources) as [Beside];

    function withChange(change: (paths: Paths) => Paths): Compared {
        const { judged, walked } = one;
        return compare(walked, judged.machine, judged.plan, change(judged.paths));
    }

    it('notices a state that is not held', () => {
        const { lost } = withChange(paths => ({
            ...paths,
            at: paths.at.map(each => each && { ...each, states: each.states.map(() => 0) }),
        }));
        expect(lost).not.toEqual([]);
    });

    it('notices a state too many', () => {
        const { wider } = withChange(paths => ({
            ...paths,
            at: paths.at.map(each => each && { ...each, states: each.states.map(() => 255) }),
        }));
        expect(wider).not.toEqual([]);
    });

    it('notices a time that is too long', () => {
        const { lost } = withChange(paths => ({
            ...paths,
            at: paths.at.map(each => each && { ...each, clock: each.clock + 1 }),
        }));
        expect(lost).not.toEqual([]);
    });

    it('notices an event that no path reaches', () => {
        const { lost } = withChange(paths => ({ ...paths, at: paths.at.map(() => undefined) }));
        expect(lost).not.toEqual([]);
    });

    it('notices a plan that leaves something out', () => {
        const { judged } = one;
        const events = judged.plan.events.map(each =>
            each.kind === 'wait' ? { ...each, guaranteed: each.guaranteed + 1 } : each,
        );
        const plan = { ...judged.plan, events };
        const roots = judged.project.files.map(file => file.root);
        const waits = events.some(each => each.kind === 'wait');
        expect(walk(roots, plan.card, plan, judged.machine, most).disagreements.length > 0).toBe(waits);
        const turned = judged.plan.events.map(each =>
            each.other >= 0 ? { ...each, next: each.other, other: each.next } : each,
        );
        const other = walk(roots, plan.card, { ...judged.plan, events: turned }, judged.machine, most);
        expect(other.disagreements).not.toEqual([]);
    });
});
