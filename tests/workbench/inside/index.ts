/** Loaded by the extension host: rejects when a test failed, and when none ran. */
import { writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';

export async function run(): Promise<void> {
    const Mocha: typeof import('mocha') = createRequire(join(process.env['COTTER_KIT'] ?? '', 'package.json'))('mocha');
    const mocha = new Mocha({ ui: 'tdd', color: false, timeout: 60_000 });
    mocha.suite.emit('pre-require', globalThis, '', mocha);
    await import('./findings.js');
    await import('./house.js');
    const { stats, failures } = await new Promise<{ stats: Mocha.Stats; failures: number }>(ok => {
        const runner = mocha.run(count => ok({ stats: runner.stats as Mocha.Stats, failures: count }));
    });
    console.log(`${stats.passes} passed, ${stats.failures} failed, ${stats.pending} skipped`);
    writeFileSync(process.env['COTTER_COUNTS'] ?? '', JSON.stringify(stats));
    if (failures > 0 || stats.passes === 0) throw new Error(`${failures} tests failed`);
}
