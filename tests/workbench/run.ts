/** `npm run workbench [inside|outside]`: both suites against the installed VSIX, in a real workbench. The last line of each is its count. */
import { execFileSync } from 'node:child_process';
import { chmodSync, cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { runTests } from '@vscode/test-electron';
import { outside } from './outside/run.ts';

export interface Counts {
    readonly passed: number;
    readonly failed: number;
}

const artifacts = resolve('dist/workbench');
const vsix = resolve('dist/cotter.vsix');

/** A folder with the examples and one card with a mistake, with a history and a branch. */
function folder(): string {
    const root = mkdtempSync(join(tmpdir(), 'cards-'));
    cpSync('examples/northlight', root, { recursive: true });
    cpSync('examples/faulty/isolation', join(root, 'mistaken'), { recursive: true });
    const git = (...args: string[]): unknown =>
        execFileSync('git', ['-c', 'user.name=Tests', '-c', 'user.email=tests@example.invalid', ...args], {
            cwd: root,
        });
    const put = (path: string, change: (text: string) => string): void => {
        const text = readFileSync(join(root, path), 'utf8');
        const now = change(text);
        if (now === text) throw new Error(`nothing changed in ${path}`);
        writeFileSync(join(root, path), now);
    };
    const commit = (message: string): unknown => git('commit', '-q', '-a', '-m', message);
    git('init', '-q', '-b', 'main');
    put('isolation-valve/card.cotter', text => text.replace('wait 90 s', 'wait 3 min'));
    git('add', '.');
    commit('The first issue');
    put('isolation-valve/card.cotter', text => text.replace('wait 3 min', 'wait 90 s'));
    commit('Wait as long as the rule asks');
    git('checkout', '-q', '-b', 'with-a-mistake');
    put('isolation-valve/card.cotter', text => text.replace(/^.*deck: close CB-217.*$/m, ''));
    commit('Leave a line out');
    git('checkout', '-q', 'main');
    return root;
}

async function inside(root: string): Promise<Counts> {
    const counts = join(artifacts, 'inside.json');
    rmSync(counts, { force: true });
    const shim = join(import.meta.dirname, 'shim.sh');
    chmodSync(shim, 0o755);
    try {
        await runTests({
            vscodeExecutablePath: shim,
            extensionDevelopmentPath: join(import.meta.dirname, 'inside/empty'),
            extensionTestsPath: resolve('dist/workbench/inside.cjs'),
            launchArgs: [root],
            extensionTestsEnv: {
                COTTER_NODE: process.execPath,
                COTTER_VSIX: vsix,
                COTTER_ARTIFACTS: artifacts,
                COTTER_COUNTS: counts,
            },
        });
        return counted(counts);
    } catch (error) {
        console.error(error instanceof Error ? error.message : error);
        const { passed, failed } = counted(counts);
        return { passed, failed: Math.max(1, failed) };
    }
}

function counted(path: string): Counts {
    try {
        const { passes, failures } = JSON.parse(readFileSync(path, 'utf8'));
        return { passed: passes, failed: failures };
    } catch {
        return { passed: 0, failed: 0 };
    }
}

mkdirSync(artifacts, { recursive: true });
const only = process.argv[2];
const suites = { inside, outside: (root: string) => outside(root, vsix, artifacts) };
const total = { passed: 0, failed: 0 };
for (const [name, suite] of Object.entries(suites)) {
    if (only && only !== name) continue;
    const root = folder();
    const { passed, failed } = await suite(root);
    console.log(`workbench, ${name}: ${passed} passed, ${failed} failed`);
    total.passed += passed;
    total.failed += failed;
    rmSync(root, { recursive: true, force: true });
}
writeFileSync(join(artifacts, 'counts.json'), JSON.stringify(total));
process.exit(total.failed === 0 && total.passed > 0 ? 0 : 1);
