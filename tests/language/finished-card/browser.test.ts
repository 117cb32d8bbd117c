import { execFileSync } from 'node:child_process';
import AxeBuilder from '@axe-core/playwright';
import { afterAll, describe, expect, test } from 'vitest';
import { renderFinishedCard, renderIndex } from '../../../language/html/index.js';
import { contentsOf, contentsWithoutPage, finishedCard } from '../../../language/readers/finished-card/index.js';
import { find } from '../../../server/build/needs.js';
import { type Opener, startBrowser } from './browser.js';
import { longCard } from './long.js';
import { made } from './made.js';

const { judged, status } = made();
const card = finishedCard(judged, status, '6f2c-91ab');
const pages = new Map([
    ['the finished card', renderFinishedCard(card)],
    ['the index', renderIndex([contentsOf(card, 'T0.html'), contentsWithoutPage({ ...status, name: 'T9' })])],
]);

const opener = await startBrowser();
afterAll(() => opener?.close());

if (opener) {
    inBrowser(opener);
    const reader = find('pdftotext');
    if (reader) onPaper(opener, reader);
} else {
    test('without a browser pages are not tried', () => expect(find('chromium')).toBeUndefined());
}

function inBrowser(browser: Opener): void {
    describe.each([...pages.keys()])('%s in a browser', name => {
        const html = pages.get(name) as string;

        test.each([
            ['light', { colorScheme: 'light' }],
            ['dark', { colorScheme: 'dark' }],
            ['high contrast', { forcedColors: 'active' }],
            ['narrow', { viewport: { width: 360, height: 700 } }],
        ] as const)('has nothing that axe objects to: %s', async (_, options) => {
            const page = await browser.open(html, options);
            const { violations } = await new AxeBuilder({ page }).analyze();
            expect(violations.map(({ id, nodes }) => `${id}: ${nodes.map(node => node.html).join(' ')}`)).toEqual([]);
            await page.context().close();
        });

        test('asks for nothing', async () => {
            browser.asked.length = 0;
            const page = await browser.open(html);
            await page.waitForTimeout(200);
            expect(browser.asked).toEqual([]);
            await page.context().close();
        });

        test('is never wider than a narrow window', async () => {
            const page = await browser.open(html, { viewport: { width: 360, height: 700 } });
            expect(await page.evaluate('document.documentElement.scrollWidth')).toBe(360);
            const over = `[...document.querySelectorAll('.what *:not(.unseen)')].filter(each =>
                each.getBoundingClientRect().right > each.closest('.what').getBoundingClientRect().right + 1).length`;
            expect(await page.evaluate(over)).toBe(0);
            await page.context().close();
        });
    });

    test('a screen reader is told of every blank, and of the line that it belongs to in order', async () => {
        const page = await browser.open(pages.get('the finished card') as string);
        const tree = await page.locator('#line-1-13').ariaSnapshot();
        expect(tree).toMatch(
            /1\.13[\s\S]*Technician[\s\S]*Torque the pump to[\s\S]*Value[\s\S]*to be written[\s\S]*Initials: to be written/,
        );
        await page.context().close();
    });

    test('bars of change stand in one column inside the page on paper, however deep the line', async () => {
        const keys = judged.plan.events.map(each => each.key);
        const marks = { keys, alerts: [], steps: ['1'], parts: ['roles'] };
        const since = { revision: 'v1', says: 'Different.', changes: [], marks };
        // Lines of a block without events of their own are given some, so that every depth has a bar.
        const given = <T>(value: T): T => {
            if (Array.isArray(value)) return value.map(given) as T;
            if (typeof value !== 'object' || value === null) return value;
            const made = Object.fromEntries(Object.entries(value).map(([name, each]) => [name, given(each)]));
            return ('keys' in made && 'blocks' in made ? { ...made, keys } : made) as T;
        };
        const page = await browser.open(renderFinishedCard(given(card), since));
        await page.emulateMedia({ media: 'print' });
        const left = `[...document.querySelectorAll('.changed')].map(each =>
            each.getBoundingClientRect().left + parseFloat(getComputedStyle(each, '::after').left))`;
        const found = (await page.evaluate(left)) as number[];
        expect(found.length).toBeGreaterThan(20);
        expect(await page.evaluate(`document.querySelectorAll('.block .block .changed').length`)).toBeGreaterThan(0);
        expect(Math.min(...found)).toBeGreaterThanOrEqual(0);
        expect(Math.max(...found) - Math.min(...found)).toBeLessThan(3);
        await page.context().close();
    });

    test('safety panels keep their colours on paper and say their word', async () => {
        const page = await browser.open(pages.get('the finished card') as string);
        await page.emulateMedia({ media: 'print' });
        const found = await page.evaluate(
            `(e => { const s = getComputedStyle(e); return [e.textContent, s.color, s.backgroundColor, s.printColorAdjust]; })(document.querySelector('.alert.warning > .signal'))`,
        );
        expect(found).toEqual(['WARNING', 'rgb(0, 0, 0)', 'rgb(255, 121, 0)', 'exact']);
        await page.context().close();
    });
}

