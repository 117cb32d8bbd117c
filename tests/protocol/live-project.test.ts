import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { check, type Report } from '../../language/check.js';
import type { Finding } from '../../language/findings/finding.js';
import { LiveProject } from '../../server/workspace/live-project.js';
import { northlight } from './files.js';

const texts = new Map(
    Object.entries(northlight('isolation-valve', 'oil-filter', 'smoke-detectors')).filter(([path]) =>
        path.endsWith('.cotter'),
    ),
);
const paths = [...texts.keys()].sort();

function opened(): LiveProject {
    const live = new LiveProject();
    for (const [path, text] of texts) live.setText(path, text);
    return live;
}

function caughtUp(live: LiveProject): Report {
    const steps = live.catchUp();
    for (;;) {
        const { done, value } = steps.next();
        if (done) return value;
    }
}

const whole = (live: LiveProject): Report =>
    check(
        live.files().map(({ path, text }) => ({ path, text })),
        {},
        { fixes: 'none' },
    );

const plain = ({ findings, cards }: Report): unknown => JSON.parse(JSON.stringify({ findings, cards }));

/** One change of a line somewhere. */
function edited(text: string, at: number, how: number): string {
    const lines = text.split('\n');
    const n = at % lines.length;
    const line = lines[n] ?? '';
    if (how === 0) lines.splice(n, 1);
    else if (how === 1) lines.splice(n, 0, line);
    else if (how === 2) lines[n] = line.slice(0, Math.floor(line.length / 2));
    else if (how === 3) lines[n] = line.replace(/[A-Z][\w-]+/, 'NOWHERE');
    else lines.splice(n, 0, '');
    return lines.join('\n');
}

const edits = fc.array(
    fc.record({ file: fc.nat(), at: fc.nat(), how: fc.nat(4), undo: fc.boolean(), stop: fc.nat(30) }),
    { minLength: 1, maxLength: 5 },
);

// Many whole projects are judged, and machines differ.
describe('a project while it is being written', { timeout: 600_000 }, () => {
    it('says after every change just what check() says of the same texts, whatever was left unfinished', () => {
        fc.assert(
            fc.property(edits, changes => {
                const live = opened();
                for (const { file, at, how, undo, stop } of changes) {
                    const path = paths[file % paths.length] ?? '';
                    const text = live.file(path)?.text ?? '';
                    live.setText(path, undo ? texts.get(path) : edited(text, at, how));
                    live.quick(path);
                    // Another key is pressed before all is done.
                    const dropped = live.catchUp();
                    for (let n = 0; n < stop; n++) if (dropped.next().done) break;
                }
                expect(plain(caughtUp(live))).toEqual(plain(whole(live)));
            }),
            { numRuns: 5, seed: 7 },
        );
    });

    it('says at once of a card what check() says of it', () => {
        const ofFile = (path: string, findings: readonly Finding[]): unknown =>
            JSON.parse(JSON.stringify(findings.filter(each => each.span.file === path && each.card !== undefined)));
        fc.assert(
            fc.property(fc.nat(), fc.nat(), fc.nat(4), (file, at, how) => {
                const live = opened();
                const path = paths[file % paths.length] ?? '';
                live.setText(path, edited(texts.get(path) ?? '', at, how));
                expect(ofFile(path, live.quick(path).findings)).toEqual(ofFile(path, whole(live).findings));
            }),
            { numRuns: 10, seed: 11 },
        );
    });

    it('judges only what a change reaches', () => {
        const live = opened();
        const all = caughtUp(live).judged.length;
        expect(caughtUp(live).judged).toEqual([]);
        live.setText('oil-filter/card.cotter', `${texts.get('oil-filter/card.cotter')}\n`);
        const cards = new Set(caughtUp(live).judged.map(each => each.plan.card));
        expect(all).toBeGreaterThan(cards.size);
        expect([...cards]).toEqual([live.around('oil-filter/card.cotter')?.cards[0]?.name]);
    });

    it('forgets a file that is gone', () => {
        const live = opened();
        live.setText('oil-filter/equipment.cotter', undefined);
        expect(plain(caughtUp(live))).toEqual(plain(whole(live)));
        live.setText('oil-filter/equipment.cotter', texts.get('oil-filter/equipment.cotter'));
        expect(caughtUp(live).findings).toEqual([]);
    });
});
