import { describe, expect, test } from 'vitest';
import { type Change, compare } from '../../../language/readers/comparison/index.js';
import { applied, type Edit, editsOf, together } from './edits.js';
import { examples, judge } from './texts.js';

/** Edits at a time, and rounds with as many. */
const most = 20;
const rounds = 6;
const old = judge(examples);
const all = editsOf(examples);
const types = [...new Set(all.map(each => each.type))];

/** The same numbers every time. */
function random(seed: number): () => number {
    let state = seed;
    return () => {
        state = (state + 0x6d2b79f5) | 0;
        let t = Math.imul(state ^ (state >>> 15), 1 | state);
        t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
        return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
    };
}

/** Every type is drawn as often as any other, however many edits there are of it. */
function drawn(count: number, next: () => number): Edit[] {
    const edits: Edit[] = [];
    for (let tries = 0; edits.length < count && tries < 2000; tries++) {
        const type = types[Math.floor(next() * types.length)];
        const ofType = all.filter(each => each.type === type);
        const one = ofType[Math.floor(next() * ofType.length)] as Edit;
        if (together(edits, one)) edits.push(one);
    }
    return edits;
}

interface Tally {
    expected: number;
    reported: number;
    right: number;
}

const isSafety = (kind: Change['kind']): boolean => !['work', 'record', 'wording'].includes(kind);

/** Card by card, each edit must be one change of its kind at its place, and there may be no other change. */
function measured(edits: readonly Edit[], total: Tally, safety: Tally): string[] {
    const comparison = compare(old, judge(applied(examples, edits)));
    const wrong: string[] = [];
    if (comparison.verdict === 'unknown')
        return [`not known: ${comparison.says} after ${edits.map(each => each.says).join(' | ')}`];
    for (const name of old.cards.map(each => each.name)) {
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
                wrong.push(`${name} does not say: ${edit.says}`);
                continue;
            }
            reported.splice(at, 1);
            total.right++;
            if (isSafety(kind)) safety.right++;
        }
        for (const each of reported)
            wrong.push(
                `${name} says besides: [${each.kind} ${each.how}] ${each.says} ${each.span.old?.file}:${each.span.old?.line}`,
            );
    }
    return wrong;
}

const percent = (part: number, whole: number): string => `${((100 * part) / whole).toFixed(2)} %`;

describe('typed edits', () => {
    test('there are many of each type', () => {
        expect(all.length).toBeGreaterThan(300);
        for (const type of [
            'shorten a wait',
            'lengthen a wait',
            'swap two steps',
            'drop a close',
            'swap two breakers',
            'reword a tell',
            'rename an item',
            'move a line',
            'swap two lines',
            'drop a hold',
            'drop a warning',
            'change a limit',
            'change a torque',
            'change an expected state',
            'change a role',
            'add a step',
        ])
            expect(types).toContain(type);
    });

    test('each alone is reported as what it is', { timeout: 300_000 }, () => {
        const [total, safety] = [tally(), tally()];
        const wrong = all.flatMap(each => measured([each], total, safety).map(one => `${each.says} => ${one}`));
        report('alone', total, safety);
        expect(wrong).toEqual([]);
    });

    test(`1 to ${most} at a time are reported, and nothing else`, { timeout: 300_000 }, () => {
        const [total, safety] = [tally(), tally()];
        const wrong: string[] = [];
        let made = 0;
        for (let k = 1; k <= most; k++) {
            for (let round = 0; round < rounds; round++) {
                const edits = drawn(k, random(k * 1000 + round));
                expect(edits).toHaveLength(k);
                made += edits.length;
                const found = measured(edits, total, safety);
                if (found.length > 0)
                    wrong.push(`k=${k} round ${round}: ${edits.map(each => each.says).join(' | ')}`, ...found);
            }
        }
        report(`${made} edits, 1 to ${most} at a time`, total, safety);
        expect(wrong).toEqual([]);
        expect(safety.right).toBe(safety.expected);
        expect(safety.right).toBe(safety.reported);
    });
});

const tally = (): Tally => ({ expected: 0, reported: 0, right: 0 });

function report(what: string, total: Tally, safety: Tally): void {
    const line = (name: string, { expected, reported, right }: Tally): string =>
        `${name}: precision ${percent(right, reported)} (${right} of ${reported}), recall ${percent(right, expected)} (${right} of ${expected})`;
    console.log(`comparison, ${what}\n  ${line('all', total)}\n  ${line('safety', safety)}`);
}
