import { HtmlValidate } from 'html-validate';
import { describe, expect, test } from 'vitest';
import { renderEquipmentSheet, renderIndex } from '../../../language/html/index.js';
import {
    equipmentSheet,
    sheetContentsOf,
    sheetContentsWithoutPage,
} from '../../../language/readers/equipment-sheet/index.js';
import { judgedOf, large, projects, sheetNamed, sheetsOf } from './sheets.js';

const [sample = [], northlight = []] = projects;
const hostile = `<script>alert('&')</script></style><!-- {}`;
const labelled = (label: string) =>
    sample.map(({ path, text }) => ({
        path,
        text: text.replace(
            /(?<=(?:place|control|source|breaker|unit|connector|seal|motor|valve|port|area|mark|flow|light|panel|equipment|because)[^"\n]*)"([^"]*)"/g,
            (_, plain) => `"${label}${plain}"`,
        ),
    }));

const pages = [
    ...sheetsOf(sample).map(
        ({ sheet }) => [`${sheet.name} ${sheet.variantShort}`, renderEquipmentSheet(sheet)] as const,
    ),
    ...sheetsOf(northlight).map(
        ({ sheet }) => [`Northlight ${sheet.name} ${sheet.variantShort}`, renderEquipmentSheet(sheet)] as const,
    ),
    ['hostile labels', renderEquipmentSheet(sheetNamed(labelled(hostile), 'Hyd2', 'with M29-14'))] as const,
    [
        'an equipment with nothing in it',
        renderEquipmentSheet(sheetNamed([{ path: 'e.cotter', text: 'equipment E "E" { }' }], 'E')),
    ] as const,
    ['several drawings', renderEquipmentSheet(sheetNamed(large(120), 'Large'))] as const,
    [
        'an index',
        renderIndex(
            [],
            [
                ...sheetsOf(sample).map(({ sheet }) => sheetContentsOf(sheet, `${sheet.name}.html`)),
                sheetContentsWithoutPage({ name: hostile, label: hostile, file: hostile }),
            ],
        ),
    ] as const,
];

describe.each(pages)('%s', (_, page) => {
    test('is valid HTML', async () => {
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

test('hostile labels make the same elements as harmless ones', () => {
    const elements = (page: string) => new Set([...page.matchAll(/<(\/?[a-z][\w-]*)/g)].map(found => found[1]));
    const harmless = renderEquipmentSheet(sheetNamed(sample, 'Hyd2', 'with M29-14'));
    const bad = renderEquipmentSheet(sheetNamed(labelled(hostile), 'Hyd2', 'with M29-14'));
    expect(bad).toContain('&#60;script&#62;');
    expect(elements(bad)).toEqual(elements(harmless));
});

test('the caution stands on the page word for word', () => {
    const sheet = sheetNamed(sample, 'Hyd2', 'with M29-14');
    const page = renderEquipmentSheet(sheet).replaceAll('&#39;', "'");
    expect(page).toContain(
        `Generated from Hyd2, revision not given, text digest ${sheet.digest}. This page is not approved data. The manufacturer's current instructions, local regulations and the judgement of licensed staff take precedence. Not released for use until approved under the organisation's own procedure.`,
    );
});

test('what is not known or found is said at the top', () => {
    const text = 'equipment E "E" { place Here "Here" light L "L" at Here from NOWHERE }';
    const page = renderEquipmentSheet(sheetNamed([{ path: 'e.cotter', text }], 'E'));
    expect(page).toContain('<strong>Status: not known.</strong>');
    expect(page).toContain('unknown-name');
    const broken = renderEquipmentSheet(
        sheetNamed([{ path: 'e.cotter', text: 'equipment E "E" { place Here "Here" light light }' }], 'E'),
    );
    expect(broken).toContain('<strong>Status: not known.</strong>');
});

/* ---- the drawing, read back from the page ---- */

interface Box {
    readonly x: number;
    readonly y: number;
    readonly width: number;
    readonly height: number;
    readonly words: string;
}

/** Which box each line leaves from its right side and which it meets at its left, in each drawing. */
function drawnIn(page: string): { drawings: number; wires: string[]; overlaps: number } {
    const wires: string[] = [];
    let overlaps = 0;
    const drawings = [...page.matchAll(/<svg viewBox[\s\S]*?<\/svg>/g)].map(found => found[0]);
    for (const svg of drawings) {
        const [, top = 0, , height = 0] = (/viewBox="([^"]*)"/.exec(svg)?.[1] ?? '').split(' ').map(Number);
        const boxes: Box[] = [
            ...svg.matchAll(
                /<g class="box[^"]*"><rect x="([\d.-]+)" y="([\d.-]+)" width="([\d.]+)" height="([\d.]+)"[^>]*\/>([\s\S]*?)<\/g>/g,
            ),
        ].map(([, x, y, width, height, inner = '']) => ({
            x: Number(x),
            y: Number(y),
            width: Number(width),
            height: Number(height),
            words: /class="name"[^>]*>([^<]*)/.exec(inner)?.[1] ?? '',
        }));
        for (const [n, a] of boxes.entries())
            for (const b of boxes.slice(n + 1))
                if (a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height)
                    overlaps++;
        for (const [, kind, path = ''] of svg.matchAll(/<path class="wire (\w+)" d="([^"]*)"/g)) {
            const numbers = (path.match(/-?[\d.]+/g) ?? []).map(Number);
            if (numbers.some((each, n) => n % 2 === 1 && (each < top || each > top + height))) overlaps++;
            const [x0 = 0, y0 = 0] = numbers;
            const [x1 = 0, y1 = 0] = numbers.slice(-2);
            const at = (x: number, y: number, side: (box: Box) => number): string =>
                boxes.find(box => Math.abs(side(box) - x) < 0.2 && y > box.y && y < box.y + box.height)?.words ??
                'nothing';
            wires.push(`${kind} ${at(x0, y0, box => box.x + box.width)}>${at(x1, y1, box => box.x)}`);
        }
    }
    return { drawings: drawings.length, wires: wires.sort(), overlaps };
}

describe.each(
    [...sheetsOf(sample), ...sheetsOf(northlight), ...sheetsOf(large(120))].map(
        each => [`${each.sheet.name} ${each.sheet.variantShort}`, each.sheet] as const,
    ),
)('the drawing of %s', (_, sheet) => {
    const drawn = drawnIn(renderEquipmentSheet(sheet));

    test('has a line from box to box for each edge and no other, no box upon another, and none cut off', () => {
        const called = (name: string): string => {
            const label = sheet.feeds.nodes.find(each => each.name === name)?.label ?? '';
            return label.split(' ').includes(name) ? label : name;
        };
        expect(drawn.wires).toEqual(
            sheet.feeds.edges.map(each => `${each.kind} ${called(each.from)}>${called(each.to)}`).sort(),
        );
        expect(drawn.overlaps).toBe(0);
    });
});

test('an equipment that no page holds is drawn in several', () => {
    const { drawings } = drawnIn(renderEquipmentSheet(sheetNamed(large(120), 'Large')));
    expect(drawings).toBeGreaterThan(2);
});

test('500 items do not take out of all proportion longer, and come out the same', () => {
    const time = (items: number): { page: string; took: number } => {
        const judged = judgedOf(large(items));
        const start = performance.now();
        const page = judged.map(each => renderEquipmentSheet(equipmentSheet(each))).join('');
        return { page, took: performance.now() - start };
    };
    time(60);
    const small = Math.min(time(125).took, time(125).took);
    const first = time(500);
    const again = time(500);
    expect(first.page).toBe(again.page);
    // Four times the items: between 4 and 16 times on a quiet machine; work that grew with the cube would take 64.
    expect(Math.min(first.took, again.took) / small).toBeLessThan(40);
});
