import { randomBytes } from 'node:crypto';
import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { type CardAnswer, cardRequest } from '../../server/features/requests.js';
import { ask, cotterEditor, debounced, goTo, isCotter, printPage, savePage, uriFor } from '../asking.js';
import { frame, partsOf } from './frame.js';
import type { FromPage, Remembered, ToPage } from './messages.js';

const viewType = 'cotter.card';

export function registerLiveCard(context: vscode.ExtensionContext, client: BaseLanguageClient): vscode.Disposable[] {
    let live: LiveCard | undefined;
    const keep = (panel: vscode.WebviewPanel, state: Remembered): LiveCard => {
        const made = new LiveCard(context, client, panel, state);
        live = made;
        panel.onDidDispose(() => {
            made.dispose();
            if (live === made) live = undefined;
        });
        return made;
    };
    const show = (uri?: vscode.Uri | string, card?: string): void => {
        const of = uri ? vscode.Uri.parse(String(uri)) : cotterEditor()?.document.uri;
        if (!of) return;
        if (live) return live.turnTo(of, card);
        const options = { viewColumn: vscode.ViewColumn.Beside, preserveFocus: true };
        const panel = vscode.window.createWebviewPanel(viewType, vscode.l10n.t('Finished card'), options, {
            enableScripts: true,
            enableFindWidget: true,
        });
        keep(panel, { uri: of.toString(), card, locked: false });
    };
    return [
        vscode.commands.registerCommand('cotter.showCard', show),
        vscode.commands.registerCommand('cotter.saveCard', () => live?.save()),
        vscode.commands.registerCommand('cotter.printCard', () => live?.print()),
        vscode.commands.registerCommand('cotter.lockCard', () => live?.setLocked(true)),
        vscode.commands.registerCommand('cotter.unlockCard', () => live?.setLocked(false)),
        vscode.window.registerWebviewPanelSerializer(viewType, {
            async deserializeWebviewPanel(panel, state: Remembered | undefined) {
                if (live || !state?.uri) panel.dispose();
                else keep(panel, state);
            },
        }),
    ];
}

/** The finished card beside the text, as the text is now. */
class LiveCard {
    private readonly subscriptions: vscode.Disposable[] = [];
    private state: Remembered;
    private shown: CardAnswer | undefined;
    /** Of the text that `shown` was made of. */
    private shownUri = '';
    private asked = 0;
    private isReady = false;
    /** Till when the text moves because the page did. */
    private followsUntil = 0;

    constructor(
        private readonly context: vscode.ExtensionContext,
        private readonly client: BaseLanguageClient,
        private readonly panel: vscode.WebviewPanel,
        state: Remembered,
    ) {
        this.state = state;
        const { webview } = panel;
        webview.options = { enableScripts: true, localResourceRoots: [context.extensionUri] };
        const script = webview.asWebviewUri(vscode.Uri.joinPath(context.extensionUri, 'live-card.js')).toString();
        const soon = debounced(60, () => void this.refresh());
        this.subscriptions.push(
            soon,
            webview.onDidReceiveMessage((message: FromPage) => this.told(message)),
            vscode.workspace.onDidChangeTextDocument(({ document }) => {
                // The text of another file may be drawn on.
                if (isCotter(document)) soon.call();
            }),
            vscode.languages.onDidChangeDiagnostics(() => soon.call()),
            client.onDidChangeState(() => soon.call()),
            vscode.window.onDidChangeActiveTextEditor(editor => {
                if (editor && isCotter(editor.document) && !this.state.locked) this.turnTo(editor.document.uri);
            }),
            vscode.window.onDidChangeTextEditorVisibleRanges(({ textEditor }) => this.textMoved(textEditor)),
            vscode.window.onDidChangeTextEditorSelection(({ textEditor }) => this.textMoved(textEditor)),
        );
        webview.html = frame('Cotter', randomBytes(16).toString('hex'), webview.cspSource, script);
        panel.iconPath = vscode.Uri.joinPath(context.extensionUri, 'icons', 'file.svg');
    }

    dispose(): void {
        for (const each of this.subscriptions) each.dispose();
    }

    turnTo(uri: vscode.Uri, card?: string): void {
        const isOther = uri.toString() !== this.state.uri;
        if (isOther) this.state = { uri: uri.toString(), card, locked: this.state.locked };
        else if (card !== undefined) this.state = { ...this.state, card };
        this.panel.reveal(undefined, true);
        void this.refresh();
    }

    setLocked(locked: boolean): void {
        this.state = { ...this.state, locked };
        void this.refresh();
    }

    async save(): Promise<void> {
        const page = await this.forPaper();
        if (page) await savePage(page.card, page.html, this.uri);
    }

    async print(): Promise<void> {
        const page = await this.forPaper();
        if (page) await printPage(this.context, page.card, page.html);
    }

