import { readdirSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Ajv } from 'ajv';
import { describe, expect, test, vi } from 'vitest';
import schema from './compare-output.schema.json' with { type: 'json' };
import { clean, cotter, folder, pulled, read, repository, write } from './cotter.js';

// Some tests start the command many times.
vi.setConfig({ testTimeout: 600_000 });

const valid = new Ajv({ strict: true, allowUnionTypes: true }).compile(schema);
const other = clean.replace('"Look at the bus"', '"Look at the bus bar"');
const mended = (args: readonly string[], root: string) => cotter(args, { cwd: root });

/** Two folders, one file in each. */
const pair = (old: string, now: string): string => folder({ 'old/a.cotter': old, 'new/a.cotter': now });

describe('compare OLD NEW', () => {
    test('the first line is the verdict with what decided it', () => {
        const ran = mended(['compare', 'old', 'new'], pair(clean, pulled));
        expect(ran.code).toBe(0);
        expect(ran.out.split('\n')[0]).toBe(
            'Worse (T1): “Close CB-1 (BUS FEED).” is gone, so CB-1 (BUS FEED) is still pulled when the card ends.',
        );
        expect(ran.out).toContain('\nT1 Look at the bus\n  Status: findings');
        expect(ran.out).toContain('before old/a.cotter:15');
        expect(ran.out.trimEnd().split('\n').at(-1)).toBe('1 card: 1 worse.');
        expect(ran.err).toBe('');
    });

    test('files, also two of one project', () => {
        const root = folder({ 'cotter.json': '{}', 'before.cotter': clean, 'after.cotter': pulled });
        expect(mended(['compare', 'before.cotter', 'after.cotter'], root).out).toMatch(/^Worse \(T1\): /);
        expect(mended(['compare', 'before.cotter', 'before.cotter'], root).out).toMatch(/^The same: /);
    });

    test('the same gives one line', () => {
        expect(mended(['compare', 'old', 'new'], pair(clean, `// Read.\n${clean}`)).out).toBe(
            'The same: nothing that a card says or does has changed.\n',
        );
    });

    test('no colour where nobody sees it, and none with NO_COLOR', () => {
        expect(mended(['compare', 'old', 'new'], pair(clean, pulled)).out).not.toContain('\u001B');
    });

    test('a side that does not parse ends with 2, whatever the form', () => {
        const root = pair(clean, clean.replace('step look', 'step {'));
        for (const format of ['text', 'markdown', 'json']) {
            const ran = mended(['compare', 'old', 'new', '--format', format], root);
            expect(ran.code).toBe(2);
            expect(ran.out).toContain('Not known: the new side does not parse');
        }
    });

    test('wrong use ends with 2 and one line', () => {
        const root = pair(clean, pulled);
        for (const args of [[], ['old'], ['old', 'new', 'old'], ['old', 'nowhere'], ['old', 'new', '--fail-on', 'x']]) {
            const ran = mended(['compare', ...args], root);
            expect([args, ran.code]).toEqual([args, 2]);
            expect(ran.err).not.toBe('');
            expect(ran.out).toBe('');
        }
    });
});

describe('--fail-on', () => {
    const code = (old: string, now: string, on: string): number | null =>
        mended(['compare', 'old', 'new', '--fail-on', on], pair(old, now)).code;

    test('worse: 1 when something is worse, else 0', () => {
        expect(code(clean, pulled, 'worse')).toBe(1);
        expect(code(pulled, clean, 'worse')).toBe(0);
        expect(code(clean, other, 'worse')).toBe(0);
    });

    test('different: 1 when anything differs, else 0', () => {
        expect(code(clean, other, 'different')).toBe(1);
        expect(code(pulled, clean, 'different')).toBe(1);
        expect(code(clean, clean, 'different')).toBe(0);
    });
});

