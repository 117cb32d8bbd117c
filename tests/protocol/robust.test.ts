import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { build } from 'esbuild';
import { afterEach, beforeAll, describe, expect, it } from 'vitest';
import type { Diagnostic, Hover, Location } from 'vscode-languageserver';
import { Client } from './client.js';
import { northlight, valveFiles } from './files.js';

const card = 'isolation-valve/card.cotter';
const text = valveFiles[card] ?? '';
const server = join(mkdtempSync(join(tmpdir(), 'cotter-server-')), 'server.cjs');
let client: Client;

beforeAll(async () => {
    await build({
        entryPoints: ['server/node.ts'],
        outfile: server,
        bundle: true,
        platform: 'node',
        format: 'cjs',
        target: 'node22',
        logLevel: 'silent',
        define: { 'import.meta.url': 'importMetaUrl' },
        banner: { js: "const importMetaUrl = require('node:url').pathToFileURL(__filename).href;" },
    });
}, 600_000);

afterEach(() => client.end().catch(() => {}));

const outside = (files: Readonly<Record<string, string>> = valveFiles): Promise<Client> =>
    Client.outside([process.execPath, server, '--stdio'], files);

/** Positions and words of another shape would crash an editor. */
function isWellFormed({ range, message, code, severity }: Diagnostic): boolean {
    const whole = [range.start.line, range.start.character, range.end.line, range.end.character].every(
        each => Number.isInteger(each) && each >= 0,
    );
    const inOrder =
        range.start.line < range.end.line ||
        (range.start.line === range.end.line && range.start.character <= range.end.character);
    return (
        whole &&
        inOrder &&
        String(message).length > 0 &&
        typeof code === 'string' &&
        [1, 2, 3, 4].includes(severity ?? 0)
    );
}

describe('a server of its own process, over standard input and output', { timeout: 600_000 }, () => {
    it('answers, ends when it is told to, and another one begins where it stood', async () => {
        client = await outside();
        await client.open(card, text.replace(/^.*install 147BL$/m, ''));
        const found = await client.findings(card);
        expect(found.map(each => each.code)).toEqual(['left-removed']);
        expect(found.every(isWellFormed)).toBe(true);
        client.kill();
        await expect(client.findings(card)).rejects.toThrow();
        client = await outside();
        await client.open(card, text);
        expect(await client.findings(card)).toEqual([]);
    });

    it('drops what nobody waits for any more', async () => {
        client = await outside();
        await client.open(card, text);
        const { answer, cancel } = client.cancellable('textDocument/references', card, {
            position: client.position(card, 'CB-217', 1),
            context: { includeDeclaration: true },
        });
        cancel();
        // Cancelled or answered already, but never left open.
        const ended = await Promise.race([
            answer.then(
                () => 'answered',
                () => 'cancelled',
            ),
            new Promise<string>(resolve => setTimeout(() => resolve('open'), 30_000)),
        ]);
        expect(['answered', 'cancelled']).toContain(ended);
        expect(await client.findings(card)).toEqual([]);
    });
});

describe('what an editor may send', { timeout: 600_000 }, () => {
    it('places beyond the text and documents that nobody has opened', async () => {
        client = await Client.inside(valveFiles);
        await client.open(card, text);
        const position = { line: 100_000, character: 100_000 };
        for (const method of ['hover', 'definition', 'completion', 'documentHighlight', 'prepareRename'])
            await client.request(`textDocument/${method}`, card, { position });
        expect(await client.request('textDocument/hover', 'nowhere/at-all.cotter', { position })).toBeNull();
        expect(
            await client.connection.sendRequest('textDocument/documentSymbol', {
                textDocument: { uri: 'untitled:Untitled-1' },
            }),
        ).toBeNull();
        await client.change(card, '');
        expect(await client.findings(card)).toEqual([]);
        await client.change(card, '\u0000\uD800 card');
        expect((await client.findings(card)).every(isWellFormed)).toBe(true);
    });

    it('line endings of two characters, and columns behind signs of two units', async () => {
        client = await Client.inside(valveFiles);
        const crlf = text
            .replaceAll('\n', '\r\n')
            .replace('/* ', '/* \u{1F527} ')
            .replace('tech: torque ACT with TW', '/* \u{1F527} N·m */ tech: torque ACT with TW');
        await client.open(card, crlf);
        expect(await client.findings(card)).toEqual([]);
        const hover = await client.askAt<Hover>('textDocument/hover', card, 'torque ACT', 8);
        const line = crlf.split('\r\n').findIndex(each => each.includes('torque ACT with'));
        const column = (crlf.split('\r\n')[line] ?? '').indexOf('ACT');
        expect(hover.range).toEqual({
            start: { line, character: column },
            end: { line, character: column + 3 },
        });
        const [found] = await client.askAt<Location[]>('textDocument/definition', card, 'torque ACT', 8);
        expect(found?.uri).toBe(client.uri('isolation-valve/equipment.cotter'));
    });

    it('folders that come and go', async () => {
        client = await Client.inside({ 'one/a.cotter': 'card', 'two/b.cotter': 'card' });
        const folder = (name: string): object => ({ uri: pathToFileURL(join(client.root, name)).href, name });
        const root = { uri: pathToFileURL(client.root).href, name: 'work' };
        const change = (added: object[], removed: object[]): Promise<void> =>
            client.connection.sendNotification('workspace/didChangeWorkspaceFolders', { event: { added, removed } });
        expect(Object.keys(await client.allFindings()).sort()).toEqual(['one/a.cotter', 'two/b.cotter']);
        await change([folder('one')], [root]);
        expect(Object.keys(await client.allFindings())).toEqual(['one/a.cotter']);
        await change([folder('two')], [folder('one')]);
        expect(Object.keys(await client.allFindings())).toEqual(['two/b.cotter']);
    });

    it('another branch with five hundred files, as one change', async () => {
        client = await Client.inside(northlight('isolation-valve'));
        expect(await client.allFindings()).toEqual({});
        const before = client.refreshed.length;
        const files: Record<string, string> = {};
        for (let n = 0; n < 500; n++)
            files[`more/${n}.cotter`] = `equipment E${n} "Equipment ${n}" {\n  place P${n} "place"\n  colour\n}\n`;
        await client.write(files);
        const found = await client.allFindings();
        expect(Object.keys(found)).toHaveLength(500);
        // Not five hundred times: once for the change, and at most once more while it was read.
        expect(client.refreshed.slice(before).filter(each => each === 'diagnostic').length).toBeLessThanOrEqual(2);
        await client.write(Object.fromEntries(Object.keys(files).map(path => [path, undefined])));
        expect(await client.allFindings()).toEqual({});
    });
});
