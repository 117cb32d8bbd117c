/** A wrong feed in the text: whoever reads only the sheet must come upon it, in the lines that name it and in no others. */
import { describe, expect, test } from 'vitest';
import type { SourceFile } from '../../../language/check.js';
import { renderEquipmentSheet } from '../../../language/html/index.js';
import { filesOf, projects, sheetNamed } from './sheets.js';

const northlight = filesOf('examples/northlight/**/*.cotter');
const [sample = []] = projects;

const changed = (files: readonly SourceFile[], from: string, to: string): SourceFile[] => {
    const made = files.map(({ path, text }) => ({ path, text: text.replace(from, to) }));
    expect(made.filter((each, n) => each.text !== files[n]?.text)).toHaveLength(1);
    return made;
};

/** The rows, list entries and paragraphs of a page by their part, in words. The digest stands for the whole text, so it is left aside. */
function linesOf(page: string): string[] {
    const lines: string[] = [];
    for (const part of page.split(/<section class="part"/).slice(1)) {
        const title = /<h2[^>]*>([^<]*)/.exec(part)?.[1] ?? '';
        for (const [, , inner = ''] of part.matchAll(/<(tr|li)>([\s\S]*?)<\/\1>/g))
            lines.push(
                `${title}: ${inner
                    .replace(/<[^>]*>/g, ' ')
                    .replace(/\s+/g, ' ')
                    .trim()}`,
            );
    }
    return lines;
}

const difference = (before: readonly string[], after: readonly string[]): string[] => {
    const had = new Set(before);
    return after.filter(each => !had.has(each));
};

function planted(files: readonly SourceFile[], name: string, from: string, to: string) {
    const before = sheetNamed(files, name);
    const after = sheetNamed(changed(files, from, to), name);
    return {
        before,
        after,
        lines: difference(linesOf(renderEquipmentSheet(before)), linesOf(renderEquipmentSheet(after))),
    };
}

describe('motor B on the breaker of motor A', () => {
    const { after, lines } = planted(sample, 'Hyd2', 'from CB-218, P2', 'from CB-217, P2');

    test('changes exactly the lines that name it', () => {
        expect(lines).toEqual([
            'Feeds: MB motor B motor CB-217 (HYD 2 ISOL VALVE MOTOR A), connector P2',
            'Circuit breakers: CB-217 HYD 2 ISOL VALVE MOTOR A Flight deck, grid C7 28 V DC essential bus (ESS) 5 A, 22 AWG motor A (MA), motor B (MB); no longer: isolation valve (VLV) goes SHUT or OPEN',
            'Circuit breakers: CB-218 HYD 2 ISOL VALVE MOTOR B Flight deck, grid D7 28 V DC essential bus (ESS) 5 A, 22 AWG nothing rests on it',
            'Redundancy: One is enough motor A runs or motor B runs, so that the isolation valve goes SHUT or goes OPEN. All of these are lost with: 28 V DC essential bus (ESS), CB-217 (HYD 2 ISOL VALVE MOTOR A), isolation valve actuator (ACT).',
            'Failures: CB-218 HYD 2 ISOL VALVE MOTOR B TRIPPED : it is open though nobody pulled it. NOT-OPENING : it stays closed inside when it is pulled. nothing',
        ]);
    });

    test('says plainly that the redundancy is gone', () => {
        expect(after.shared[0]?.lostWith).toContain('CB-217 (HYD 2 ISOL VALVE MOTOR A)');
        expect(after.breakers.find(each => each.name === 'CB-218')).toMatchObject({ lost: '', rests: false });
    });
});

describe('the aft sensing cell on the breaker of the forward one', () => {
    const { after, lines } = planted(northlight, 'BagSmoke', 'AER-A and CB-342', 'AER-A and CB-341');

    test('stands in the table, the drawing, the losses and the redundancy, and the breaker left over is named', () => {
        expect(after.feeds.edges).toContainEqual({ from: 'CB-341', to: 'CELL-A', kind: 'asks' });
        expect(after.feeds.edges.filter(each => each.from === 'CB-342')).toEqual([]);
        expect(after.shared[0]?.lostWith).toContain('CB-341 (BAG SMOKE DET FWD)');
        expect(after.unsaid.find(each => each.what === 'Things on which nothing rests')?.things).toEqual([
            'CB-342 (BAG SMOKE DET AFT)',
        ]);
        for (const line of lines) expect(line).toMatch(/CB-341|CB-342|CELL-A/);
        expect(lines.length).toBeGreaterThanOrEqual(5);
    });
});

describe('the oil pressure gauge on the starter bus', () => {
    const { after, before, lines } = planted(
        northlight,
        'Engine1',
        '"ENG 1 OIL PRESS" at FlightDeck from ESS',
        '"ENG 1 OIL PRESS" at FlightDeck from STARTBUS',
    );

    test('stands in its own row and with what it is lost with', () => {
        expect(before.feeds.rows.find(each => each.name === 'OIL-G')?.from).toEqual(['28 V DC essential bus (ESS)']);
        expect(after.feeds.rows.find(each => each.name === 'OIL-G')?.from).toEqual(['28 V DC starter bus (STARTBUS)']);
        for (const line of lines) expect(line).toMatch(/OIL-G|ENG 1 OIL PRESS/);
        expect(lines[0]).toBe('Feeds: OIL-G ENG 1 OIL PRESS gauge 28 V DC starter bus (STARTBUS)');
    });
});

describe('any feed of the examples moved to another thing of the kind', () => {
    const names = ['Hyd2', 'Engine1', 'BagSmoke', 'GroundPower'];
    const cases = names.flatMap(name => {
        const sheet = sheetNamed(northlight, name);
        return sheet.feeds.edges.flatMap(edge => {
            const kind = sheet.feeds.nodes.find(each => each.name === edge.from)?.kind;
            const other = sheet.feeds.nodes.find(each => each.kind === kind && each.name !== edge.from);
            return edge.kind === 'feed' && other ? [[name, edge.from, edge.to, other.name] as const] : [];
        });
    });

    test('there are such feeds', () => expect(cases.length).toBeGreaterThan(5));

    test.each(cases)('%s: not %s but %s is fed from %s', (name, from, to, other) => {
        const line = new RegExp(`^.*\\s${to}\\s+".*"[^\\n]* from [^\\n]*$`, 'm');
        const files = northlight.map(({ path, text }) => ({
            path,
            text: text.replace(line, found =>
                found.replace(new RegExp(`(from [^\\n]*?)\\b${from}(?![\\w-])`), `$1${other}`),
            ),
        }));
        expect(files.filter((each, n) => each.text !== northlight[n]?.text)).toHaveLength(1);
        const before = sheetNamed(northlight, name);
        const after = sheetNamed(files, name);
        const edges = (sheet: typeof after) =>
            sheet.feeds.edges.filter(each => each.kind === 'feed').map(each => `${each.from}>${each.to}`);
        expect(difference(edges(before), edges(after))).toEqual([`${other}>${to}`]);
        expect(difference(edges(after), edges(before))).toEqual([`${from}>${to}`]);
        const lines = difference(linesOf(renderEquipmentSheet(before)), linesOf(renderEquipmentSheet(after)));
        expect(lines.filter(each => each.startsWith('Feeds: ')).map(each => each.split(' ')[1])).toEqual([to]);
        expect(lines.length).toBeGreaterThan(1);
    });
});
