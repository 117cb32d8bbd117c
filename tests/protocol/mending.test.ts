import { afterEach, describe, expect, it } from 'vitest';
import type { CodeAction, Diagnostic, TextEdit } from 'vscode-languageserver';
import { changed, withEdits } from './apply.js';
import { Client } from './client.js';
import { valveFiles } from './files.js';

const card = 'isolation-valve/card.cotter';
const text = valveFiles[card] ?? '';
const all = { start: { line: 0, character: 0 }, end: { line: 10_000, character: 0 } };
let client: Client;

afterEach(() => client.end());

const actions = (path: string, diagnostic: Diagnostic | undefined, only?: string[]): Promise<CodeAction[]> =>
    client.request('textDocument/codeAction', path, {
        range: diagnostic?.range ?? all,
        context: { diagnostics: diagnostic ? [diagnostic] : [], ...(only ? { only } : {}) },
    });

describe('mending', () => {
    it('offers the fix that holds, and with it the text is clean', async () => {
        client = await Client.inside(valveFiles);
        await client.open(card, text.replace(/^.*install 147BL\n/m, ''));
        const [finding] = await client.findings(card);
        const [fix, ...others] = await actions(card, finding, ['quickfix']);
        expect(others).toEqual([]);
        expect(fix).toMatchObject({ kind: 'quickfix', isPreferred: true, diagnostics: [{ code: 'left-removed' }] });
        const after = changed(client, fix?.edit);
        await client.change(card, after[card] ?? '');
        expect(await client.findings(card)).toEqual([]);
    });

    it('mends everything of the file in one go, worked out only when it is chosen', async () => {
        client = await Client.inside(valveFiles);
        await client.open(card, text.replace(/^.*install 147BL\n/m, '').replace('close BLEED', 'clsoe BLEED'));
        const [action] = await actions(card, undefined, ['source.fixAll']);
        expect(action).toMatchObject({ kind: 'source.fixAll.cotter' });
        expect(action?.edit).toBeUndefined();
        for (let round = 0; round < 3; round++) {
            const resolved = await client.connection.sendRequest<CodeAction>('codeAction/resolve', action as object);
            const after = changed(client, resolved.edit);
            if (after[card]) await client.change(card, after[card]);
        }
        expect(await client.findings(card)).toEqual([]);
    });

    it('offers nothing where nothing is wrong', async () => {
        client = await Client.inside(valveFiles);
        await client.open(card, text);
        expect(await actions(card, undefined, ['quickfix'])).toEqual([]);
    });
});

describe('formatting', () => {
    const format = (more: object = {}, what = 'formatting'): Promise<TextEdit[]> =>
        client.request(`textDocument/${what}`, card, { options: { tabSize: 2, insertSpaces: true }, ...more });

    it('brings a text into the house style, changes nothing twice, and does not wait for other files', async () => {
        client = await Client.inside({ [card]: text });
        await client.open(card, text.replace(/^ +/gm, '').replaceAll('\n', '\r\n'));
        const edits = await format();
        const after = withEdits(client.texts.get(card) ?? '', edits);
        expect(after).toBe(text.replaceAll('\n', '\r\n'));
        await client.change(card, after);
        expect(await format()).toEqual([]);
    });

    it('of a range leaves the rest alone', async () => {
        client = await Client.inside(valveFiles);
        const mangled = text.replace(/^ +/gm, '');
        await client.open(card, mangled);
        const line = mangled.split('\n').findIndex(each => each.startsWith('step replace'));
        const range = { start: { line, character: 0 }, end: { line: line + 3, character: 0 } };
        const after = withEdits(mangled, await format({ range }, 'rangeFormatting')).split('\n');
        const whole = text.split('\n');
        for (const [n, each] of after.entries())
            expect(each).toBe(n >= line && n < line + 3 ? whole[n] : mangled.split('\n')[n]);
    });

    it('on a new line sets the line before it straight, and keeps the comments of a broken text', async () => {
        client = await Client.inside(valveFiles);
        const mangled = text
            .replace('    deck: close CB-217', 'deck:   close    CB-217')
            .concat('\n// the end\ncard {');
        await client.open(card, mangled);
        const at = client.position(card, 'deck:   close');
        const edits = await format({ position: { line: at.line + 1, character: 0 }, ch: '\n' }, 'onTypeFormatting');
        const after = withEdits(mangled, edits);
        expect(after.split('\n')[at.line]).toBe('    deck: close CB-217');
        expect(after).toContain('// the end\ncard {');
    });
});

describe('rearranging', () => {
    const lines = (from: string, to: string): object => ({
        range: {
            start: { line: client.position(card, from).line, character: 0 },
            end: client.position(card, to, to.length),
        },
        context: { diagnostics: [], only: ['refactor'] },
    });

    it('makes lines a subtask, and writes a call out again, and the card does the same', async () => {
        client = await Client.inside(valveFiles);
        await client.open(card, text);
        const [extract] = await client.request<CodeAction[]>(
            'textDocument/codeAction',
            card,
            lines('tech: remove 147BL', 'tech: open BLEED'),
        );
        expect(extract).toMatchObject({ title: 'Make these lines a subtask', kind: 'refactor.extract' });
        const after = changed(client, extract?.edit)[card] ?? '';
        expect(after).toContain('subtask NewSubtask "What these lines do" (role tech) uses');
        expect(after).toContain('    do NewSubtask(tech)\n');
        await client.change(card, after);
        expect(await client.findings(card)).toEqual([]);
        const position = client.position(card, 'do NewSubtask', 4);
        const [inline] = await client.request<CodeAction[]>('textDocument/codeAction', card, {
            range: { start: position, end: position },
            context: { diagnostics: [], only: ['refactor'] },
        });
        expect(inline?.kind).toBe('refactor.inline');
        expect(changed(client, inline?.edit)[card]).toContain('    tech: remove 147BL\n    tech: open BLEED\n');
    });

    it('writes out a subtask of another file with what it was given', async () => {
        client = await Client.inside(valveFiles);
        await client.open(card, text);
        const position = client.position(card, 'do DriveAlone(CB-217', 4);
        const [inline] = await client.request<CodeAction[]>('textDocument/codeAction', card, {
            range: { start: position, end: position },
            context: { diagnostics: [], only: ['refactor'] },
        });
        const after = changed(client, inline?.edit)[card] ?? '';
        expect(after).toContain('    deck: ensure CB-218 is PULLED and tag\n');
        expect(after).toContain('    deck: close CB-217\n');
    });

    it('does not offer what a subtask cannot be given', async () => {
        client = await Client.inside(valveFiles);
        await client.open(card, text);
        const offers = await client.request<CodeAction[]>(
            'textDocument/codeAction',
            card,
            lines('tech: install new ACT with RING', 'tech: torque ACT with TW'),
        );
        expect(offers).toEqual([]);
    });
});
