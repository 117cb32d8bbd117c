import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { type Browser, type BrowserContextOptions, chromium, type Page } from 'playwright-core';
import { find } from '../../../server/build/needs.js';

/** A browser for finished pages, or nothing where there is none; `npm test` says so in a line of its own. */
export async function startBrowser(): Promise<Opener | undefined> {
    const executablePath = find('chromium');
    if (!executablePath) return undefined;
    const browser = await chromium.launch({ executablePath, args: ['--no-sandbox'] });
    return new Opener(browser);
}

export class Opener {
    /** Everything that any page asked for besides itself. */
    readonly asked: string[] = [];
    readonly #browser: Browser;
    readonly #folder = mkdtempSync(join(tmpdir(), 'cotter-page-'));
    #count = 0;

    constructor(browser: Browser) {
        this.#browser = browser;
    }

    /** Opens the page from a file, as a reader would, and refuses it anything else. */
    async open(html: string, options: BrowserContextOptions = {}): Promise<Page> {
        const file = join(this.#folder, `${this.#count++}.html`);
        writeFileSync(file, html);
        const address = pathToFileURL(file).href;
        const context = await this.#browser.newContext(options);
        await context.route('**/*', route => {
            if (route.request().url() === address) return route.continue();
            this.asked.push(route.request().url());
            return route.abort();
        });
        const page = await context.newPage();
        page.on('console', message => this.asked.push(`console: ${message.text()}`));
        await page.goto(address);
        return page;
    }

    async close(): Promise<void> {
        await this.#browser.close();
        rmSync(this.#folder, { recursive: true, force: true });
    }
}
