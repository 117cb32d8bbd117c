import type { CancellationToken, ClientCapabilities, Connection, ServerCapabilities } from 'vscode-languageserver';
import type { TextDocument } from 'vscode-languageserver-textdocument';
import type { ParsedProject } from '../../language/names/project.js';
import type { EditorWorkspace, Located, OpenedProject } from '../workspace/editor-workspace.js';

/** What every feature is given. */
export interface Server {
    readonly connection: Connection;
    readonly workspace: EditorWorkspace;
    readonly client: ClientCapabilities;
    /** An open document, as the editor has it. */
    document(uri: string): TextDocument | undefined;
    /** The file of a URI as its text is now, once it has been read; undefined for a document that is nobody's. */
    at(uri: string): Promise<At | undefined>;
    /** Called when findings of other files than the one just edited may be new. */
    onCaughtUp(listener: (project: OpenedProject) => void): void;
    /** Called with each change of an open document, before anything is asked about its new text. */
    onEdited(listener: (uri: string, document: TextDocument) => void): void;
}

/** One file at one moment. */
export interface At extends Located {
    readonly uri: string;
    /** The file with all that it draws on, linked; made when first asked for. */
    readonly parsed: ParsedProject;
    /** Of the file's text: positions as the protocol has them, 0-based, columns in UTF-16 units. */
    readonly document: TextDocument;
}

/** One feature of the protocol. `capabilities` says to the client that it is there; `register` answers its requests. */
export interface Feature {
    readonly name: string;
    capabilities(client: ClientCapabilities): ServerCapabilities;
    register(server: Server): void;
}

/** Long loops ask in between whether anybody still waits for the answer. */
export async function pauseUnless(token: CancellationToken): Promise<boolean> {
    if (token.isCancellationRequested) return false;
    await new Promise(resolve => setTimeout(resolve));
    return !token.isCancellationRequested;
}
