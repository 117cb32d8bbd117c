/** Drives the workbench with the installed VSIX as a person does, with keys and clicks, and takes the pictures of the README. */
import { mkdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { launchBrowser, startHost } from '../host.ts';
import type { Counts } from '../run.ts';
import { tests } from './tests.ts';
import { Workbench } from './workbench.ts';

export async function outside(root: string, vsix: string, artifacts: string): Promise<Counts> {
    const host = await startHost(vsix);
    const browser = await launchBrowser();
    const counts = { passed: 0, failed: 0 };
    try {
        const context = await browser.newContext({ viewport: { width: 1440, height: 900 } });
        await context.grantPermissions(['clipboard-read', 'clipboard-write']);
        const page = await context.newPage();
        console.log(`host: ${host.version}, Chromium ${browser.version()}`);
        mkdirSync(artifacts, { recursive: true });
        const workbench = new Workbench(page, host, root);
        const textOf = (path: string): string => readFileSync(join(root, path), 'utf8');
        for (const [name, test] of Object.entries(tests)) {
            const start = Date.now();
            try {
                await test(workbench, { textOf, picture: file => join(artifacts, file) });
                counts.passed++;
                console.log(`  ok      ${name} (${((Date.now() - start) / 1000).toFixed(1)} s)`);
            } catch (error) {
                counts.failed++;
                console.log(`  FAILED  ${name}: ${error instanceof Error ? error.message : error}`);
                await page.screenshot({ path: join(artifacts, `failed-${counts.failed}.png`) }).catch(() => {});
            }
        }
    } catch (error) {
        counts.failed++;
        console.error(error instanceof Error ? error.message : error, host.log().slice(-2000));
    } finally {
        await browser.close().catch(() => {});
        await host.stop();
    }
    return counts;
}
