import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import * as vscode from 'vscode';
import { codeOf, eventually, file, findingsOf } from './at-hand.js';

suite('the folder', () => {
    test('a branch with other texts brings its findings, and the way back takes them away', async () => {
        const cwd = file('.').fsPath;
        const subtask = 'isolation-valve/drive-alone.cotter';
        execFileSync('git', ['checkout', '-q', 'with-a-mistake'], { cwd });
        try {
            await eventually(
                () => findingsOf(subtask),
                found => found.length > 0,
            );
        } finally {
            execFileSync('git', ['checkout', '-q', 'main'], { cwd });
        }
        await eventually(
            () => findingsOf(subtask),
            found => found.length === 0,
        );
    });

    test('is checked by a task, whose findings are problems', async () => {
        const tasks = await vscode.tasks.fetchTasks({ type: 'cotter' });
        const [task] = tasks;
        assert.ok(task, 'no task');
        const ended = new Promise<number | undefined>(ok => {
            const listener = vscode.tasks.onDidEndTaskProcess(({ execution, exitCode }) => {
                if (execution.task.name !== task.name) return;
                listener.dispose();
                ok(exitCode);
            });
        });
        await vscode.tasks.executeTask(task);
        assert.equal(await ended, 1, 'the folder holds one card with a mistake');
        await eventually(
            () => vscode.languages.getDiagnostics(file('mistaken/boost-pumps.cotter')).map(codeOf),
            codes => codes.filter(each => each === 'test-not-isolated').length >= 1,
        );
    });
});
