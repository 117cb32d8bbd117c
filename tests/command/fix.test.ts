import { expect, test } from 'vitest';
import type { Finding } from '../../language/findings/finding.js';
import { fix } from '../../server/command/fix.js';
import type { Project } from '../../server/workspace/project.js';
import { file, finding, judgement, project, span } from './made.js';

/** Judges by a rule: one finding for each match of a pattern, mended by putting `newText` there. */
function judgeBy(pattern: RegExp, mend: (match: RegExpExecArray) => string | undefined) {
    return (projects: readonly Project[]) => {
        const findings: Finding[] = [];
        for (const { path, text } of projects.flatMap(({ files }) => files)) {
            for (const match of text.matchAll(pattern)) {
                const at = span(path, text, match.index, match.index + match[0].length);
                const newText = mend(match as RegExpExecArray);
                findings.push(
                    finding(
                        at,
                        newText === undefined ? {} : { fixes: [{ title: 'Mend', edits: [{ span: at, newText }] }] },
                    ),
                );
            }
        }
        return judgement(findings);
    };
}

test('makes the first fix of each finding, and lists what has none', () => {
    const before = project(file('a.cotter', 'one two\none four\n'));
    const judge = judgeBy(/one|four/g, ([word]) => (word === 'one' ? 'three' : undefined));
    const done = fix([before], judge);
    expect(done.changed.map(({ new: { path, text } }) => ({ path, text }))).toEqual([
        { path: 'a.cotter', text: 'three two\nthree four\n' },
    ]);
    expect(done.fixes).toBe(2);
    expect(done.remaining.findings).toHaveLength(1);
});

test('goes round again for what the first round laid open', () => {
    const done = fix(
        [project(file('a.cotter', 'x3'))],
        judgeBy(/x(\d)/g, ([, n]) => (n === '0' ? 'done' : `x${Number(n) - 1}`)),
    );
    expect(done.changed[0].new.text).toBe('done');
    expect(done.fixes).toBe(4);
    expect(done.remaining.findings).toEqual([]);
});

test('two fixes that undo each other do not go round for ever', () => {
    const done = fix(
        [project(file('a.cotter', 'left'))],
        judgeBy(/left|right/g, ([word]) => (word === 'left' ? 'right' : 'left')),
    );
    expect(done.fixes).toBe(1);
    expect(done.remaining.findings).toHaveLength(1);
});

test('of fixes that overlap or touch, one a round', () => {
    const text = 'abcdef';
    const rounds: string[] = [];
    const judge = ([{ files }]: readonly Project[]) => {
        const now = files[0].text;
        rounds.push(now);
        if (now !== text) return judgement([]);
        const edit = (from: number, to: number, newText: string) => ({
            span: span('a.cotter', text, from, to),
            newText,
        });
        const one = { title: 'One', edits: [edit(0, 3, 'X')] };
        const two = { title: 'Two', edits: [edit(2, 4, 'Y')] };
        const three = { title: 'Three', edits: [edit(3, 3, 'Z')] };
        const four = { title: 'Four', edits: [edit(5, 6, 'W'), edit(1, 1, 'V')] };
        return judgement([one, two, three, four].map(made => finding(made.edits[0].span, { fixes: [made] })));
    };
    const done = fix([project(file('a.cotter', text))], judge);
    expect(rounds).toEqual(['abcdef', 'Xdef']);
    expect(done.fixes).toBe(1);
});

test('a fix of several edits is made whole', () => {
    const text = 'pull\nclose\n';
    const edits = [
        { span: span('a.cotter', text, 0, 4), newText: 'PULL' },
        { span: span('a.cotter', text, 11), newText: 'end\n' },
    ];
    const judge = ([{ files }]: readonly Project[]) =>
        judgement(files[0].text === text ? [finding(edits[0].span, { fixes: [{ title: 'Both', edits }] })] : []);
    expect(fix([project(file('a.cotter', text))], judge).changed[0].new.text).toBe('PULL\nclose\nend\n');
});

test('what is wrong with the text is mended first, and what came from it is not mended twice', () => {
    const text = 'pul A\nend\n';
    const at = (from: number, to = from) => span('a.cotter', text, from, to);
    const judge = ([{ files }]: readonly Project[]) => {
        if (files[0].text !== text) return judgement([]);
        const spelling = { title: 'Write pull', edits: [{ span: at(0, 3), newText: 'pull' }] };
        const adding = { title: 'Pull A', edits: [{ span: at(6), newText: 'pull A\n' }] };
        return judgement([
            finding(at(6, 9), { code: 'not-isolated', fixes: [adding] }),
            finding(at(0, 3), { code: 'unknown-name', fixes: [spelling] }),
        ]);
    };
    const done = fix([project(file('a.cotter', text))], judge);
    expect(done.changed[0].new.text).toBe('pull A\nend\n');
    expect(done.fixes).toBe(1);
});

test('fixes that go wrong together are made one after the other', () => {
    // Each of two findings is mended by one more x; with both there is one x too many.
    const judge = ([{ files }]: readonly Project[]) => {
        const now = files[0].text;
        const add = (offset: number) => ({
            title: 'Add x',
            edits: [{ span: span('a.cotter', now, offset), newText: 'x' }],
        });
        if (now.includes('x'))
            return judgement(
                now.match(/x/g)?.length === 1 ? [] : [finding(span('a.cotter', now, 0, 1), { code: 'already-so' })],
            );
        return judgement([
            finding(span('a.cotter', now, 0, 1), { about: ['a'], fixes: [add(0)] }),
            finding(span('a.cotter', now, 2, 3), { about: ['b'], fixes: [add(3)] }),
        ]);
    };
    const done = fix([project(file('a.cotter', 'a b'))], judge);
    expect(done.changed[0].new.text).toBe('xa b');
    expect(done).toMatchObject({ fixes: 1, remaining: { findings: [] } });
});

test('files that were not asked for stay as they are, and so does what is accepted', () => {
    const accepted = { because: 'known', span: span('b.cotter', 'bad', 0, 3) };
    const judge = (projects: readonly Project[]) => {
        const { findings } = judgeBy(/bad/g, () => 'good')(projects);
        return judgement(findings.map(one => (one.span.file === 'b.cotter' ? { ...one, accepted } : one)));
    };
    const before = project(file('a.cotter', 'bad', false), file('b.cotter', 'bad'), file('c.cotter', 'bad'));
    const done = fix([before], judge);
    expect(done.changed.map(({ new: { path } }) => path)).toEqual(['c.cotter']);
    expect(done.remaining.findings).toHaveLength(2);
});

test('new lines end as the others of the file do', () => {
    const judge = judgeBy(/bad/g, () => 'good\nbetter');
    expect(fix([project(file('a.cotter', 'bad\r\nx\r\n'))], judge).changed[0].new.text).toBe('good\r\nbetter\r\nx\r\n');
    expect(fix([project(file('a.cotter', 'bad\nx\n'))], judge).changed[0].new.text).toBe('good\nbetter\nx\n');
});
