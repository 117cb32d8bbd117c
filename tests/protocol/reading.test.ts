import { afterEach, describe, expect, it } from 'vitest';
import type {
    CodeLens,
    DocumentSymbol,
    FoldingRange,
    Hover,
    InlayHint,
    SelectionRange,
    SemanticTokens,
    WorkspaceSymbol,
} from 'vscode-languageserver';
import { tokenTypes } from '../../server/features/semantic-tokens.js';
import { Client } from './client.js';
import { valveFiles } from './files.js';

const card = 'isolation-valve/card.cotter';
const equipment = 'isolation-valve/equipment.cotter';
const subtask = 'isolation-valve/drive-alone.cotter';
const read = (path: string): string => valveFiles[path] ?? '';
let client: Client;

afterEach(() => client.end());

async function opened(): Promise<void> {
    client = await Client.inside(valveFiles);
    for (const path of [card, equipment, subtask]) await client.open(path, read(path));
}

const said = (hover: Hover | null): string =>
    hover && typeof hover.contents === 'object' && 'value' in hover.contents
        ? hover.contents.value.replaceAll('\\', '')
        : '';

describe('reading a text', () => {
    it('shows over a name what it is, how it stands on that line and by whom, and what guards it', async () => {
        await opened();
        const text = said(await client.askAt('textDocument/hover', card, 'close CB-217', 8));
        expect(text).toContain('HYD 2 ISOL VALVE MOTOR A');
        expect(text).toContain('breaker');
        expect(text).toMatch(/Here PULLED/);
        expect(text).toMatch(/Pulled at line \d+/);
        const unit = said(await client.askAt('textDocument/hover', card, 'remove ACT', 8));
        expect(unit).toContain('The valve can move without warning.');
        const inCalls = said(await client.askAt('textDocument/hover', subtask, 'set ISOL to SHUT', 5));
        expect(inCalls.match(/Here NORM \(called at line \d+\)/g)).toHaveLength(2);
        expect(said(await client.askAt('textDocument/hover', subtask, 'close own', 7))).toMatch(/CB-217[\s\S]*CB-218/);
    });

    it('shows over a figure the value that is read', async () => {
        await opened();
        expect(said(await client.askAt('textDocument/hover', card, '90 s', 1))).toBe('Read as 90 s');
    });

    it('has an outline', async () => {
        await opened();
        const [declared] = await client.request<DocumentSymbol[]>('textDocument/documentSymbol', card);
        expect(declared?.name).toContain('Isolation valve actuator');
        const steps = declared?.children?.filter(each => ['step', 'test'].includes(each.detail ?? ''));
        expect(steps?.map(each => each.detail)).toContain('test');
        expect(steps?.length).toBe([...read(card).matchAll(/^ {2}(step|test) /gm)].length);
    });

    it('finds things of the whole project by name or label', async () => {
        await opened();
        const find = (query: string): Promise<WorkspaceSymbol[]> =>
            client.connection.sendRequest('workspace/symbol', { query });
        expect((await find('isol valve motor a')).map(each => each.name)).toContain('CB-217 HYD 2 ISOL VALVE MOTOR A');
        expect(await find('no such thing at all')).toEqual([]);
    });

    it('folds blocks and comments', async () => {
        await opened();
        const found = await client.request<FoldingRange[]>('textDocument/foldingRange', card);
        const lines = read(card).split('\n');
        const step = lines.findIndex(each => each.includes('step isolate'));
        const end = lines.findIndex((each, n) => n > step && each === '  }');
        expect(found).toContainEqual({ startLine: step, endLine: end - 1 });
    });

    it('selects from the word to the whole', async () => {
        await opened();
        const position = client.position(card, 'ISOL to SHUT', 1);
        const [found] = await client.request<SelectionRange[]>('textDocument/selectionRange', card, {
            positions: [position],
        });
        const sizes: string[] = [];
        for (let each: SelectionRange | undefined = found; each; each = each.parent) {
            const { start, end } = each.range;
            sizes.push(
                start.line === end.line
                    ? (read(card).split('\n')[start.line] ?? '').slice(start.character, end.character)
                    : `${end.line - start.line + 1} lines`,
            );
        }
        expect(sizes[0]).toBe('ISOL');
        expect(sizes).toContain('deck: set ISOL to SHUT');
        expect(sizes.at(-1)).toBe(`${read(card).split('\n').length} lines`);
    });

    it('colours by meaning', async () => {
        await opened();
        const { data } = await client.request<SemanticTokens>('textDocument/semanticTokens/full', card);
        const lines = read(card).split('\n');
        const words = new Map<string, string>();
        let line = 0;
        let character = 0;
        for (let n = 0; n < data.length; n += 5) {
            const [down = 0, right = 0, length = 0, type = 0] = data.slice(n, n + 5);
            character = down > 0 ? right : character + right;
            line += down;
            words.set((lines[line] ?? '').slice(character, character + length), tokenTypes[type] ?? '');
        }
        expect(Object.fromEntries(words)).toMatchObject({
            'CB-217': 'variable',
            SHUT: 'enumMember',
            deck: 'type',
            DriveAlone: 'function',
            ValveBay: 'namespace',
        });
    });

    it('numbers the steps beside the text', async () => {
        await opened();
        const range = { start: { line: 0, character: 0 }, end: { line: 1000, character: 0 } };
        const hints = await client.request<InlayHint[]>('textDocument/inlayHint', card, { range });
        expect(hints.map(each => each.label)).toEqual(hints.map((_, n) => `${n + 1}`));
        expect(hints.length).toBe([...read(card).matchAll(/^ {2}(step|test) /gm)].length);
    });

    it('says over a card how it stands, and over a test what it proves', async () => {
        await opened();
        const titles = async (): Promise<(string | undefined)[]> =>
            (await client.request<CodeLens[]>('textDocument/codeLens', card)).map(each => each.command?.title);
        const [first, ...tests] = await titles();
        expect(first).toMatch(/^clean · \d+ min · 3 persons$/);
        expect(tests.length).toBeGreaterThan(0);
        expect(tests.every(each => /^reveals \d+ of \d+ failures? of what it tests$/.test(each ?? ''))).toBe(true);
        await client.change(card, read(card).replace(/^.*install 147BL$/m, ''));
        expect((await titles())[0]).toMatch(/^findings: 1 finding/);
        await client.change(card, read(card).replace('deck: close CB-217', 'deck: close'));
        expect((await titles())[0]).toMatch(/^not known/);
    });
});
