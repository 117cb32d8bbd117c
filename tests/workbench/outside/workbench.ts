/** A workbench as a person has it: what is seen, and keys. */
import type { Frame, Page } from 'playwright-core';
import type { Host } from '../host.ts';

export class Workbench {
    readonly page: Page;
    private readonly host: Host;
    private readonly folder: string;

    constructor(page: Page, host: Host, folder: string) {
        this.page = page;
        this.host = host;
        this.folder = folder;
    }

    /** The page of the folder, with a file shown; what was open before is open again. */
    async open(path?: string): Promise<void> {
        const wanted = path ? [['openFile', this.host.uri(`${this.folder}/${path}`)]] : [];
        const payload = JSON.stringify([...wanted, ['skipWelcome', 'true']]);
        await this.page.goto(`${this.host.url}?${new URLSearchParams({ folder: this.folder, payload })}`);
        await this.page.waitForSelector('.monaco-workbench .view-line', { timeout: limit });
    }

    /** The same, as it stands on the disk. */
    async fresh(path: string): Promise<void> {
        await this.open(path);
        await this.press('Control+1');
        await this.run('File: Revert File');
        await this.until('nothing unsaved', async () => (await this.page.locator('.tab.active.dirty').count()) === 0);
    }

    async inTheme(name: string, mark: string, path: string): Promise<void> {
        this.host.settings({ 'workbench.colorTheme': name });
        await this.open(path);
        await this.page.waitForSelector(`.monaco-workbench.${mark}`, { timeout: limit });
    }

    async press(...keys: string[]): Promise<void> {
        for (const each of keys) await this.page.keyboard.press(each);
    }

    async type(text: string): Promise<void> {
        await this.page.keyboard.type(text, { delay: 15 });
    }

    async run(command: string): Promise<void> {
        await this.press('F1');
        await this.page.waitForSelector('.quick-input-widget:visible', { timeout: limit });
        await this.type(command);
        const row = this.page.locator('.quick-input-list .monaco-list-row', { hasText: command }).first();
        await row.waitFor({ timeout: limit });
        await row.click();
    }

    /** Chooses a row of a list that has come up. */
    async choose(text: string): Promise<void> {
        const row = this.page.locator('.quick-input-list .monaco-list-row', { hasText: text }).first();
        await row.waitFor({ timeout: limit });
        await row.click();
    }

    /** To a line of the text in the first group, 1-based. */
    async toLine(line: number): Promise<void> {
        await this.until(`the cursor in line ${line}`, async () => {
            await this.press('Control+1');
            await new Promise(ok => setTimeout(ok, 300));
            await this.press('Control+g');
            await this.page.waitForSelector('.quick-input-widget:visible', { timeout: 5000 });
            await this.type(String(line));
            await this.press('Enter');
            await this.until('the line', async () => (await this.cursor()) === line, 5000);
            return true;
        });
    }

    async cursor(): Promise<number> {
        const text = await this.page.locator('#status\\.editor\\.selection').textContent();
        return Number(/\d+/.exec(text ?? '')?.[0]);
    }

    /** The lines that the first group shows. */
    async lines(): Promise<{ readonly first: number; readonly text: string }> {
        const editor = this.page.locator('.editor-group-container .monaco-editor').first();
        const numbers = await editor.locator('.line-numbers').allTextContents();
        // Lines stand in the page in the order in which they were drawn.
        const drawn = await editor
            .locator('.view-line')
            .evaluateAll(all =>
                all.map(each => ({ top: Number.parseFloat(each.style.top), text: each.textContent ?? '' })),
            );
        const text = drawn
            .sort((one, two) => one.top - two.top)
            .map(each => each.text)
            .join('\n')
            .replaceAll('\u00a0', ' ');
        return { first: Math.min(...numbers.map(Number).filter(each => each > 0)), text };
    }

    /** The live card's own page. */
    async card(): Promise<Frame> {
        let found: Frame | undefined;
        await this.until('the live card', async () => {
            for (const frame of this.page.frames()) {
                if ((await frame.$('#paper h1').catch(() => null)) === null) continue;
                found = frame;
            }
            return found !== undefined;
        });
        return found as Frame;
    }

    async rows(view: string): Promise<string[]> {
        return this.page.locator(`.pane:has(.pane-header[aria-label^="${view}"]) .monaco-list-row`).allTextContents();
    }

    async until(what: string, holds: () => Promise<boolean>, time = limit): Promise<void> {
        const end = Date.now() + time;
        let last: unknown;
        while (Date.now() < end) {
            try {
                if (await holds()) return;
            } catch (error) {
                last = error;
            }
            await new Promise(ok => setTimeout(ok, 150));
        }
        throw new Error(`never: ${what}${last ? ` (${last})` : ''}`);
    }
}

/** Machines that run tests are slow. */
export const limit = 45_000;
