/** A plain client of the language server, in this process or over the standard input and output of another. */
import { type ChildProcess, spawn } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { PassThrough } from 'node:stream';
import { pathToFileURL } from 'node:url';
import {
    type ClientCapabilities,
    createConnection,
    type Diagnostic,
    type DocumentDiagnosticReport,
    type InitializeResult,
    type WorkspaceDiagnosticReport,
} from 'vscode-languageserver/node';
import {
    CancellationTokenSource,
    createMessageConnection,
    type MessageConnection,
    StreamMessageReader,
    StreamMessageWriter,
} from 'vscode-languageserver-protocol/node';
import { serve } from '../../server/language-server.js';
import { nodeFiles } from '../../server/workspace/node-files.js';

/** What an editor of today can do. */
export const modern: ClientCapabilities = {
    textDocument: {
        diagnostic: { relatedDocumentSupport: false },
        completion: { completionItem: { snippetSupport: true } },
        documentSymbol: { hierarchicalDocumentSymbolSupport: true },
        rename: { prepareSupport: true },
        codeAction: {
            codeActionLiteralSupport: { codeActionKind: { valueSet: ['quickfix', 'refactor', 'source'] } },
            resolveSupport: { properties: ['edit'] },
        },
    },
    workspace: {
        workspaceFolders: true,
        diagnostics: { refreshSupport: true },
        workspaceEdit: { documentChanges: true },
    },
};

export class Client {
    private readonly versions = new Map<string, number>();
    readonly texts = new Map<string, string>();
    readonly refreshed: string[] = [];
    readonly sent = new Map<string, Diagnostic[]>();
    result: InitializeResult | undefined;

    private constructor(
        readonly connection: MessageConnection,
        readonly root: string,
        private readonly process: ChildProcess | undefined,
    ) {
        connection.onNotification('textDocument/publishDiagnostics', ({ uri, diagnostics }) => {
            this.sent.set(uri, diagnostics);
        });
        for (const what of ['diagnostic', 'codeLens', 'inlayHint', 'semanticTokens'])
            connection.onRequest(`workspace/${what}/refresh`, () => {
                this.refreshed.push(what);
                return null;
            });
        connection.onRequest('client/registerCapability', () => null);
        connection.listen();
    }

    /** In this process. `files`: by path in a folder of their own. */
    static async inside(
        files: Readonly<Record<string, string>> | string,
        capabilities: ClientCapabilities = modern,
    ): Promise<Client> {
        const up = new PassThrough();
        const down = new PassThrough();
        serve(createConnection(new StreamMessageReader(up), new StreamMessageWriter(down)), nodeFiles);
        const connection = createMessageConnection(new StreamMessageReader(down), new StreamMessageWriter(up));
        return new Client(connection, folderWith(files), undefined).begin(capabilities);
    }

    /** Another process, as an editor starts it. */
    static async outside(
        command: readonly string[],
        files: Readonly<Record<string, string>> | string,
        capabilities: ClientCapabilities = modern,
    ): Promise<Client> {
        const [program, ...rest] = command;
        const process = spawn(program ?? '', rest, { stdio: ['pipe', 'pipe', 'inherit'] });
        const connection = createMessageConnection(
            new StreamMessageReader(process.stdout),
            new StreamMessageWriter(process.stdin),
        );
        return new Client(connection, folderWith(files), process).begin(capabilities);
    }

    private async begin(capabilities: ClientCapabilities): Promise<Client> {
        this.result = await this.connection.sendRequest('initialize', {
            processId: process.pid,
            rootUri: null,
            capabilities,
            workspaceFolders: [{ uri: pathToFileURL(this.root).href, name: 'work' }],
        });
        await this.connection.sendNotification('initialized', {});
        return this;
    }

    uri(path: string): string {
        return pathToFileURL(join(this.root, path)).href;
    }

    async open(path: string, text: string): Promise<void> {
        this.texts.set(path, text);
        this.versions.set(path, 1);
        await this.connection.sendNotification('textDocument/didOpen', {
            textDocument: { uri: this.uri(path), languageId: 'cotter', version: 1, text },
        });
    }

