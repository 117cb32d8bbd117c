/** The forms for build servers against the published schemas. Source: source.md. */
import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import ajv04 from 'ajv-draft-04';
import { XmlDocument, XsdValidator } from 'libxml2-wasm';
import { afterAll, describe, expect, test } from 'vitest';
import { card, clean, cotter, equipment, folder, pulled } from '../../command/cotter.js';

const here = 'tests/outside/report-schemas';
// Its types speak of the module, what is imported is the class.
const Ajv04 = ajv04 as unknown as typeof ajv04.default;
const ajv = new Ajv04({ allErrors: true, strict: false, validateFormats: false });
const sarif = ajv.compile(JSON.parse(readFileSync(`${here}/sarif-schema-2.1.0.json`, 'utf8')));
const xsd = XmlDocument.fromString(readFileSync(`${here}/JUnit.xsd`, 'utf8'));
const junit = XsdValidator.fromDoc(xsd);
afterAll(() => {
    junit.dispose();
    xsd.dispose();
});

const accepted = card('T2', 'pull CB-1').replace(
    '  step',
    '  accept untagged-at-stop for CB-1 because "It <is> & stays \\u0007 so."\n  step',
);
const files = {
    'a.cotter': pulled,
    'b "c"/b, %20&<é>.cotter': accepted,
    'c.cotter': 'card {',
    'd.cotter': card('T3', 'see LT is ON', 'see LX is ON').replace('"Look at the bus"', '"Look <&> \\"at\\" it"'),
};

const sets: readonly [string, Record<string, string>][] = [
    ['findings, an accepted one, a text that cannot be read, odd names', files],
    ['clean', { 'a.cotter': clean }],
    ['no card', { 'a.cotter': equipment }],
];

function refusedByXsd(xml: string): string[] {
    const document = XmlDocument.fromString(xml);
    try {
        junit.validate(document);
        return [];
    } catch (error) {
        return [String(error)];
    } finally {
        document.dispose();
    }
}

describe.each(sets)('%s', (_, set) => {
    test.each(['--severity=error', '--severity=information', '--only=breaker-left-pulled'])('%s', option => {
        const cwd = folder(set);
        const report = JSON.parse(cotter(['check', '--format', 'sarif', option], { cwd }).out);
        expect(sarif(report), JSON.stringify(sarif.errors)).toBe(true);
        expect(refusedByXsd(cotter(['check', '--format', 'junit', option], { cwd }).out)).toEqual([]);
    });
});

test('the faulty examples, all of them', () => {
    const cwd = resolve('examples/faulty');
    const report = JSON.parse(cotter(['check', '--format', 'sarif'], { cwd }).out);
    expect(sarif(report), JSON.stringify(sarif.errors)).toBe(true);
    expect(report.runs[0].results.length).toBeGreaterThan(10);
    expect(refusedByXsd(cotter(['check', '--format', 'junit'], { cwd }).out)).toEqual([]);
}, 600_000);

test('a file that cannot be read', () => {
    const cwd = folder({ 'a.cotter': clean, 'b.cotter': new Uint8Array([0xff, 0x41]) });
    const report = JSON.parse(cotter(['check', '--format', 'sarif'], { cwd }).out);
    expect(sarif(report), JSON.stringify(sarif.errors)).toBe(true);
    expect(report.runs[0].invocations[0]).toMatchObject({ executionSuccessful: false, exitCode: 2 });
    const xml = cotter(['check', '--format', 'junit'], { cwd }).out;
    expect(refusedByXsd(xml)).toEqual([]);
    expect(xml).toMatch(/<error type="not read" message="b\.cotter: is not in UTF-8/);
});

test('the schemas refuse what is wrong', () => {
    expect(sarif({ version: '2.1.0', runs: [{ results: [] }] })).toBe(false);
    expect(refusedByXsd('<testsuites><testsuite name="a"/></testsuites>')).not.toEqual([]);
});
