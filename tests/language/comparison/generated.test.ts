/** A sample of what `npm run typed-edits` tries whole. */
import { expect, test } from 'vitest';
import { all, drawn, measure, oneOfEach, random, report, tryTogether, types } from './measure.js';
import { examples, judge, judgeAll, replaced } from './texts.js';

test('there are many typed edits of each kind', () => {
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

test('a card taken over from the examples is the card as it would be judged', () => {
    const now = replaced(examples, 'wait 90 s', 'wait 60 s');
    const [one, two] = [judge(now), judgeAll(now)].map(({ findings, cards, judged }) => ({
        findings: findings.map(({ code, span, message }) => `${span.file}:${span.line} ${code} ${message}`).sort(),
        cards: cards.map(({ name, status }) => `${name} ${status}`).sort(),
        judged: judged.map(({ plan, digest }) => `${plan.card} ${digest()}`).sort(),
    }));
    expect(one).toEqual(two);
    expect(one?.findings.length).toBeGreaterThan(judge(examples).findings.length);
});

test('one edit of each type is reported, and nothing else', { timeout: 600_000 }, () => {
    const found = measure();
    for (const edits of oneOfEach(random(7))) tryTogether(edits, found);
    expect(found.edits).toBe(types.length);
    expect(found.wrong, report(found)).toEqual([]);
});

test.each([1, 2, 3, 5, 8, 13, 20])('%i edits at a time are reported, and nothing else', { timeout: 600_000 }, k => {
    const found = measure();
    const edits = drawn(k, random(k));
    expect(edits).toHaveLength(k);
    tryTogether(edits, found);
    expect(found.wrong, report(found)).toEqual([]);
    expect(found.safety.right).toBe(found.safety.expected);
    expect(found.safety.right).toBe(found.safety.reported);
});