describe('forms', () => {
    test('JSON is as its schema says', () => {
        for (const [old, now] of [
            [clean, pulled],
            [pulled, clean],
            [clean, other],
            [clean, clean],
            [clean, clean.replace('step look', 'step {')],
            [clean, clean.replace('card T1', 'card T2').replace('"Look at the bus"', '"Look"')],
        ] as const) {
            const { out } = mended(['compare', 'old', 'new', '--format', 'json'], pair(old, now));
            expect(valid(JSON.parse(out)), JSON.stringify(valid.errors)).toBe(true);
        }
    });

    test('JSON says it all', () => {
        const { out } = mended(['compare', 'old', 'new', '--format', 'json'], pair(clean, pulled));
        const { verdict, cards } = JSON.parse(out);
        expect(verdict).toBe('worse');
        expect(cards[0].changes[0]).toMatchObject({ class: 'safety', kind: 'breaker', how: 'removed', new: null });
        expect(cards[0].changes[0].old).toMatchObject({ file: 'old/a.cotter' });
        expect(cards[0].changes[0].consequences).toContainEqual(
            expect.objectContaining({ code: 'breaker-left-pulled' }),
        );
    });

    test('Markdown begins with the verdict, and a text cannot become markup', () => {
        const hostile = clean.replace('"Look at the bus"', '"<b>*Look* @all #1 \\[a](https://x.y) `z` | _"');
        const { out } = mended(['compare', 'old', 'new', '--format', 'markdown'], pair(clean, hostile));
        expect(out).toMatch(/^\*\*Different \(T1\): /);
        expect(out).toContain('#### Wording\n\n- ');
        expect(out).toContain('&lt;b&gt;\\*Look\\* &#64;all &#35;1 \\[a\\]');
        expect(out).not.toMatch(/<b>|@all|https:\/\//);
    });
});

describe('compare --git', () => {
    const left = (): string[] => readdirSync(tmpdir()).filter(name => /^cotter-revision-/.test(name));

    test('two revisions, and one with the files as they are', () => {
        const before = left();
        const root = repository({ 'cards/a.cotter': clean }, { 'cards/a.cotter': pulled });
        expect(mended(['compare', '--git', 'v0..v1'], root).out).toMatch(/^Worse \(T1\): “Close CB-1/);
        expect(mended(['compare', '--git', 'v1..v0'], root).out).toMatch(/^Better \(T1\): “Close CB-1/);
        expect(mended(['compare', '--git', 'v1'], root).out).toMatch(/^The same: /);
        write(join(root, 'cards/a.cotter'), clean);
        const now = mended(['compare', '--git', 'v1'], root);
        expect(now.out).toMatch(/^Better \(T1\): /);
        // Places are those of the working tree on both sides.
        expect(now.out).not.toContain(tmpdir());
        expect(left()).toEqual(before);
    });

    test('from a folder within, and for some paths alone', () => {
        const root = repository(
            { 'one/a.cotter': clean, 'two/b.cotter': clean },
            { 'one/a.cotter': clean, 'two/b.cotter': pulled },
        );
        expect(mended(['compare', '--git', 'v0..v1', 'one'], root).out).toMatch(/^The same: /);
        expect(mended(['compare', '--git', 'v0..v1', 'two'], root).out).toMatch(/^Worse /);
        expect(mended(['compare', '--git', 'v0..v1'], join(root, 'two')).out).toMatch(/^Worse /);
    });

    test('what is not there yet is new, and what is there no longer is gone', () => {
        const root = repository({ 'a.cotter': clean, 'notes.txt': '' }, { 'notes.txt': '' });
        expect(mended(['compare', '--git', 'v1..v0'], root).out).toMatch(/^Different: card T1 is new/);
        expect(mended(['compare', '--git', 'v0..v1'], root).out).toMatch(/^Different: card T1 is gone/);
        expect(mended(['compare', '--git', 'v0', 'a.cotter'], root)).toMatchObject({ code: 0 });
        expect(mended(['compare', '--git', 'v0', 'b.cotter'], root)).toMatchObject({ code: 2, out: '' });
    });

    test('settings are those of each revision', () => {
        const root = repository(
            { 'cotter.json': '{}', 'a.cotter': clean },
            { 'cotter.json': '{}', 'sub/a.cotter': clean },
        );
        expect(mended(['compare', '--git', 'v0..v1'], root).out).toMatch(/^The same: /);
    });

    test('one clear line where git, the repository or the revision is missing', () => {
        const root = repository({ 'a.cotter': clean });
        const line = (args: readonly string[], cwd: string, env?: Record<string, string>): string => {
            const ran = cotter(['compare', ...args], { cwd, ...(env && { env }) });
            expect([ran.code, ran.out]).toEqual([2, '']);
            return ran.err;
        };
        expect(line(['--git', 'v7'], root)).toBe('cotter: there is no revision v7 in this repository\n');
        expect(line(['--git', 'v0..v7'], root)).toBe('cotter: there is no revision v7 in this repository\n');
        expect(line(['--git', '--help'], root)).toBe('cotter: there is no revision --help in this repository\n');
        for (const range of ['', '..v0', 'v0..', 'v0...v0', 'v0..v0..v0'])
            expect(line([`--git=${range}`], root)).toBe('cotter: --git takes BASE or BASE..HEAD\n');
        expect(line(['--git', 'v0'], folder({ 'a.cotter': clean }))).toContain('git says: not a git repository');
        expect(line(['--git', 'v0'], root, { PATH: folder() })).toBe(
            'cotter: git was not found; --git and --since need it\n',
        );
    });
});

describe('render --since', () => {
    const bars = (page: string): number => page.match(/class="changed"/g)?.length ?? 0;
    const rendered = (old: string, now: string, more: readonly string[] = []): string => {
        const root = repository({ 'a.cotter': old });
        write(join(root, 'a.cotter'), now);
        const ran = mended(['render', '--since', 'v0', '--out', 'out', ...more], root);
        expect([ran.code, ran.err]).toEqual([0, '']);
        return read(root, 'out', 'T1.html');
    };

    test('says what has changed, with a bar where something has gone', () => {
        const page = rendered(clean, pulled);
        expect(page).toContain('Changes since v0');
        expect(page).toContain('Worse: “Close CB-1 (BUS FEED).” is gone');
        expect(bars(page)).toBe(1);
        expect(page).toMatch(
            /class="changed"><span class="unseen">Changed.<\/span><div class="line">(?:(?!<\/li>)[\s\S])*BUS LIVE/,
        );
    });

    test('nothing has changed: no bar, and it says so', () => {
        const page = rendered(clean, `// Read.\n${clean}`);
        expect(page).toContain('Nothing that this card says or does has changed.');
        expect(bars(page)).toBe(0);
    });

    test('a person called otherwise has a bar at the head, not at every line', () => {
        expect(bars(rendered(clean, clean.replace('"Technician"', '"Mechanic"')))).toBe(1);
    });

    test('what is printed of a breaker has a bar where breakers are listed', () => {
        expect(bars(rendered(clean, clean.replace('grid "A1"', 'grid "A2"')))).toBe(1);
    });

    test('an old side that does not parse is said, and no bar pretends to know', () => {
        const page = rendered(clean.replace('step look', 'step {'), clean);
        expect(page).toContain('Not known: the old side does not parse');
        expect(bars(page)).toBe(0);
    });

    test('a revision that is not there ends with 2 and writes nothing', () => {
        const root = repository({ 'a.cotter': clean });
        expect(mended(['render', '--since', 'v7', '--out', 'out'], root)).toMatchObject({
            code: 2,
            err: 'cotter: there is no revision v7 in this repository\n',
        });
        expect(readdirSync(root)).not.toContain('out');
    });
});
