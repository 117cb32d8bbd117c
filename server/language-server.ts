import {
    type ClientCapabilities,
    type Connection,
    DidChangeWatchedFilesNotification,
    FileChangeType,
    type InitializeParams,
    type ServerCapabilities,
    TextDocumentSyncKind,
    TextDocuments,
} from 'vscode-languageserver';
import { TextDocument } from 'vscode-languageserver-textdocument';
import { linkProject } from '../language/names/project.js';
import manifest from '../package.json' with { type: 'json' };
import type { Server } from './features/feature.js';
import { features } from './features/index.js';
import { EditorWorkspace, type OpenedProject } from './workspace/editor-workspace.js';
import type { FileSource } from './workspace/file-source.js';

/** Serves one editor over a connection until it ends. Everything that is answered comes from features/. */
export function serve(connection: Connection, files: FileSource): void {
    const documents = new TextDocuments(TextDocument);
    const caughtUp: ((project: OpenedProject) => void)[] = [];
    const edited: ((uri: string, document: TextDocument) => void)[] = [];
    const workspace = new EditorWorkspace(files, project => {
        for (const listener of caughtUp) listener(project);
    });
    let folders: readonly string[] = [];
    let client: ClientCapabilities = {};
    /** What must have been read before anything can be answered. */
    let reading: Promise<void> = Promise.resolve();
    const opening = new Map<string, Promise<void>>();

    connection.onInitialize((params: InitializeParams) => {
        client = params.capabilities;
        folders = params.workspaceFolders?.map(each => each.uri) ?? (params.rootUri ? [params.rootUri] : []);
        const server = serverOf();
        const capabilities: ServerCapabilities = {
            textDocumentSync: { openClose: true, change: TextDocumentSyncKind.Incremental },
            workspace: { workspaceFolders: { supported: true, changeNotifications: true } },
        };
        for (const feature of features) {
            merge(capabilities, feature.capabilities(client));
            feature.register(server);
        }
        return { capabilities, serverInfo: { name: manifest.name, version: manifest.version } };
    });

    connection.onInitialized(async () => {
        if (client.workspace?.didChangeWatchedFiles?.dynamicRegistration)
            void connection.client.register(DidChangeWatchedFilesNotification.type, {
                watchers: [{ globPattern: '**/*.cotter' }, { globPattern: '**/cotter.json' }],
            });
        if (client.workspace?.workspaceFolders)
            connection.workspace.onDidChangeWorkspaceFolders(({ added, removed }) => {
                const gone = new Set(removed.map(each => each.uri));
                folders = [...folders.filter(each => !gone.has(each)), ...added.map(each => each.uri)];
                reading = workspace.setFolders(folders);
            });
        reading = workspace.setFolders(folders);
        await reading;
    });

    documents.onDidChangeContent(({ document }) => {
        const { uri } = document;
        const tell = (): void => {
            for (const listener of edited) listener(uri, document);
        };
        if (workspace.changeOpen(uri, document.getText())) tell();
        else {
            const opened = workspace.setOpen(uri, document.getText()).then(tell);
            opening.set(
                uri,
                opened.finally(() => opening.delete(uri)),
            );
        }
    });
    documents.onDidClose(({ document }) => void workspace.setClosed(document.uri));
    connection.onDidChangeWatchedFiles(({ changes }) =>
        workspace.filesChanged(changes.map(({ uri, type }) => ({ uri, gone: type === FileChangeType.Deleted }))),
    );
    connection.onShutdown(() => workspace.dispose());

    documents.listen(connection);
    connection.listen();

    function serverOf(): Server {
        return {
            connection,
            workspace,
            client,
            document: uri => documents.get(uri),
            async at(uri) {
                await Promise.all([reading, opening.get(uri)]);
                const located = workspace.locate(uri);
                if (!located) return undefined;
                const document = documents.get(uri) ?? TextDocument.create(uri, 'cotter', 0, located.file.text);
                return {
                    ...located,
                    uri,
                    document,
                    get parsed() {
                        return located.project.live.around(located.path) ?? linkProject([located.file]);
                    },
                };
            },
            onCaughtUp: listener => caughtUp.push(listener),
            onEdited: listener => edited.push(listener),
        };
    }
}

/** Capabilities of one name from two features stand side by side. */
function merge(into: ServerCapabilities, more: ServerCapabilities): void {
    const target = into as Record<string, unknown>;
    for (const [name, value] of Object.entries(more)) {
        const known = target[name];
        target[name] =
            typeof known === 'object' && typeof value === 'object' && !Array.isArray(value)
                ? { ...known, ...value }
                : value;
    }
}