function onPaper(browser: Opener, reader: string): void {
    describe.each(['A4', 'Letter'] as const)('the finished card on %s', format => {
        const print = async (html: string): Promise<string[]> => {
            const page = await browser.open(html);
            const pdf = await page.pdf({ format, preferCSSPageSize: true });
            await page.context().close();
            const text = execFileSync(reader, ['-layout', '-', '-'], {
                input: pdf,
                encoding: 'utf8',
                maxBuffer: 1 << 26,
            });
            return text.split('\f').slice(0, -1);
        };

        test('has head, page number and the line that it is not approved on every page', async () => {
            const sheets = await print(pages.get('the finished card') as string);
            expect(sheets.length).toBeGreaterThan(1);
            for (const [index, sheet] of sheets.entries()) {
                expect(sheet).toContain('T0 · Revision 3 · 1 October 2026 · with M7, without M8');
                expect(sheet).toContain(`Page ${index + 1} of ${sheets.length}`);
                expect(sheet).toContain("Not approved data: the manufacturer's current instructions take precedence.");
                expect(sheet).toMatch(/Text\s+digest\s+6f2c-91ab/);
            }
        });

        test('never parts the signatures', { timeout: 600_000 }, async () => {
            const [step] = longCard(1).steps;
            if (!step) throw new Error('no step');
            // Ten lengths over a page: at one of them a table of five rows comes to stand at its end.
            for (let count = 5; count <= 50; count += 5) {
                const lines = Array.from({ length: count }, () => step.lines.slice(0, 1)).flat();
                const sheets = await print(renderFinishedCard({ ...card, steps: [{ ...step, lines }] }));
                const last = sheets.find(sheet => sheet.includes('Licence and kind'));
                for (const words of ['Signatures', 'Approves the work', ...card.persons.map(each => each.label)])
                    expect(last).toContain(words);
            }
        });

        test('carries the caution word for word', async () => {
            const [first] = await print(pages.get('the finished card') as string);
            expect(first?.replace(/\s+/g, ' ')).toContain(card.caution);
        });

        test('never parts an alert from its line, a heading from its step, or a hold from its signature', async () => {
            const count = 40;
            const sheets = await print(renderFinishedCard(longCard(count)));
            expect(sheets.length).toBeGreaterThan(8);
            const on = (word: string): number => {
                const found = sheets.flatMap((sheet, index) => (new RegExp(`${word}\\b`).test(sheet) ? [index] : []));
                expect(found, word).toHaveLength(1);
                return found[0] as number;
            };
            for (let at = 1; at <= count; at++) {
                const together = [
                    [`Title${at}`, `Warning${at}`, `Caution${at}`, `First${at}`],
                    [...(at % 2 ? [`Before${at}`] : []), `Look${at}`, `Inside${at}`],
                    [`Hold${at}`, `Signature${at}`],
                ];
                for (const words of together) expect(new Set(words.map(on)).size, words.join(' ')).toBe(1);
            }
        });
    });
}
