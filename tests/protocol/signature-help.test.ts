import { afterEach, describe, expect, it } from 'vitest';
import type { SignatureHelp } from 'vscode-languageserver';
import { Client } from './client.js';
import { valveFiles } from './files.js';

const card = 'isolation-valve/card.cotter';
const text = valveFiles[card] ?? '';
let client: Client;

afterEach(() => client.end());

describe('signature help', () => {
    it('shows what a subtask asks for, and which of it is due', async () => {
        client = await Client.inside(valveFiles);
        await client.open(card, text);
        const ask = async (written: string): Promise<SignatureHelp | null> => {
            await client.change(card, text.replace('do DriveAlone(CB-217, CB-218, deck, tech)', written));
            return client.askAt('textDocument/signatureHelp', card, written, written.length);
        };
        const first = await ask('do DriveAlone(');
        expect(first?.signatures[0]?.label).toBe('DriveAlone(breaker own, breaker other, role deck, role tech)');
        expect(first?.signatures[0]?.documentation).toBe('Prove one motor on its own');
        expect(first?.activeParameter).toBe(0);
        expect((await ask('do DriveAlone(CB-217, '))?.activeParameter).toBe(1);
        expect((await ask('do DriveAlone(CB-217, CB-218, deck, '))?.activeParameter).toBe(3);
        expect(await ask('deck: close ')).toBeNull();
    });
});
