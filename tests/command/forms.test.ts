/** What each form for other programs says, and what it must never lose. */
import { describe, expect, test } from 'vitest';
import { check } from '../../language/check.js';
import type { CardStatus, Finding } from '../../language/findings/finding.js';
import { fingerprints } from '../../server/command/fingerprint.js';
import { github } from '../../server/command/github.js';
import { show } from '../../server/command/shown.js';
import { card, clean, cotter, equipment, folder, pulled } from './cotter.js';
import { cardOf, finding, judgement, span } from './made.js';

const all = { severity: 'information', only: [] } as const;

/** A run of SARIF, as far as these tests read it. */
interface Result {
    ruleId: string;
    ruleIndex: number;
    level: string;
    message: { text: string };
    locations: { physicalLocation: { artifactLocation: { uri: string }; region: Record<string, number> } }[];
    relatedLocations?: { message: { text: string } }[];
    suppressions: { kind: string; justification: string }[];
    fixes?: { artifactChanges: { replacements: { insertedContent: { text: string } }[] }[] }[];
    partialFingerprints: Record<string, string>;
}

function sarif(files: Record<string, string>, ...options: string[]) {
    const { out, code } = cotter(['check', '--format', 'sarif', ...options], { cwd: folder(files) });
    const [run] = JSON.parse(out).runs;
    return { code, run, results: run.results as Result[] };
}

const accepted = pulled.replace(
    '  step look',
    '  accept breaker-left-pulled for CB-1 because "The next card closes it."\n  step look',
);

describe('sarif', () => {
    test('a finding with its rule, place, related places, fix and columns', () => {
        const { run, results, code } = sarif({ 'a b.cotter': pulled });
        expect(code).toBe(1);
        expect(run.columnKind).toBe('utf16CodeUnits');
        const [one] = results;
        expect(one).toMatchObject({ ruleId: 'breaker-left-pulled', level: 'error', suppressions: [] });
        expect(one.message.text).toMatch(/^CB-1 \(BUS FEED\) is still pulled/);
        const { physicalLocation: at } = one.locations[0];
        expect(at.artifactLocation.uri).toBe('a%20b.cotter');
        const { startLine, startColumn, endColumn } = at.region;
        expect(pulled.split('\n')[startLine - 1].slice(startColumn - 1, endColumn - 1)).toMatch(/pull CB-1/);
        expect(one.fixes?.[0].artifactChanges[0].replacements[0].insertedContent.text).toMatch(/close CB-1/);
        const rule = run.tool.driver.rules[one.ruleIndex];
        expect(rule.id).toBe(one.ruleId);
        expect(rule.help.text).toMatch(/What would happen at the aircraft/);
        expect(run.properties.cards).toEqual([
            { name: 'T1', file: 'a b.cotter', status: 'findings', why: '1 finding: breaker-left-pulled' },
        ]);
    });

    test('an accepted finding is suppressed in the source, with its reason', () => {
        const { run, results, code } = sarif({ 'a.cotter': accepted });
        expect(code).toBe(0);
        expect(results[0].suppressions).toMatchObject([
            { kind: 'inSource', status: 'accepted', justification: 'The next card closes it.' },
        ]);
        expect(run.properties.cards[0].status).toBe('accepted');
    });

    test('a card that is not known is a result of its own', () => {
        const { run, results } = sarif({ 'a.cotter': clean.replace('see LT is OFF', 'see LX is OFF') });
        expect(run.properties.cards[0].status).toBe('unknown');
        const own = results.filter(each => each.ruleId === 'not-known');
        expect(own).toHaveLength(1);
        expect(own[0]).toMatchObject({ level: 'error' });
        expect(clean.split('\n')[own[0].locations[0].physicalLocation.region.startLine - 1]).toMatch(/^card T1/);
    });

    test('nothing shown is not nothing found', () => {
        const { results, code } = sarif({ 'a.cotter': pulled }, '--only', 'vacuous-look');
        expect(code).toBe(1);
        expect(results.map(each => each.ruleId)).toEqual(['not-known']);
        expect(results[0].message.text).toMatch(
            /T1 has findings \(1 finding: breaker-left-pulled\): they are not shown/,
        );
    });
});

