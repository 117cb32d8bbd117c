import * as vscode from 'vscode';
import type { BaseLanguageClient, LanguageClientOptions } from 'vscode-languageclient';
import { registerCheckPages } from './check-pages.js';
import { registerCommands } from './commands.js';
import { registerLiveCard } from './live-card/panel.js';
import { registerStatus } from './status.js';
import { registerTasks } from './tasks.js';
import { registerChanges } from './views/changes.js';
import { registerOpenHere } from './views/open-here.js';

export function optionsOf(_: vscode.ExtensionContext): LanguageClientOptions {
    return {
        // Of any scheme: what stands in a `git:` view is coloured too, and the server says nothing else of it.
        documentSelector: [{ language: 'cotter' }],
        // The log is for those who look for it: nothing pops up.
        outputChannelName: 'Cotter',
    };
}

/** Everything there is besides the protocol, which the client speaks by itself. */
export function register(context: vscode.ExtensionContext, client: BaseLanguageClient): void {
    context.subscriptions.push(
        { dispose: () => void client.dispose() },
        ...registerCheckPages(),
        ...registerLiveCard(context, client),
        ...registerStatus(client),
        ...registerOpenHere(context, client),
        ...registerChanges(client),
        ...registerTasks(context),
        ...registerCommands(context, client),
    );
    void vscode.commands.executeCommand('setContext', 'cotter.isActive', true);
    client.start().catch(error => client.error('The language server did not start.', error, false));
}