    /** The whole text anew. */
    async change(path: string, text: string): Promise<void> {
        const version = (this.versions.get(path) ?? 0) + 1;
        this.versions.set(path, version);
        this.texts.set(path, text);
        await this.connection.sendNotification('textDocument/didChange', {
            textDocument: { uri: this.uri(path), version },
            contentChanges: [{ text }],
        });
    }

    async close(path: string): Promise<void> {
        await this.connection.sendNotification('textDocument/didClose', { textDocument: { uri: this.uri(path) } });
    }

    /** A file on the disk changes, and the client says so. */
    async write(files: Readonly<Record<string, string | undefined>>): Promise<void> {
        const changes = Object.entries(files).map(([path, text]) => {
            if (text === undefined) rmSync(join(this.root, path));
            else put(this.root, path, text);
            return { uri: this.uri(path), type: text === undefined ? 3 : 2 };
        });
        await this.connection.sendNotification('workspace/didChangeWatchedFiles', { changes });
    }

    async findings(path: string): Promise<Diagnostic[]> {
        const report: DocumentDiagnosticReport = await this.request('textDocument/diagnostic', path);
        if (report.kind !== 'full') throw new Error('nothing new');
        return report.items;
    }

    /** By path, every file that has any. */
    async allFindings(): Promise<Record<string, Diagnostic[]>> {
        const report: WorkspaceDiagnosticReport = await this.connection.sendRequest('workspace/diagnostic', {
            previousResultIds: [],
        });
        const found: Record<string, Diagnostic[]> = {};
        for (const item of report.items) {
            if (item.kind !== 'full' || item.items.length === 0) continue;
            found[item.uri.slice(pathToFileURL(this.root).href.length + 1)] = item.items;
        }
        return found;
    }

    /** A request about a file. */
    request<T>(method: string, path: string, more: object = {}): Promise<T> {
        return this.connection.sendRequest(method, { textDocument: { uri: this.uri(path) }, ...more });
    }

    /** A request that is taken back before it is answered. */
    cancellable(method: string, path: string, more: object): { answer: Promise<unknown>; cancel: () => void } {
        const source = new CancellationTokenSource();
        const answer = this.connection.sendRequest(
            method,
            { textDocument: { uri: this.uri(path) }, ...more },
            source.token,
        );
        return { answer, cancel: () => source.cancel() };
    }

    /** As a crash does. */
    kill(): void {
        this.process?.kill('SIGKILL');
        this.connection.end();
    }

    /** A request about a place in an open file: where `needle` stands, or `into` characters into it. */
    askAt<T>(method: string, path: string, needle: string, into = 0, more: object = {}): Promise<T> {
        return this.request(method, path, { position: this.position(path, needle, into), ...more });
    }

    position(path: string, needle: string, into = 0): { line: number; character: number } {
        const text = this.texts.get(path) ?? '';
        const offset = text.indexOf(needle);
        if (offset < 0) throw new Error(`${path} does not hold ${needle}`);
        const before = text.slice(0, offset + into);
        return { line: before.split('\n').length - 1, character: before.length - before.lastIndexOf('\n') - 1 };
    }

    async end(): Promise<void> {
        await this.connection.sendRequest('shutdown');
        if (this.process) await this.connection.sendNotification('exit');
        this.connection.dispose();
        this.process?.kill();
        rmSync(this.root, { recursive: true, force: true });
    }
}

function folderWith(files: Readonly<Record<string, string>> | string): string {
    const root = mkdtempSync(join(tmpdir(), 'cotter-'));
    if (typeof files === 'string') cpSync(files, root, { recursive: true });
    else for (const [path, text] of Object.entries(files)) put(root, path, text);
    return root;
}

function put(root: string, path: string, text: string): void {
    mkdirSync(dirname(join(root, path)), { recursive: true });
    writeFileSync(join(root, path), text);
}
