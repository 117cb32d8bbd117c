import { execFileSync } from 'node:child_process';
import AxeBuilder from '@axe-core/playwright';
import { afterAll, describe, expect, test } from 'vitest';
import { renderEquipmentSheet } from '../../../language/html/index.js';
import { find } from '../../../server/build/needs.js';
import { type Opener, startBrowser } from '../finished-card/browser.js';
import { large, projects, sheetNamed } from './sheets.js';

const [sample = []] = projects;
const sheet = sheetNamed(sample, 'Hyd2', 'with M29-14');
const page = renderEquipmentSheet(sheet);

const opener = await startBrowser();
afterAll(() => opener?.close());

if (opener) inBrowser(opener);
else test('without a browser pages are not tried', () => expect(find('chromium')).toBeUndefined());

function inBrowser(browser: Opener): void {
    test.each([
        ['light', { colorScheme: 'light' }],
        ['dark', { colorScheme: 'dark' }],
        ['high contrast', { forcedColors: 'active' }],
        ['narrow', { viewport: { width: 360, height: 700 } }],
    ] as const)('has nothing that axe objects to: %s', async (_, options) => {
        const open = await browser.open(page, options);
        const { violations } = await new AxeBuilder({ page: open }).analyze();
        expect(violations.map(({ id, nodes }) => `${id}: ${nodes.map(node => node.html).join(' ')}`)).toEqual([]);
        await open.context().close();
    });

    test('asks for nothing, and is never wider than a narrow window', async () => {
        browser.asked.length = 0;
        const open = await browser.open(page, { viewport: { width: 360, height: 700 } });
        expect(await open.evaluate('document.documentElement.scrollWidth')).toBe(360);
        expect(browser.asked).toEqual([]);
        await open.context().close();
    });

    test('lines and boxes of the drawing stand out from the page in the dark and in high contrast', async () => {
        for (const options of [{ colorScheme: 'dark' }, { forcedColors: 'active', colorScheme: 'dark' }] as const) {
            const open = await browser.open(page, options);
            const [ground, ...inks] = (await open.evaluate(
                `[getComputedStyle(document.querySelector('.box rect')).fill, ...['.box rect', '.wire'].map(each => getComputedStyle(document.querySelector(each)).stroke), getComputedStyle(document.querySelector('.box text')).fill]`,
            )) as string[];
            for (const ink of inks) expect(contrast(ink, ground ?? '')).toBeGreaterThan(7);
            await open.context().close();
        }
    });

    test('no word of the drawing runs out of its box', async () => {
        const open = await browser.open(page);
        const over = `[...document.querySelectorAll('.box')].flatMap(box => { const r = box.querySelector('rect').getBoundingClientRect();
            return [...box.querySelectorAll('text')].filter(t => t.getBoundingClientRect().right > r.right + 1).map(t => t.textContent); })`;
        expect(await open.evaluate(over)).toEqual([]);
        await open.context().close();
    });

    const reader = find('pdftotext');
    if (!reader) return;
    describe.each(['A4', 'Letter'] as const)('on %s', format => {
        const print = async (html: string): Promise<string[]> => {
            const open = await browser.open(html);
            const pdf = await open.pdf({ format, preferCSSPageSize: true });
            await open.context().close();
            const text = execFileSync(reader, ['-layout', '-', '-'], {
                input: pdf,
                encoding: 'utf8',
                maxBuffer: 1 << 26,
            });
            return text.split('\f').slice(0, -1);
        };

        test.each([
            ['the sample', page, 'Hyd2', sheet.digest, 'with M29-14'],
            [
                'a long equipment',
                renderEquipmentSheet(sheetNamed(large(120), 'Large')),
                'Large',
                sheetNamed(large(120), 'Large').digest,
                '',
            ],
        ])(
            '%s has head, page number and the line that it is not approved on every page',
            async (_, html, name, digest, variant) => {
                const sheets = await print(html);
                expect(sheets.length).toBeGreaterThan(3);
                for (const [index, each] of sheets.entries()) {
                    expect(each).toMatch(new RegExp(`Equipment sheet\\s+·\\s+${name}\\s+·\\s+text digest ${digest}`));
                    expect(each).toContain(variant);
                    expect(each).toContain(`Page ${index + 1} of ${sheets.length}`);
                    expect(each).toContain(
                        "Not approved data: the manufacturer's current instructions take precedence.",
                    );
                }
            },
        );

        test('carries the caution word for word', async () => {
            const [first] = await print(page);
            expect(first?.replace(/\s+/g, ' ')).toContain(sheet.caution);
        });
    });
}

/** WCAG 2.2, contrast ratio of two colours written rgb(r, g, b). */
function contrast(one: string, other: string): number {
    const light = (colour: string): number => {
        const [r = 0, g = 0, b = 0] = (colour.match(/[\d.]+/g) ?? []).map(each => {
            const part = Number(each) / 255;
            return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
        });
        return 0.2126 * r + 0.7152 * g + 0.0722 * b;
    };
    const [high = 0, low = 0] = [light(one), light(other)].sort((a, b) => b - a);
    return (high + 0.05) / (low + 0.05);
}
