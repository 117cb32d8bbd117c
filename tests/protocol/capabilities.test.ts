import { existsSync, readFileSync } from 'node:fs';
import { afterEach, expect, it } from 'vitest';
import { Client } from './client.js';

/** By capability, the file and a part of the title of a test that fails when it does not do what it should. */
const tested: Readonly<Record<string, readonly [file: string, title: string]>> = {
    textDocumentSync: ['findings', 'stay listed while a line is half written'],
    workspace: ['robust', 'folders that come and go'],
    diagnosticProvider: ['findings', 'are given for files that are not open'],
    hoverProvider: ['reading', 'shows over a name what it is'],
    definitionProvider: ['names', 'lead to what they name'],
    referencesProvider: ['names', 'are found wherever they stand'],
    documentHighlightProvider: ['names', 'are shown in the file that is looked at'],
    renameProvider: ['names', 'goes through texts, rules, arguments and every card'],
    documentSymbolProvider: ['reading', 'has an outline'],
    workspaceSymbolProvider: ['reading', 'finds things of the whole project'],
    foldingRangeProvider: ['reading', 'folds blocks and comments'],
    selectionRangeProvider: ['reading', 'selects from the word to the whole'],
    documentLinkProvider: ['names', 'link to the files'],
    semanticTokensProvider: ['reading', 'colours by meaning'],
    inlayHintProvider: ['reading', 'numbers the steps beside the text'],
    codeLensProvider: ['reading', 'says over a card how it stands'],
    completionProvider: ['completion', 'offers what may come next'],
    documentFormattingProvider: ['mending', 'brings a text into the house style'],
    documentRangeFormattingProvider: ['mending', 'of a range leaves the rest alone'],
    documentOnTypeFormattingProvider: ['mending', 'on a new line sets the line before it straight'],
    codeActionProvider: ['mending', 'offers the fix that holds'],
    signatureHelpProvider: ['signature-help', 'shows what a subtask asks for'],
};

let client: Client;
afterEach(() => client.end());

it('claims no capability without a test of what it does', async () => {
    client = await Client.inside({ 'a.cotter': '' });
    const claimed = Object.keys(client.result?.capabilities ?? {});
    for (const capability of claimed) {
        const [file, title] = tested[capability] ?? [];
        expect(file, `${capability} has no test`).toBeDefined();
        const path = `tests/protocol/${file}.test.ts`;
        expect(existsSync(path), path).toBe(true);
        const titles = [...readFileSync(path, 'utf8').matchAll(/\bit\(\s*(['"])(.*?)\1/g)].map(each => each[2]);
        expect(
            titles.some(each => each?.includes(title ?? '')),
            `${path} has no test "${title}"`,
        ).toBe(true);
    }
    expect(claimed.length).toBeGreaterThan(15);
});
