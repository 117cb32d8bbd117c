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
});
