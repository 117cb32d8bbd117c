import { afterEach, describe, expect, it } from 'vitest';
import type { CompletionItem } from 'vscode-languageserver';
import { Client } from './client.js';
import { valveFiles } from './files.js';

const card = 'isolation-valve/card.cotter';
const text = valveFiles[card] ?? '';
let client: Client;

afterEach(() => client.end());

/** What is offered where `|` stands in a line that takes the place of another. */
async function offered(line: string, instead: string): Promise<CompletionItem[]> {
    const full = text.split('\n').find(each => each.includes(instead)) ?? '';
    const [before = ''] = line.split('|');
    await client.change(card, text.replace(full, line.replace('|', '')));
    const position = { line: text.split('\n').indexOf(full), character: before.length };
    return client.request('textDocument/completion', card, { position });
}

const labels = (items: readonly CompletionItem[], most = 10): string[] => items.slice(0, most).map(each => each.label);

describe('completion', () => {
    it('offers what may come next, the likeliest first', async () => {
        client = await Client.inside(valveFiles);
        await client.open(card, text);
        expect(labels(await offered('    |', 'deck: close CB-217'), 3)).toContain('deck:');
        expect(labels(await offered('    deck: |', 'deck: close CB-217'))).toContain('close');
        const breakers = await offered('    deck: close |', 'deck: close CB-217');
        expect(labels(breakers, 1)).toEqual(['CB-217']);
        expect(breakers.map(each => each.label)).not.toContain('WITNESS');
        expect(breakers[0]?.detail).toContain('HYD 2 ISOL VALVE MOTOR A');
        expect(labels(await offered('    deck: set ISOL to |', 'deck: set ISOL to SHUT'), 2)).toEqual(['SHUT', 'NORM']);
        expect(labels(await offered('    wait 90 |', 'wait 90 s'), 3)).toEqual(['s', 'min', 'h']);
        expect(labels(await offered('    tech: see WEEP is |', 'see WEEP is DRY'), 2)).toEqual(['DRY', 'WET']);
        expect(labels(await offered('    do |', 'do DriveAlone(CB-217'), 1)).toEqual(['DriveAlone']);
        expect(labels(await offered('    do DriveAlone(|', 'do DriveAlone(CB-217'), 2).sort()).toEqual([
            'CB-217',
            'CB-218',
        ]);
        expect(labels(await offered('    hold for insp "The seat of [|', 'hold for insp "The seat of'), 200)).toContain(
            'ACT',
        );
        expect(await offered('    hold for insp "The seat |', 'hold for insp "The seat of')).toEqual([]);
    });

    it('speaks of a control by its positions, and of what comes off as removed besides', async () => {
        client = await Client.inside(valveFiles);
        await client.open(card, text);
        expect(labels(await offered('    deck: ensure ISOL is |', 'deck: set ISOL to SHUT'))).toEqual(['SHUT', 'NORM']);
        expect(labels(await offered('    tech: see ACT is |', 'see WEEP is DRY'))).toEqual(['INSTALLED', 'REMOVED']);
    });

    it('begins with the act that a rule wants here', async () => {
        client = await Client.inside(valveFiles);
        await client.open(card, text);
        const [first, ...others] = await offered('    tech: |', 'tell deck "Clear to try the valve."');
        expect(first?.label).toMatch(/^tell deck "/);
        expect(first?.detail).toContain('ISOL');
        expect(first?.preselect).toBe(true);
        expect(labels(others, 3)).toContain('see');
        // Of another role than the one that is to act, nothing is wanted.
        const [other] = await offered('    insp: |', 'tell deck "Clear to try the valve."');
        expect(other?.label).not.toContain('tell deck');
    });

    it('offers in an equipment the kinds, then clauses, then what conditions and rules speak of', async () => {
        const path = 'isolation-valve/equipment.cotter';
        const whole = valveFiles[path] ?? '';
        client = await Client.inside(valveFiles);
        await client.open(path, whole);
        const at = async (before: string): Promise<string[]> => {
            const offset = whole.indexOf(before) + before.length;
            await client.change(path, whole.slice(0, offset));
            const lines = whole.slice(0, offset).split('\n');
            const position = { line: lines.length - 1, character: lines.at(-1)?.length ?? 0 };
            return labels(await client.request('textDocument/completion', path, { position }));
        };
        expect(
            await at(
                'breaker CB-217 "HYD 2 ISOL VALVE MOTOR A" at FlightDeck grid "C7" from ESS rated 5 A wire 22 AWG\n  ',
            ),
        ).toContain('breaker');
        expect(await at('breaker CB-217 "HYD 2 ISOL VALVE MOTOR A" ')).toContain('at');
        expect(
            (await at('breaker CB-217 "HYD 2 ISOL VALVE MOTOR A" at FlightDeck grid "C7" from ESS rated 5 '))[0],
        ).toBe('A');
        expect(await at('goes SHUT in 4 s when ISOL is ')).toEqual(['SHUT', 'NORM']);
        expect(await at('goes SHUT in 4 s when ISOL is SHUT and (MA or ')).toContain('MB');
        const rule = await at('rule clear:  before ');
        expect(rule).toContain('set');
        expect(rule).toContain('work');
        expect(rule).not.toContain('apply');
    });

    it('offers in the head of a card, in an exercise and in blocks what belongs there', async () => {
        client = await Client.inside(valveFiles);
        await client.open(card, text);
        expect(labels(await offered('  uses |', '  uses Hyd2'))).toContain('Hyd2');
        expect(labels(await offered('  role tech "Technician" at |', 'role tech "Technician"'))).toContain('WheelWell');
        expect(labels(await offered('  start with |', 'start with BATT'))).toContain('ISOL');
        expect(labels(await offered('    where |', 'deck: close CB-217'))).toContain('M29-14');
        expect(labels(await offered('    for |', 'deck: close CB-217'), 1)).toEqual(['each']);
        const path = 'isolation-valve/exercise.cotter';
        const exercise = valveFiles[path] ?? '';
        await client.change(card, text);
        await client.open(path, exercise);
        const states = await client.askAt<CompletionItem[]>('textDocument/completion', path, 'DEAD');
        expect(labels(states)).toContain('DEAD');
        const steps = await client.askAt<CompletionItem[]>('textDocument/completion', path, 'motor_b');
        expect(labels(steps)).toContain('motor_b');
    });
});