describe('fingerprints', () => {
    const [one, two, three] = ['T1', 'T2', 'T3'].map(name => card(name, 'pull CB-1 and tag', 'see LT is OFF'));
    const prints = (text: string) => {
        const { findings } = check([{ path: 'a.cotter', text }], {}, { fixes: 'none' });
        return [...fingerprints(findings, () => text).values()].sort();
    };

    test('stay when lines come above, cards change places, lines are indented otherwise and other things are edited', () => {
        const first = prints(equipment + one + two + three);
        expect(new Set(first).size).toBe(first.length);
        expect(first.length).toBeGreaterThanOrEqual(3);
        const edited = equipment
            .replace('"BUS LIVE"', '"BUS ON"')
            .replace(
                '  breaker',
                '  breaker CB-9 "X" at Deck grid "Z" rated 5 A\n  light L9 "nine" at Deck from CB-9 { shows ON when CB-9 is CLOSED  shows OFF otherwise }\n  breaker',
            );
        for (const text of [
            `// one\n\n// two\n${equipment}${one}${two}${three}`,
            three + one + equipment + two,
            (equipment + one + two + three).replaceAll('    tech', '\ttech'),
            edited + one + two + three,
        ])
            expect(prints(text)).toEqual(first);
    });

    test('one more finding leaves those of the others', () => {
        const before = prints(equipment + one + two);
        const after = prints(equipment + three + one + two);
        expect(after).toEqual(expect.arrayContaining(before));
        expect(after.length).toBeGreaterThan(before.length);
    });

    test('two findings that are alike differ, and so do files, cards and codes', () => {
        const text = 'pull A\npull A\n';
        const at = (offset: number) => span('a.cotter', text, offset, offset + 6);
        const alike = [
            finding(at(0)),
            finding(at(7)),
            finding(at(0), { code: 'left-wet' }),
            finding(at(0), { card: 'T' }),
        ];
        const made = [...fingerprints(alike, () => text).values()];
        expect(new Set(made).size).toBe(4);
        const longer = `\n\n${text}`;
        const moved = alike.map(each => ({
            ...each,
            span: span('a.cotter', longer, each.span.offset + 2, each.span.end + 2),
        }));
        expect([...fingerprints(moved, () => longer).values()]).toEqual(made);
    });
});

