import * as vscode from 'vscode';

/** What is used of the built-in git extension. */
export interface Repository {
    readonly rootUri: vscode.Uri;
    log(options: { maxEntries: number; path?: string }): Promise<readonly Commit[]>;
    getRefs(query: object): Promise<readonly { readonly name?: string; readonly commit?: string }[]>;
}

interface Commit {
    readonly hash: string;
    readonly message: string;
    readonly authorName?: string;
    readonly authorDate?: Date;
}

interface Git {
    getRepository(uri: vscode.Uri): Repository | null;
    toGitUri(uri: vscode.Uri, ref: string): vscode.Uri;
}

/** Undefined where there is no git, or its extension is switched off. */
export async function git(): Promise<Git | undefined> {
    const extension = vscode.extensions.getExtension<{ enabled: boolean; getAPI(version: 1): Git }>('vscode.git');
    const exports = await extension?.activate();
    return exports?.enabled ? exports.getAPI(1) : undefined;
}