    private get uri(): vscode.Uri {
        return vscode.Uri.parse(this.state.uri);
    }

    private async ask(forPaper = false): Promise<CardAnswer | null | undefined> {
        const { card, embodied } = this.state;
        return ask(this.client, cardRequest, {
            uri: uriFor(this.client, this.uri),
            ...(card === undefined ? {} : { card }),
            ...(embodied === undefined ? {} : { embodied }),
            ...(forPaper ? { forPaper } : {}),
        });
    }

    private async forPaper(): Promise<CardAnswer | undefined> {
        const page = await this.ask(true);
        if (page && !page.isBroken) return page;
        void vscode.window.showWarningMessage(
            vscode.l10n.t(
                'The text cannot be read whole, so there is no card to print. Mend what Problems lists first.',
            ),
        );
        return undefined;
    }

    /** Of several answers under way only that to the last question is shown. */
    private async refresh(): Promise<void> {
        if (!this.isReady) return;
        const mine = ++this.asked;
        const { uri } = this.state;
        const answer = await this.ask();
        if (mine !== this.asked) return;
        // Of a text that never could be read whole there is no good page to keep.
        const hasPage = this.shown !== undefined && !this.shown.isBroken && this.shownUri === uri;
        if (!answer) {
            if (hasPage) return this.post({ kind: 'old', old: this.oldSaid(), says: notKnown() });
            return this.showNothing();
        }
        if (answer.isBroken && hasPage) return this.post({ kind: 'old', old: this.oldSaid(), says: answer.says });
        this.shown = answer;
        this.shownUri = uri;
        this.panel.title = answer.card;
        this.post({
            kind: 'show',
            ...partsOf(answer.html),
            ...this.around(answer),
            old: answer.isBroken
                ? vscode.l10n.t('The text cannot be read whole. This is what could be read of it.')
                : '',
        });
        const editor = vscode.window.visibleTextEditors.find(each => each.document.uri.toString() === uri);
        if (editor) this.textMoved(editor);
    }

    private around(answer: Pick<CardAnswer, 'card' | 'cards' | 'variants' | 'variant' | 'says'>) {
        const { card, cards, variant, says } = answer;
        const words = {
            card: vscode.l10n.t('Card'),
            variant: vscode.l10n.t('Aircraft'),
            lock: vscode.l10n.t('Lock'),
            unlock: vscode.l10n.t('Locked'),
        };
        const variants = answer.variants.map(each => each.says);
        return { card, cards, variants, variant, says, words, locked: this.state.locked, state: this.state };
    }

    private showNothing(): void {
        this.shown = undefined;
        const nothing = { card: '', cards: [], variants: [], variant: 0, says: notKnown() };
        const old = this.client.isRunning()
            ? vscode.l10n.t('There is no card in this file, and none that draws on it.')
            : vscode.l10n.t('The language server has not answered yet.');
        this.post({ kind: 'show', style: '', body: '', ...this.around(nothing), old });
    }

    private oldSaid(): string {
        return vscode.l10n.t(
            'Out of date: the text cannot be read whole. This is the card as of the last text that could be read.',
        );
    }

    private told(message: FromPage): void {
        switch (message.kind) {
            case 'ready':
                this.isReady = true;
                void this.refresh();
                return;
            case 'go':
                void goTo(this.uri, lineRange(message.line));
                return;
            case 'scrolled':
                this.textFollows(message.line);
                return;
            case 'card':
                this.state = { ...this.state, card: message.card, embodied: undefined };
                void this.refresh();
                return;
            case 'variant':
                this.state = { ...this.state, embodied: this.shown?.variants[message.variant]?.embodied };
                void this.refresh();
                return;
            case 'lock':
                this.setLocked(message.locked);
        }
    }

    private textFollows(line: number): void {
        if (this.state.locked) return;
        const editor = vscode.window.visibleTextEditors.find(each => each.document.uri.toString() === this.state.uri);
        this.followsUntil = Date.now() + 500;
        editor?.revealRange(lineRange(line), vscode.TextEditorRevealType.AtTop);
    }

    private textMoved(editor: vscode.TextEditor): void {
        if (this.state.locked || editor.document.uri.toString() !== this.state.uri) return;
        if (Date.now() < this.followsUntil) return;
        const top = editor.visibleRanges[0]?.start.line ?? 0;
        this.post({ kind: 'at', top: top === 0 ? 0 : top + 1, cursor: editor.selection.active.line + 1 });
    }

    private post(message: ToPage): void {
        void this.panel.webview.postMessage(message);
    }
}

const notKnown = (): string => vscode.l10n.t('not known');
const lineRange = (line: number): vscode.Range => new vscode.Range(Math.max(0, line - 1), 0, Math.max(0, line - 1), 0);