describe('junit', () => {
    const junit = (files: Record<string, string>, ...options: string[]) =>
        cotter(['check', '--format', 'junit', ...options], { cwd: folder(files) }).out;

    test('a card with findings fails, with its findings', () => {
        const xml = junit({ 'a.cotter': pulled });
        expect(xml).toMatch(/<testsuite name="a\.cotter" package="\." id="0" [^>]* tests="2" failures="1" errors="0"/);
        expect(xml).toMatch(
            /<testcase name="T1 Look at the bus" classname="a\.cotter" time="0">\s*<failure type="findings" message="1 finding: breaker-left-pulled">a\.cotter:\d+:\d+ error breaker-left-pulled: CB-1/,
        );
    });

    test('a card that is not known errs, and never passes', () => {
        const xml = junit({ 'a.cotter': clean.replace('see LT is OFF', 'see LX is OFF') });
        expect(xml).toMatch(/failures="0" errors="1"/);
        expect(xml).toMatch(/<error type="not known" message="not known: a name is not known/);
    });

    test('a text without a card that cannot be read errs', () => {
        expect(junit({ 'a.cotter': 'card {' })).toMatch(
            /<testcase name="text and equipment"[^>]*>\s*<error type="syntax"/,
        );
    });

    test('an accepted card passes, and says so', () => {
        const xml = junit({ 'a.cotter': accepted });
        expect(xml).toMatch(/failures="0" errors="0"/);
        expect(xml).toMatch(/<property name="T1" value="accepted: 1 accepted"\/>/);
        expect(xml).toMatch(/<system-out>.*accepted breaker-left-pulled.*The next card closes it\.<\/system-out>/);
    });

    test('what is not shown fails all the same', () => {
        expect(junit({ 'a.cotter': pulled }, '--only', 'vacuous-look')).toMatch(
            /failures="1"[\s\S]*<failure type="findings" message="1 finding: breaker-left-pulled">/,
        );
    });
});

describe('github', () => {
    const lines = (findings: Finding[], cards: CardStatus[] = []) =>
        github(show(judgement(findings, cards), all), () => 'x\ncard a {\n', [], 'last').split('\n');
    const at = span('a:b,c%.cotter', 'one two\nthree\n', 4, 7);

    test('one line a finding, with everything escaped that ends or splits it', () => {
        const [line, last] = lines([finding(at, { message: '50 % of "a", b: c\r\nd', only: 'only before M1' })]);
        expect(line).toBe(
            '::error file=a%3Ab%2Cc%25.cotter,line=1,endLine=1,col=5,endColumn=8,title=left-open::50 %25 of "a", b: c·%0Ad (Only before M1.)',
        );
        expect(last).toBe('last');
    });

    test('severities, several lines, fixes, accepted', () => {
        const wide = span('a', 'one\ntwo\n', 0, 7);
        const fixes = [{ title: 'Do, it', edits: [] }];
        expect(
            lines([
                finding(wide, { severity: 'warning', fixes }),
                finding(wide, { severity: 'information' }),
                finding(wide, { accepted: { because: 'Why not', span: wide } }),
            ]).slice(0, 3),
        ).toEqual([
            expect.stringMatching(/^::warning file=a,line=1,endLine=2,title=left-open::.*%0AFix: Do, it$/),
            expect.stringMatching(/^::notice file=a,line=1,endLine=2,title=left-open::/),
            expect.stringMatching(/^::notice .*title=left-open \(accepted\)::.*%0AAccepted in line 1: Why not$/),
        ]);
    });

    test('a card that is not known is an error at its line', () => {
        expect(lines([], [cardOf('a', 'unknown', 'a name is not known')])[0]).toBe(
            '::error file=a,line=2,title=not known::a is not known: a name is not known.',
        );
    });

    test('on real cards', () => {
        const { out, code } = cotter(['check', '--format', 'github'], { cwd: folder({ 'a.cotter': pulled }) });
        expect(code).toBe(1);
        expect(out).toMatch(
            /^::error file=a\.cotter,line=\d+,endLine=\d+,col=\d+,endColumn=\d+,title=breaker-left-pulled::CB-1 /,
        );
        expect(out.trimEnd().split('\n')).toHaveLength(2);
    });
});

describe('--severity and --only', () => {
    const mixed = pulled.replace(/revision .*/, '');
    const shownIn = (...options: string[]) => {
        const { out, code } = cotter(['check', ...options], { cwd: folder({ 'a.cotter': mixed }) });
        return { code, codes: [...out.matchAll(/^\S+ {2}\w+ {2}(\S+)$/gm)].map(([, each]) => each).sort(), out };
    };

    test('show less, and change neither the exit code nor the status', () => {
        expect(shownIn()).toMatchObject({ code: 1, codes: ['breaker-left-pulled', 'no-revision'] });
        expect(shownIn('--severity', 'error')).toMatchObject({ code: 1, codes: ['breaker-left-pulled'] });
        const only = shownIn('--only', 'no-revision');
        expect(only).toMatchObject({ code: 1, codes: ['no-revision'] });
        expect(only.out).toMatch(/1 card: 1 with findings\. .* Not shown: 1 error, 0 warnings, 0 information\.\n$/);
        expect(shownIn('--only', 'no-revision', '--only', 'breaker-left-pulled').codes).toHaveLength(2);
        expect(shownIn('--only', 'no-revision', '--severity', 'error')).toMatchObject({ code: 1, codes: [] });
    });

    test('an unknown code is wrong use', () => {
        const cwd = folder({ 'a.cotter': clean });
        const { code, out, err } = cotter(['check', '--only', 'breaker-left-puled'], { cwd });
        expect({ code, out }).toEqual({ code: 2, out: '' });
        expect(err).toMatch(/no check has the code "breaker-left-puled"; did you mean breaker-left-pulled\?/);
        expect(cotter(['check', '--severity', 'bad'], { cwd }).code).toBe(2);
    });

    test('with --fix they choose what is mended', () => {
        const cwd = folder({ 'a.cotter': pulled });
        expect(cotter(['check', '--fix', '--only', 'no-revision'], { cwd })).toMatchObject({ code: 1, err: '' });
        expect(cotter(['check', '--fix', '--only', 'breaker-left-pulled', '--format', 'sarif'], { cwd })).toMatchObject(
            {
                code: 0,
                err: '1 fix made in 1 file\n',
            },
        );
    });

    test.each(['text', 'json', 'sarif', 'junit', 'github'])('%s, from standard input', form => {
        const run = (...options: string[]) =>
            cotter(['check', '-', '--format', form, ...options], { cwd: folder(), input: mixed });
        const [whole, less] = [run(), run('--only', 'no-revision')];
        expect([whole.code, less.code]).toEqual([1, 1]);
        expect(whole.out).toMatch(/is still pulled/);
        expect(less.out).not.toMatch(/is still pulled/);
    });
});
