/**
 * Stands in for the program of a desktop VS Code: takes its arguments, runs the test module in the extension host of the npm one, and exits 0 only if it passed.
 * The module must also print "N passed, N failed": an exit code alone would be 0 when a test ends the extension host.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { format, parseArgs } from 'node:util';
import { launchBrowser, startHost } from './host.ts';

// What the workbench itself says on the same channel; kept for the log, not printed.
const noise =
    /^(Ignoring fetching|Creating a socket|Resolv(ing|ed) connection|Updating additional builtin|No search provider|An unknown error occurred\. Please consult|\[(Service Worker|AccountPolicyGate|AgentHost|DefaultAccount|reconnection-grace-time))|\/static\/out\/vs\/code\/browser\//;
const limit = 400;

const { values, positionals } = parseArgs({
    strict: false,
    allowPositionals: true,
    options: { extensionTestsPath: { type: 'string' }, extensionDevelopmentPath: { type: 'string' } },
});
const [folder] = positionals;
const { COTTER_VSIX: vsix = '', COTTER_ARTIFACTS: artifacts = '' } = process.env;

const said: string[] = [];
const host = await startHost(vsix);
const browser = await launchBrowser();
try {
    const page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
    console.log(`host: ${host.version}, Chromium ${browser.version()}`);
    let done: (code: number) => void = () => {};
    const code = new Promise<number>((ok, fail) => {
        done = ok;
        setTimeout(() => fail(new Error(`no result in ${limit} s`)), limit * 1000).unref();
        page.on('crash', () => fail(new Error('the page of the workbench crashed')));
        void host.exited.then(how => fail(new Error(`the server ended (${how})`)));
    });
    await page.exposeFunction('codeAutomationExit', (exit: number) => done(exit));
    await page.exposeFunction('codeAutomationLog', (type: string, args: unknown[]) => {
        const line = format(...args);
        said.push(`[${type}] ${line}`);
        if (!noise.test(line)) console.log(line);
    });
    const payload = JSON.stringify([
        ['extensionDevelopmentPath', host.uri(String(values['extensionDevelopmentPath']))],
        ['extensionTestsPath', host.uri(String(values['extensionTestsPath']))],
        ['skipWelcome', 'true'],
    ]);
    const query = new URLSearchParams({ ...(folder ? { folder } : { ew: 'true' }), payload });
    await page.goto(`${host.url}?${query}`);
    const counts =
        (await code) === 0 ? said.map(each => /(\d+) passed, (\d+) failed/.exec(each)).findLast(Boolean) : null;
    if (!counts || Number(counts[1]) === 0 || counts[2] !== '0') throw new Error('the suite did not pass');
} catch (error) {
    console.error(error instanceof Error ? error.message : error);
    mkdirSync(artifacts, { recursive: true });
    writeFileSync(join(artifacts, 'inside.log'), `${said.join('\n')}\n--- server ---\n${host.log()}`);
    process.exitCode = 1;
} finally {
    await browser.close().catch(() => {});
    await host.stop();
}
process.exit();
