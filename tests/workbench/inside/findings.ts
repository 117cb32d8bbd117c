import assert from 'node:assert/strict';
import * as vscode from 'vscode';
import { codeOf, eventually, file, findingsOf, place, replace, revert, show } from './at-hand.js';

const card = 'isolation-valve/card.cotter';
const subtask = 'isolation-valve/drive-alone.cotter';

suite('findings', () => {
    teardown(revert);

    test('the installed extension is active, and a clean card has none', async () => {
        const extension = vscode.extensions.getExtension('cotter-lang.cotter');
        assert.ok(extension, 'the VSIX is not installed');
        await extension.activate();
        await show(card);
        await eventually(
            () => vscode.commands.executeCommand<vscode.CodeLens[]>('vscode.executeCodeLensProvider', file(card)),
            lenses => lenses.some(each => each.command?.title.startsWith('clean')),
        );
        assert.deepEqual(findingsOf(card), []);
    });

    test('come while typing, with the page of their check, and go with the mistake', async () => {
        const editor = await show(card);
        await replace(editor, 'deck: close CB-217', '');
        // It stands where the breaker was pulled, which is in another file.
        const [finding] = await eventually(
            () => findingsOf(subtask),
            found => found.some(each => codeOf(each) === 'breaker-left-pulled'),
        );
        assert.ok(finding && typeof finding.code === 'object');
        assert.equal(finding.code.target.toString(), 'cotter-check:/breaker-left-pulled.md');
        const page = await vscode.workspace.openTextDocument(finding.code.target);
        assert.match(page.getText(), /^# /);
        assert.equal(page.languageId, 'markdown');
        await vscode.commands.executeCommand('undo');
        await eventually(
            () => findingsOf(subtask),
            found => found.length === 0,
        );
    });

    test('come in the other files that a change affects', async () => {
        const editor = await show(subtask);
        await replace(editor, 'deck: ensure other is PULLED and tag', '');
        await eventually(
            () => findingsOf(card),
            found => found.some(each => codeOf(each) === 'test-not-isolated'),
        );
    });

    test('are back after the server was started again', async () => {
        const editor = await show(card);
        await replace(editor, 'deck: close CB-217', 'deck: close CB-21');
        await eventually(
            () => findingsOf(card),
            found => found.some(each => codeOf(each) === 'unknown-name'),
        );
        await vscode.commands.executeCommand('cotter.restartServer');
        await eventually(
            () => findingsOf(card),
            found => found.some(each => codeOf(each) === 'unknown-name'),
        );
    });
});

suite('names', () => {
    test('are renamed in every file', async () => {
        const editor = await show('aircraft/ground-power.cotter');
        const edit = await eventually(
            () =>
                vscode.commands.executeCommand<vscode.WorkspaceEdit>(
                    'vscode.executeDocumentRenameProvider',
                    editor.document.uri,
                    place(editor, 'EXT-PWR', 1),
                    'GROUND-PWR',
                ),
            found => (found?.size ?? 0) > 0,
        );
        assert.ok(edit.size >= 5, `only ${edit.size} files`);
        assert.ok(await vscode.workspace.applyEdit(edit));
        const texts = await Promise.all(edit.entries().map(([uri]) => vscode.workspace.openTextDocument(uri)));
        for (const each of texts) assert.doesNotMatch(each.getText(), /\bEXT-PWR\b/);
        // Nothing is saved: what stands on the disk stays.
        for (const each of texts) {
            await vscode.window.showTextDocument(each);
            await revert();
        }
    });
});
