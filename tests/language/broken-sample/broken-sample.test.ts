import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { check, type Finding } from '../../../language/check.js';
import { rows } from './edits.js';

const sample = readFileSync('tests/language/sample/valve.cotter', 'utf8');

/** One line a finding, for the record of everything that answers a change. */
function written(finding: Finding): string {
    const { span, severity, code, message, fixes, only } = finding;
    const fix = fixes.length ? ` | fix: ${fixes.map(each => each.title).join('; ')}` : '';
    return `${span.line}:${span.column} ${severity} ${code}${only ? ` (${only})` : ''}: ${message}${fix}`;
}

describe('the sample card, broken in one place', () => {
    it.each(rows.map(row => [row.change, row] as const))('%s', async (change, row) => {
        const broken = row.edit(sample);
        if (change !== 'nothing at all') expect(broken).not.toBe(sample);
        const { findings } = check([{ path: 'valve.cotter', text: broken }]);
        const codes = findings.map(finding => finding.code);
        for (const [code, ...says] of row.answers) {
            const answers = findings.filter(
                finding => finding.code === code && says.every(part => finding.message.includes(part)),
            );
            expect(
                answers,
                `${code} saying ${says.join(', ')}; there are\n${findings.map(written).join('\n')}`,
            ).not.toEqual([]);
        }
        if (row.fix) {
            const [first] = findings.filter(finding => finding.code === row.answers[0]?.[0]);
            expect(first?.fixes[0]?.title).toContain(row.fix);
        }
        if (row.exactly) expect([...new Set(codes)], findings.map(written).join('\n')).toEqual(row.exactly);
        if (row.once) expect(codes.filter(code => code === row.once)).toHaveLength(1);
        const name = change.toLowerCase().replaceAll(/[^a-z0-9]+/g, '-');
        await expect(`${findings.map(written).join('\n')}\n`).toMatchFileSnapshot(`answers/${name}.txt`);
    });
});
