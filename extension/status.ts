import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { statusRequest } from '../server/features/requests.js';
import { ask, cotterEditor, uriFor, whenTextMatters } from './asking.js';

/** One item, one truth: the words of the server, and "not known" wherever there are none. */
export function registerStatus(client: BaseLanguageClient): vscode.Disposable[] {
    const item = vscode.languages.createLanguageStatusItem('cotter.status', { language: 'cotter' });
    item.name = 'Cotter';
    item.command = { title: vscode.l10n.t('Problems'), command: 'workbench.actions.view.problems' };
    let asked = 0;
    const refresh = async (): Promise<void> => {
        const mine = ++asked;
        const editor = cotterEditor();
        if (!editor) return;
        const answer = await ask(client, statusRequest, { uri: uriFor(client, editor.document.uri) });
        if (mine !== asked) return;
        item.text = answer?.says ?? vscode.l10n.t('not known: the language server has not answered');
        item.detail = answer?.cards.map(each => `${each.name}: ${each.says}`).join('\n');
        item.severity =
            answer?.status === 'clean' || answer?.status === 'accepted'
                ? vscode.LanguageStatusSeverity.Information
                : vscode.LanguageStatusSeverity.Warning;
    };
    void refresh();
    return [item, ...whenTextMatters(client, 150, () => void refresh())];
}
