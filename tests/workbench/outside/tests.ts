import assert from 'node:assert/strict';
import { limit, type Workbench } from './workbench.ts';

interface Around {
    textOf(path: string): string;
    picture(name: string): string;
}

const card = 'isolation-valve/card.cotter';
const mistaken = 'mistaken/boost-pumps.cotter';

const lineOf = (text: string, needle: string): number => {
    const offset = text.indexOf(needle);
    assert.notEqual(offset, -1, `no ${needle}`);
    return text.slice(0, offset).split('\n').length;
};

/** In this order, in one workbench. */
export const tests: Record<string, (workbench: Workbench, around: Around) => Promise<void>> = {
    async 'light, dark and high contrast'(it, { picture }) {
        const themes = [
            ['Light Modern', 'vs', 'light', 'vscode-light'],
            ['Dark Modern', 'vs-dark', 'dark', 'vscode-dark'],
            ['Default High Contrast', 'hc-black', 'high-contrast', 'vscode-high-contrast'],
            ['Default High Contrast Light', 'hc-light', 'high-contrast-light', 'vscode-high-contrast-light'],
        ] as const;
        for (const [name, mark, file, body] of themes) {
            await it.inTheme(name, mark, mistaken);
            await it.run('Cotter: Show Finished Card Beside');
            const frame = await it.card();
            await it.until('the colours on the card', async () => (await frame.$(`body.${body}`)) !== null);
            await it.until('the findings on the card', async () => (await frame.$('.finding.error')) !== null);
            const [ink, page] = (await frame.evaluate(
                `[getComputedStyle(document.querySelector('#paper h1')).color, getComputedStyle(document.body).backgroundColor]`,
            )) as [string, string];
            assert.ok(contrast(ink, page) >= 7, `${name}: ${ink} on ${page}`);
            await it.page.waitForSelector('.squiggly-error', { state: 'attached', timeout: limit });
            await new Promise(ok => setTimeout(ok, 1500));
            await it.page.screenshot({ path: picture(`${file}.jpg`), type: 'jpeg', quality: 72 });
        }
        await it.inTheme('Light Modern', 'vs', mistaken);
    },

    async 'a mistake that is typed stands in Problems with its code'(it, { textOf }) {
        await it.open(card);
        await it.toLine(lineOf(textOf(card), 'deck: close CB-217'));
        await it.press('End', 'Shift+Home');
        await it.type('deck: close CB-27');
        await it.press('Escape');
        await it.page.waitForSelector('.squiggly-error', { state: 'attached', timeout: limit });
        await it.press('Control+Shift+M');
        const row = it.page.locator('.markers-panel .monaco-list-row', { hasText: 'unknown-name' });
        await row.first().waitFor({ timeout: limit });
    },

    async 'its fix is made with keys alone'(it, { textOf }) {
        await it.toLine(lineOf(textOf(card), 'deck: close CB-217'));
        await it.press('End', 'ArrowLeft');
        const offered = it.page.locator('.action-widget .monaco-list-row', { hasText: 'CB-217' });
        await it.until('a fix', async () => {
            await it.press('Control+.');
            await offered.first().waitFor({ timeout: 5000 });
            return true;
        });
        await it.press('Enter');
        await it.until('the breaker by its name', async () => (await it.lines()).text.includes('deck: close CB-217'));
        await it.until('no error left', async () => (await it.page.locator('.squiggly-error').count()) === 0);
    },

    async 'Enter goes on with the same role, and twice is enough'(it, { textOf }) {
        await it.fresh(card);
        await it.toLine(lineOf(textOf(card), 'deck: close CB-217'));
        await it.press('End', 'Enter');
        await it.until('the role on a new line', async () =>
            /close CB-217\n\s+deck: *\n/.test((await it.lines()).text),
        );
        await it.press('Escape', 'Enter');
        await it.until('no role', async () => /close CB-217\n\s*\n/.test((await it.lines()).text));
    },

    async 'the live card follows typing, and keeps the last good page while a line is broken'(it, { textOf }) {
        await it.fresh(card);
        await it.press('Control+j');
        await it.run('Cotter: Show Finished Card Beside');
        let frame = await it.card();
        assert.match((await frame.textContent('#paper h1')) ?? '', /Isolation valve actuator/);
        const line = lineOf(textOf(card), 'Make the valve safe');
        await it.toLine(line);
        await it.press('End', 'Shift+Home');
        await it.type('step isolate "Make the valve quite safe" takes 10 min {');
        await it.press('Escape');
        frame = await it.card();
        await it.until('the new words on the card', async () =>
            ((await frame.textContent('#paper')) ?? '').includes('Make the valve quite safe'),
        );
        await it.press('End', 'Shift+Home');
        await it.type('step isolate "Make the valve unreadable" takes {');
        await it.press('Escape');
        await it.until('a word that it is out of date', async () =>
            /Out of date/.test((await frame.textContent('#old:not([hidden])').catch(() => '')) ?? ''),
        );
        assert.match((await frame.textContent('#paper')) ?? '', /Make the valve quite safe/);
        assert.doesNotMatch((await frame.textContent('#paper')) ?? '', /unreadable/);
        assert.match((await frame.textContent('#says')) ?? '', /^not known/);
        await it.press('End', 'Shift+Home');
        await it.type('step isolate "Make the valve safe" takes 10 min {');
        await it.press('Escape');
        await it.until('the card up to date', async () => await frame.isHidden('#old'));
    },

    async 'scrolling goes both ways, and a click on the card moves the cursor'(it, { textOf }) {
        const frame = await it.card();
        const scrolled = (): Promise<number> => frame.evaluate('window.scrollY');
        await it.press('Control+1', 'Control+Home');
        await it.until('the card at its top', async () => (await scrolled()) < 50);
        await it.press('Control+End');
        await it.until('the card further down', async () => (await scrolled()) > 300);
        // Back up on the card, with the wheel: the text comes along, and neither moves the other on and on.
        const box = await (await frame.$('#paper'))?.boundingBox();
        assert.ok(box);
        const before = (await it.lines()).first;
        await it.page.mouse.move(box.x + 150, 300);
        for (let n = 0; n < 12; n++) await it.page.mouse.wheel(0, -500);
        await it.until('the text further up', async () => (await it.lines()).first < before);
        await new Promise(ok => setTimeout(ok, 1500));
        const [rest, page] = [(await it.lines()).first, await scrolled()];
        await new Promise(ok => setTimeout(ok, 1500));
        assert.deepEqual([(await it.lines()).first, await scrolled()], [rest, page], 'it goes on by itself');

        const line = lineOf(textOf(card), 'deck: pull CB-217');
        await frame.click(`[data-line="${line}"] .what`);
        await it.until('the cursor at the line', async () => (await it.cursor()) === line);
    },

    async 'the variant is chosen on the card'(it) {
        const frame = await it.card();
        assert.doesNotMatch((await frame.textContent('#paper')) ?? '', /HYD 2 ISOL SHUT/);
        await frame.selectOption('#variant', { index: 1 });
        await it.until('the lamp of the modification', async () =>
            ((await frame.textContent('#paper')) ?? '').includes('HYD 2 ISOL SHUT'),
        );
    },

    async 'a restart restores the card, in the variant that was chosen'(it) {
        // The workbench writes down what it has to remember every few seconds.
        await new Promise(ok => setTimeout(ok, 8000));
        await it.open();
        const frame = await it.card();
        await it.until('the same variant', async () =>
            ((await frame.textContent('#paper')) ?? '').includes('HYD 2 ISOL SHUT'),
        );
    },

    async 'what is open here, at three places'(it, { textOf }) {
        await it.fresh(card);
        // Only rows that are seen are there: room for them.
        await it.page.locator('.pane-header[aria-label^="Explorer Section"]').click();
        await it.run('Cotter: Show What Is Open Here');
        const at = async (needle: string, holds: (rows: string) => boolean): Promise<void> => {
            await it.toLine(lineOf(textOf(card), needle));
            await it.until(`what is open at ${needle}`, async () => holds((await it.rows('Open Here')).join('\n')));
        };
        await at('tech: remove 147BL', rows => /CB-217.*PULLED, tagged/.test(rows) && !/P1/.test(rows));
        await at('tech: torque ACT', rows => /P1.*DISCONNECTED/.test(rows) && /147BL.*REMOVED/.test(rows));
        await at('tech: install 147BL', rows => !/P1/.test(rows) && /147BL.*REMOVED/.test(rows));
        assert.match((await it.rows('Open Here')).join('\n'), /Ways out from here/);
    },

    async 'the card is compared with the commit before, and a click opens both places'(it) {
        await it.run('Cotter: Compare Card with Revision');
        await it.choose('The first issue');
        await it.until('a change of the wait', async () => /3 min/.test((await it.rows('Card Changes')).join('\n')));
        const pane = it.page.locator('.pane:has(.pane-header[aria-label^="Card Changes"])');
        assert.match((await pane.textContent()) ?? '', /Worse \(T84-29-11-04\)/);
        await pane.locator('.monaco-list-row', { hasText: 'is now' }).first().click();
        await it.page.waitForSelector('.monaco-diff-editor', { timeout: limit });
        await it.press('Control+F4');
    },

    async 'the page of a check opens from Problems'(it) {
        await it.open(mistaken);
        await it.press('Control+Shift+M');
        const code = it.page.locator('.markers-panel a', { hasText: 'test-not-isolated' }).first();
        await code.waitFor({ timeout: limit });
        await code.click({ modifiers: ['Control'] });
        await it.until('the page as one reads it', async () => {
            for (const frame of it.page.frames()) {
                const text = await frame.textContent('body', { timeout: 500 }).catch(() => '');
                if (/What would happen|at the aircraft/i.test(text ?? '') && (await frame.$('h1'))) return true;
            }
            return false;
        });
        await it.press('Control+F4');
    },

    async 'the walkthrough opens the sample'(it) {
        await it.run('Welcome: Open Walkthrough');
        await it.choose('Write a task card that proves itself');
        const button = it.page
            .locator('.getting-started a, .getting-started button', { hasText: 'Open Sample Card' })
            .first();
        await button.waitFor({ timeout: limit });
        await button.click();
        await it.until('the sample', async () => (await it.lines()).text.includes('What a reader would miss'));
    },
};

/** As WCAG 2 has it, between two colours as a browser gives them. */
function contrast(one: string, two: string): number {
    const light = (colour: string): number => {
        const [r = 0, g = 0, b = 0] = (colour.match(/[\d.]+/g) ?? []).map(each => {
            const share = Number(each) / 255;
            return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
        });
        return 0.2126 * r + 0.7152 * g + 0.0722 * b;
    };
    const [dark = 0, bright = 0] = [light(one), light(two)].sort((a, b) => a - b);
    return (bright + 0.05) / (dark + 0.05);
}
