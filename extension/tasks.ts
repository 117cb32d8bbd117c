import * as vscode from 'vscode';

/** `cotter check` on each folder, with the command that comes in the extension. */
export function registerTasks(context: vscode.ExtensionContext): vscode.Disposable[] {
    const command = vscode.Uri.joinPath(context.extensionUri, 'cotter.cjs').fsPath;
    const taskOf = (folder: vscode.WorkspaceFolder, definition: vscode.TaskDefinition): vscode.Task => {
        const path = typeof definition['path'] === 'string' ? definition['path'] : '.';
        // The editor's own Node: nothing needs to be installed beside it.
        const execution = new vscode.ProcessExecution(process.execPath, [command, 'check', path], {
            cwd: folder.uri.fsPath,
            env: { ELECTRON_RUN_AS_NODE: '1', NO_COLOR: '1' },
        });
        return new vscode.Task(definition, folder, vscode.l10n.t('check'), 'cotter', execution, ['$cotter']);
    };
    return [
        vscode.tasks.registerTaskProvider('cotter', {
            provideTasks: () => (vscode.workspace.workspaceFolders ?? []).map(each => taskOf(each, { type: 'cotter' })),
            resolveTask: ({ scope, definition }) => (typeof scope === 'object' ? taskOf(scope, definition) : undefined),
        }),
    ];
}
