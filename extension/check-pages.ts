import * as vscode from 'vscode';
import { pages } from '../language/checks/generated/pages.js';

/** `cotter-check:/CODE.md`, which every finding links to: the page of the check, from the extension itself. */
export function registerCheckPages(): vscode.Disposable[] {
    return [
        vscode.workspace.registerTextDocumentContentProvider('cotter-check', {
            provideTextDocumentContent: ({ path }) => {
                const code = path.replace(/^\/|\.md$/g, '');
                return pages[code] ?? vscode.l10n.t('There is no check "{0}".', code);
            },
        }),
    ];
}
