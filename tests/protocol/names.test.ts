import { afterEach, describe, expect, it } from 'vitest';
import type { DocumentHighlight, DocumentLink, Location, WorkspaceEdit } from 'vscode-languageserver';
import { Client } from './client.js';
import { valveFiles } from './files.js';

const folder = 'isolation-valve';
const card = `${folder}/card.cotter`;
const equipment = `${folder}/equipment.cotter`;
const subtask = `${folder}/drive-alone.cotter`;
const read = (path: string): string => valveFiles[path] ?? '';
let client: Client;

afterEach(() => client.end());

async function opened(): Promise<void> {
    client = await Client.inside(valveFiles);
    for (const path of [card, equipment, subtask]) await client.open(path, read(path));
}

const lineAt = (path: string, line: number): string => read(path).split('\n')[line] ?? '';

describe('names', () => {
    it('lead to what they name, in another file too, and inside texts', async () => {
        await opened();
        const [breaker] = await client.askAt<Location[]>('textDocument/definition', card, 'CB-217', 2);
        expect(breaker?.uri).toBe(client.uri(equipment));
        expect(lineAt(equipment, breaker?.range.start.line ?? 0)).toContain('breaker CB-217');
        const [unit] = await client.askAt<Location[]>('textDocument/definition', card, '[ACT]', 2);
        expect(lineAt(equipment, unit?.range.start.line ?? 0)).toContain('unit      ACT');
        const [called] = await client.askAt<Location[]>('textDocument/definition', card, 'DriveAlone(', 2);
        expect(called?.uri).toBe(client.uri(subtask));
        const [parameter] = await client.askAt<Location[]>('textDocument/definition', subtask, 'close own', 7);
        expect(lineAt(subtask, parameter?.range.start.line ?? 0)).toContain('breaker own');
        expect(await client.askAt('textDocument/definition', card, 'takes', 2)).toBeNull();
    });

    it('are found wherever they stand, as arguments and in rules', async () => {
        await opened();
        const ask = (includeDeclaration: boolean): Promise<Location[]> =>
            client.askAt('textDocument/references', card, 'CB-217', 2, { context: { includeDeclaration } });
        const found = await ask(true);
        const all = [card, equipment, subtask].flatMap(path =>
            read(path)
                .split('\n')
                .flatMap((line, n) => [...line.matchAll(/CB-217/g)].map(each => `${path} ${n} ${each.index}`)),
        );
        const places = found.map(
            ({ uri, range }) => `${uri.slice(client.uri('').length)} ${range.start.line} ${range.start.character}`,
        );
        expect(places.map(each => each.replace(/^\//, '')).sort()).toEqual(all.sort());
        expect(await ask(false)).toHaveLength(all.length - 1);
    });

    it('are shown in the file that is looked at, the declaration apart', async () => {
        await opened();
        const found = await client.askAt<DocumentHighlight[]>(
            'textDocument/documentHighlight',
            subtask,
            'breaker own',
            9,
        );
        expect(found.filter(each => each.kind === 3)).toHaveLength(1);
        expect(found).toHaveLength([...read(subtask).matchAll(/\bown\b(?!")/g)].length);
    });

    it('link to the files that a file draws on', async () => {
        await opened();
        const found = await client.request<DocumentLink[]>('textDocument/documentLink', card);
        const targets = new Set(found.map(each => each.target?.replace(/#.*/, '')));
        expect(targets).toEqual(new Set([client.uri(equipment), client.uri(subtask)]));
    });
});

describe('a new name', () => {
    const rename = (path: string, needle: string, into: number, newName: string): Promise<WorkspaceEdit> =>
        client.askAt('textDocument/rename', path, needle, into, { newName });

    const applied = (edit: WorkspaceEdit): Record<string, string> => {
        const texts: Record<string, string> = {};
        for (const change of edit.documentChanges ?? []) {
            if (!('edits' in change)) continue;
            const path = change.textDocument.uri.slice(client.uri('').length).replace(/^\//, '');
            const lines = read(path).split('\n');
            for (const each of [...change.edits].reverse()) {
                if (!('newText' in each)) continue;
                const { start, end } = each.range;
                const line = lines[start.line] ?? '';
                lines[start.line] = line.slice(0, start.character) + each.newText + line.slice(end.character);
            }
            texts[path] = lines.join('\n');
        }
        return texts;
    };

    it('goes through texts, rules, arguments and every card', async () => {
        await opened();
        expect(await client.askAt('textDocument/prepareRename', card, 'ACT', 1)).toMatchObject({ placeholder: 'ACT' });
        const texts = applied(await rename(card, '[ACT]', 2, 'ACTUATOR'));
        expect(Object.keys(texts).sort()).toEqual([card, equipment].sort());
        for (const [path, text] of Object.entries(texts)) {
            expect(text).toBe(read(path).replace(/(?<![\w-])ACT(?![\w-])/g, 'ACTUATOR'));
            await client.change(path, text);
        }
        expect(await client.allFindings()).toEqual({});
    });

    it('is refused where it clashes, is no name, or is a word of the language', async () => {
        await opened();
        await expect(rename(equipment, 'breaker CB-217', 9, 'CB-218')).rejects.toThrow(/already the name/);
        await expect(rename(card, 'role tech', 6, 'deck')).rejects.toThrow(/already the name/);
        await expect(rename(card, 'role tech', 6, 'two words')).rejects.toThrow(/not a name/);
        await expect(rename(card, 'role tech', 6, 'step')).rejects.toThrow(/word of the language/);
        // A name of the card that would hide one of the equipment.
        await expect(rename(card, 'tool     TW', 10, 'WITNESS')).rejects.toThrow(/already the name/);
        expect(await client.askAt('textDocument/prepareRename', card, 'takes', 1)).toBeNull();
        expect(await client.findings(card)).toEqual([]);
    });
});
