import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { textChecks } from '../../../language/checks/text/index.js';
import { parseProject } from '../../../language/names/project.js';

const text = readFileSync(new URL('valve.cotter', import.meta.url), 'utf8');

test('the sample is read without a finding, and every name in it names something', () => {
    const project = parseProject([{ path: 'valve.cotter', text }]);
    expect(project.findings).toEqual([]);
    const references = project.files.flatMap(file => file.references);
    expect(references.length).toBe(182);
    expect(references.filter(each => each.ref === undefined).map(each => each.$refText)).toEqual([]);
    expect(textChecks.flatMap(check => check.ofText?.(project) ?? [])).toEqual([]);
});

test('a text that is taken over is linked to the new texts, not to the old ones', () => {
    const [head = '', tail = ''] = text.split(/(?=^subtask)/m);
    const first = parseProject([
        { path: 'a.cotter', text: head },
        { path: 'b.cotter', text: tail },
    ]);
    expect(first.findings).toEqual([]);
    const second = parseProject(
        [
            { path: 'a.cotter', text: head.replaceAll('CB-217', 'CB-317') },
            { path: 'b.cotter', text: tail },
        ],
        first,
    );
    expect(second.files[1]?.root).toBe(first.files[1]?.root);
    expect(second.findings.map(finding => [finding.code, finding.about, finding.span.line])).toEqual([
        ['unknown-name', ['CB-217'], 31],
        ['unknown-name', ['CB-217'], 56],
        ['unknown-name', ['CB-217'], 59],
        ['unknown-name', ['CB-217'], 73],
    ]);
    const third = parseProject(
        [
            { path: 'a.cotter', text: head },
            { path: 'b.cotter', text: tail },
        ],
        second,
    );
    expect(third.findings).toEqual([]);
});
