/** How well a comparison finds the typed edits that were made, and nothing else. */
import { type Change, compare } from '../../../language/readers/comparison/index.js';
import { applied, type Edit, editsOf, together } from './edits.js';
import { examples, judge } from './texts.js';

export const all = editsOf(examples);
export const types = [...new Set(all.map(each => each.type))];

export interface Tally {
    /** Edits made, counted once for each card that they reach. */
    expected: number;
    reported: number;
    right: number;
}

export interface Measure {
    readonly total: Tally;
    readonly safety: Tally;
    /** What was not reported as what it is, and what was reported besides. */
    readonly wrong: string[];
    edits: number;
}

const tally = (): Tally => ({ expected: 0, reported: 0, right: 0 });
export const measure = (): Measure => ({ total: tally(), safety: tally(), wrong: [], edits: 0 });

const isSafety = (kind: Change['kind']): boolean => !['work', 'record', 'wording'].includes(kind);

/** Card by card, each edit must be one change of its kind at its place, and there may be no other change. */
export function tryTogether(edits: readonly Edit[], into: Measure): void {
    const { total, safety, wrong } = into;
    into.edits += edits.length;
    const comparison = compare(judge(examples), judge(applied(examples, edits)));
    const made = edits.map(each => each.says).join(' | ');
    if (comparison.verdict === 'unknown') wrong.push(`not known: ${comparison.says} after ${made}`);
    for (const { name } of judge(examples).cards) {
        const reported = [...(comparison.cards.find(each => each.card === name)?.changes ?? [])];
        const expected = edits.filter(each => each.cards.has(name));
        total.expected += expected.length;
        total.reported += reported.length;
        safety.expected += expected.filter(each => isSafety(each.expected.kind)).length;
        safety.reported += reported.filter(each => each.class === 'safety').length;
        for (const edit of expected) {
            const { kind, how, fits } = edit.expected;
            const at = reported.findIndex(each => each.kind === kind && each.how === how && fits(each));
            if (at < 0) {
                wrong.push(`${name} does not say: ${edit.says} (of: ${made})`);
                continue;
            }
            reported.splice(at, 1);
            total.right++;
            if (isSafety(kind)) safety.right++;
        }
        for (const each of reported)
            wrong.push(
                `${name} says besides: [${each.kind} ${each.how}] ${each.says} ${each.span.old?.file}:${each.span.old?.line} (of: ${made})`,
            );
    }
}

/** The same numbers every time. */
export function random(seed: number): () => number {
    let state = seed;
    return () => {
        state = (state + 0x6d2b79f5) | 0;
        let t = Math.imul(state ^ (state >>> 15), 1 | state);
        t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
        return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
    };
}

/** So many that stand beside each other. Every type is drawn as often as any other, however many edits there are of it. */
export function drawn(count: number, next: () => number, from: readonly string[] = types): Edit[] {
    const edits: Edit[] = [];
    for (let tries = 0; edits.length < count && tries < 2000; tries++) {
        const type = from[Math.floor(next() * from.length)];
        const ofType = all.filter(each => each.type === type);
        const one = ofType[Math.floor(next() * ofType.length)] as Edit;
        if (together(edits, one)) edits.push(one);
    }
    return edits;
}

/** One edit of each type, in as few rounds as they fit into. */
export function oneOfEach(next: () => number): Edit[][] {
    const rounds: Edit[][] = [];
    for (const type of types) {
        const ofType = all.filter(each => each.type === type);
        const one = ofType[Math.floor(next() * ofType.length)] as Edit;
        const round = rounds.find(edits => together(edits, one));
        if (round) round.push(one);
        else rounds.push([one]);
    }
    return rounds;
}

export function report({ total, safety }: Measure): string {
    const percent = (part: number, whole: number): string => `${((100 * part) / whole).toFixed(2)} %`;
    const line = (name: string, { expected, reported, right }: Tally): string =>
        `  ${name.padEnd(7)} precision ${percent(right, reported)} (${right} of ${reported} reported), recall ${percent(right, expected)} (${right} of ${expected} made)\n`;
    return `${line('all', total)}${line('safety', safety)}`;
}
