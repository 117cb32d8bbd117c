import { afterEach, describe, expect, it } from 'vitest';
import { Client, modern } from './client.js';
import { valveFiles } from './files.js';

const valve = 'isolation-valve/card.cotter';
const text = valveFiles[valve] ?? '';
let client: Client;

afterEach(() => client.end());

describe('findings', () => {
    it('come with code, page, mark and the places that belong to them, as soon as they are asked for', async () => {
        client = await Client.inside(valveFiles);
        await client.open(valve, text);
        expect(await client.findings(valve)).toEqual([]);
        await client.change(valve, text.replace(/^.*"Clear to try the valve."$/m, ''));
        const [finding, ...others] = await client.findings(valve);
        expect(others).toEqual([]);
        expect(finding).toMatchObject({
            code: 'not-told',
            severity: 1,
            source: 'cotter',
            codeDescription: { href: expect.stringContaining('not-told') },
        });
        const uris = finding?.relatedInformation?.map(each => each.location.uri);
        expect(uris).toContain(client.uri('isolation-valve/equipment.cotter'));
    });

    it('are given for files that are not open, and change with what they draw on', async () => {
        client = await Client.inside(valveFiles);
        expect(await client.allFindings()).toEqual({});
        const equipment = 'isolation-valve/equipment.cotter';
        const before = valveFiles[equipment] ?? '';
        await client.open(equipment, before.replace('breaker CB-217', 'breaker CB-999'));
        const found = await client.allFindings();
        expect(Object.keys(found)).toContain(valve);
        expect(found[valve]?.map(each => each.code)).toContain('unknown-name');
        await client.change(equipment, before);
        expect(await client.allFindings()).toEqual({});
    });

    it('of a card that stand in another file follow as soon as all is said', async () => {
        client = await Client.inside(valveFiles);
        await client.open(valve, text.replace(/^.*close CB-217$/m, ''));
        expect(Object.values(await client.allFindings()).flat()).toMatchObject([{ code: 'breaker-left-pulled' }]);
        expect(client.refreshed).toContain('diagnostic');
    });

    it('stay listed while a line is half written, marked as older, and go when it is whole', async () => {
        client = await Client.inside(valveFiles);
        const wrong = text.replace(/^.*install 147BL$/m, '');
        await client.open(valve, wrong);
        const before = await client.findings(valve);
        expect(before.map(each => each.code)).toEqual(['left-removed']);
        await client.change(valve, wrong.replace('deck: pull CB-217, CB-218 and tag', 'deck: pull CB-217, '));
        const during = await client.findings(valve);
        expect(during.filter(each => each.code === 'syntax').length).toBeGreaterThan(0);
        expect(during.filter(each => each.code !== 'syntax').map(each => [each.code, each.message])).toEqual([
            ['left-removed', expect.stringContaining('before the last edit')],
        ]);
        await client.change(valve, text);
        expect(await client.findings(valve)).toEqual([]);
    });

    it('are sent to an editor that does not ask for them, and taken back', async () => {
        client = await Client.inside(valveFiles, { ...modern, textDocument: {} });
        await client.open(valve, text.replace(/^.*install 147BL$/m, ''));
        await expect
            .poll(() => client.sent.get(client.uri(valve))?.map(each => each.code), { timeout: 20_000 })
            .toEqual(['left-removed']);
        await client.change(valve, text);
        await expect.poll(() => client.sent.get(client.uri(valve)), { timeout: 20_000 }).toEqual([]);
    });

    it('are not given for what a view of another revision shows', async () => {
        client = await Client.inside(valveFiles);
        const uri = `git:/x/${valve}?ref`;
        await client.connection.sendNotification('textDocument/didOpen', {
            textDocument: { uri, languageId: 'cotter', version: 1, text: 'card {' },
        });
        const report = await client.connection.sendRequest('textDocument/diagnostic', { textDocument: { uri } });
        expect(report).toMatchObject({ items: [] });
    });
});
