import * as vscode from 'vscode';
import { LanguageClient, TransportKind } from 'vscode-languageclient/node';
import { optionsOf, register } from './extension.js';

/** Nothing is waited for: the editor goes on while the server starts. */
export function activate(context: vscode.ExtensionContext): void {
    const module = vscode.Uri.joinPath(context.extensionUri, 'server.cjs').fsPath;
    const client = new LanguageClient('cotter', 'Cotter', { module, transport: TransportKind.ipc }, optionsOf(context));
    register(context, client);
}
