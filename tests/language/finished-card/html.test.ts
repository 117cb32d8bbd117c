import { HtmlValidate } from 'html-validate';
import { describe, expect, test } from 'vitest';
import { cssString, html, style } from '../../../language/html/html.js';
import { renderFinishedCard, renderIndex } from '../../../language/html/index.js';
import { contentsOf, contentsWithoutPage, finishedCard } from '../../../language/readers/finished-card/index.js';
import { made } from './made.js';

const hostile = `<script>alert("&'")</script></style><!--\\ {}`;

function pageOf(text?: (plain: string) => string) {
    const { judged, status } = made(text);
    return finishedCard(judged, status, '6f2c-91ab');
}
const bad = pageOf(plain => (plain.trim() ? hostile + plain : plain));
const pages = [
    ['a card', renderFinishedCard(pageOf())],
    ['a card whose every text is hostile', renderFinishedCard(bad)],
    ['a card with nothing in it', renderFinishedCard(empty())],
    ['an index', renderIndex([contentsOf(pageOf(), 'T0.html'), contentsWithoutPage({ ...made().status, name: 'T9' })])],
    ['an index whose every text is hostile', renderIndex([{ ...contentsOf(bad, hostile), number: hostile }])],
    ['an index of nothing', renderIndex([])],
] as const;

function empty() {
    const { judged, status } = made();
    const nothing = { tools: [], spares: [], materials: [], after: [], accepts: [], unknown: [] };
    const page = { ...judged.plan.page, steps: [], start: [], finish: [], alerts: [], breakers: [] };
    return finishedCard(
        { ...judged, plan: { ...judged.plan, ...nothing, roles: [], steps: [], page } },
        status,
        '0000-0000',
    );
}

describe('escaping', () => {
    test('every value is escaped, in text and in attributes', () => {
        expect(html`<p title="${`"'<&`}">${'<&>"\''}</p>`.toString()).toBe(
            '<p title="&#34;&#39;&#60;&#38;">&#60;&#38;&#62;&#34;&#39;</p>',
        );
    });

    test('markup goes into markup unchanged, and lists of it', () => {
        expect(html`<ul>${[html`<li>${'<'}</li>`, html`<li>${2}</li>`]}</ul>`.toString()).toBe(
            '<ul><li>&#60;</li><li>2</li></ul>',
        );
    });

    test('what is no text for a page is replaced', () => {
        expect(html`${'a\u0000b\ud800c\u0085d'}`.toString()).toBe('a\ufffdb\ufffdc\ufffdd');
    });

    test('a style sheet cannot be left', () => {
        expect(cssString('"\\</style>\n')).toBe('"\\22 \\5c \\3c \\2f style\\3e \\a "');
        expect(() => style('</style>')).toThrow(RangeError);
    });

    test('a card whose every text is hostile makes the same elements as a harmless one', () => {
        const elements = (page: string) => [...page.matchAll(/<(\/?[a-z][\w-]*)/g)].map(found => found[1]);
        expect(elements(renderFinishedCard(bad))).toEqual(elements(renderFinishedCard(pageOf())));
    });
});

describe.each(pages)('%s', (_, page) => {
    test('is valid HTML', async () => {
        // How long a title is, its writer decides.
        const rules = { 'long-title': 'off' } as const;
        const extended = ['html-validate:recommended', 'html-validate:a11y'];
        const report = await new HtmlValidate({ extends: extended, rules }).validateString(page);
        const messages = report.results.flatMap(result => result.messages);
        expect(messages.map(({ line, ruleId, message }) => `${line} ${ruleId}: ${message}`)).toEqual([]);
    });

    test('has no script, no handler and nothing to fetch', () => {
        expect(page).not.toMatch(
            /<script|<link|<img|<iframe|<object|<embed|\son\w+=|@import|url\(|@font-face|src=|https?:/i,
        );
    });
});

describe('what a page says', () => {
    test('every part that is empty says so', () => {
        const page = renderFinishedCard(empty());
        for (const title of [
            'Conditions before the start',
            'Persons',
            'Tools',
            'Spares',
            'Materials',
            'Circuit breakers to pull',
            'Conditions at the end',
        ]) {
            expect(page).toMatch(new RegExp(`>${title}</h2>\\s*<p>None\\.</p>`));
        }
    });

    test('the status stands at the top in words unless it is clean', () => {
        expect(renderFinishedCard(pageOf())).toContain('<strong>Status: not known.</strong> One arm is not judged.');
        const { judged, status } = made();
        const plan = { ...judged.plan, unknown: [], accepts: [] };
        const clean = renderFinishedCard(
            finishedCard({ ...judged, plan }, { ...status, status: 'clean', why: '' }, '6f2c-91ab'),
        );
        expect(clean).not.toContain('Status:');
        expect(clean).toContain('Status when this page was made: clean.');
        const accepted = { ...status, status: 'accepted', why: '1 finding is accepted.' } as const;
        expect(renderFinishedCard(finishedCard(judged, accepted, '6f2c-91ab'))).toContain('Status: accepted.');
    });

    test('the index gives revision, status and reason in words, and names a card without a page', () => {
        const page = renderIndex([
            contentsOf(pageOf(), 'T0 a.html'),
            contentsWithoutPage({ ...made().status, name: 'T9' }),
        ]);
        expect(page).toContain('<a href="T0%20a.html">T0, with M7, without M8</a>');
        expect(page).toContain('<strong>not known</strong><br>One arm is not judged.');
        expect(page).toMatch(/T9<br><span class="soft">No page could be made\./);
    });

    test('an address in the index is a file beside it, whatever it is called', () => {
        const page = renderIndex([contentsOf(pageOf(), 'javascript:alert(1)')]);
        expect(page).toContain('href="javascript%3Aalert(1)"');
    });
});
