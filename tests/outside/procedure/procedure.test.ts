/**
 * Source: US Army TM 55-1520-240-T, task 8-13.3, "Turn and slip indicators operational check", page 8-312, Change 17 (a public-domain
 * manual of the US Government); transcribed from a public scan in TM-55-1520-240-T-8-13.3.txt. What is ours in the card stands at its head.
 */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { check } from '../../../language/check.js';
import { faultOf } from '../../../language/failures/runs.js';
import { modesOf } from '../../../language/failures/which.js';
import { atStart, choices, run } from '../../../language/trace/run.js';
import { type Judged, judgeAll } from '../../judge.js';
import { marksOf, textsIn, unlike } from '../../marks.js';

const folder = 'tests/outside/procedure';
const files = textsIn(folder);
const source = readFileSync(`${folder}/TM-55-1520-240-T-8-13.3.txt`, 'utf8');
const card = judgeAll(files).find(each => each.plan.card === 'TASK-8-13-3') as Judged;

/** How the card ends when it is done with a failure in the model from the start, one answer for each way the breakers may be found. */
function ways(item: string, word: string): { readonly ends: readonly string[]; readonly seen: readonly string[] } {
    const { machine, plan } = card;
    const failure = modesOf(machine, machine.itemIndex[item] as number).find(each => each.word === word);
    if (!failure) throw new Error(`${item} has no failure ${word}`);
    const ends: string[] = [];
    const seen = new Set<string>();
    for (const choice of choices(plan) ?? []) {
        const sim = atStart(machine, plan, 'slowest', choice);
        if (!sim) throw new Error('never at rest');
        sim.begin(faultOf(machine, failure));
        const trace = run(plan, { kind: 'failure', sim, from: 0, until: -1, choice, choose: () => true });
        for (const visit of trace.visits) seen.add(plan.events[visit.event]?.key ?? '');
        const last = plan.events[trace.visits.at(-1)?.event ?? -1];
        ends.push(
            last?.kind === 'stop' ? `stop: ${last.text}` : last?.kind === 'leave-for' ? `leave for ${last.card}` : trace.end,
        );
    }
    return { ends: [...new Set(ends)], seen: [...seen] };
}

describe('a real operational check (TM 55-1520-240-T, task 8-13.3)', () => {
    it('has exactly the findings that its text explains', () => {
        expect(files.flatMap(marksOf)).toHaveLength(6);
        const { findings, cards } = check(files);
        expect(unlike(files, findings)).toEqual([]);
        expect(cards.map(each => `${each.name} ${each.status}`)).toEqual(['TASK-8-13-3 findings', 'TASK-8-13-4 clean']);
    });

    it('judges every branch of the source', () => {
        expect(card.traces.arms).toEqual(
            'plain failure plain failure failure failure measured failure failure measured'.split(' '),
        );
    });

    // Columns: what the source's table says, the failure in the model, where the card must lead.
    it.each([
        ['go to task 8-13.4', 'NAV-1', 'TRIPPED', 'leave for TASK-8-13-4'],
        ['go to task 8-13.4', 'NAV-2', 'TRIPPED', 'leave for TASK-8-13-4'],
        ['If pointer (4) is not centered, replace indicator (3)', 'PTR-C', 'off center', "stop: Replace the copilot's turn and slip indicator."],
        ["Repeat step 3 for pilot's turn and slip indicator (6)", 'PTR-P', 'off center', "stop: Replace the pilot's turn and slip indicator."],
    ])('%s: %s %s', (result, item, word, end) => {
        expect(source).toContain(result);
        expect(ways(item, word).ends).toEqual([end]);
    });

    it.each([
        ['copilot', 'BALL-C'],
        ['pilot', 'BALL-P'],
    ])('%s: a ball off center leads to the inclinometer, and one that does not agree to a new indicator', (side, ball) => {
        expect(source).toContain('If ball (5) is not centered, use inclinometer to verify ball position');
        const { ends, seen } = ways(ball, 'AWAY');
        expect(ends).toEqual(['end']);
        expect(seen).toContain(`${side}/measure/${ball}/1`);
        const measure = card.plan.events.find(each => each.kind === 'look' && each.key === `${side}/measure/${ball}/1`);
        const beyond = measure?.kind === 'look' ? card.plan.events[measure.other] : undefined;
        expect(beyond?.kind === 'stop' && beyond.text).toBe(`Replace the ${side}'s turn and slip indicator.`);
        expect(ways('GROUND', 'slopes').seen).toContain(`${side}/measure/${ball}/1`);
    });

    it('closes a breaker that was found open, and goes on when it stays in', () => {
        const { plan, machine } = card;
        const all = choices(plan) ?? [];
        expect(all).toHaveLength(4);
        for (const choice of all) {
            const sim = atStart(machine, plan, 'slowest', choice);
            if (!sim) throw new Error('never at rest');
            const trace = run(plan, { kind: 'failure', sim, from: 0, until: -1, choice, choose: () => true });
            expect(trace.end).toBe('end');
            const closed = trace.visits.filter(visit => /\/close\//.test(plan.events[visit.event]?.key ?? ''));
            expect(closed).toHaveLength(choice.filter((state, n) => state === 1 && (plan.start[n]?.states.length ?? 0) > 1).length);
        }
    });

    it('leaves the aircraft as the source asks: battery disconnected, electrical power off', () => {
        expect(source).toContain('Battery disconnected. Electrical power off.');
        const without = files.map(file => ({ ...file, text: file.text.replace('    elec: disconnect BATT\n', '') }));
        expect(check(without).findings.map(each => each.code)).toContain('finish-not-reached');
    });
});
