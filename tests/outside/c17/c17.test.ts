/**
 * Source: c17 of the ISCAS-85 benchmarks (Brglez and Fujiwara, 1985); vectors from Atalanta; see source.md. The circuit is written as
 * equipment, its vectors as tests of a card: outputs, failures revealed and the whole detection matrix must come out equal.
 */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { check } from '../../../language/check.js';
import type { FailureResult } from '../../../language/failures/failure.js';
import { type Judged, judgeAll } from '../../judge.js';

const folder = 'tests/outside/c17';
const read = (name: string) => readFileSync(`${folder}/${name}`, 'utf8');
const inputs = ['1', '2', '3', '6', '7'];
const outputs = ['22', '23'];

interface Vector {
    readonly bits: string;
    readonly out: string;
}

/** As printed by Atalanta: inputs, outputs. */
const vectors: readonly Vector[] = read('atalanta.test')
    .split('\n')
    .filter(line => /^[01]+ [01]+$/.test(line.trim()))
    .map(line => {
        const [bits = '', out = ''] = line.trim().split(' ');
        return { bits, out };
    });

/** The netlist worked out by itself, for the vectors that Atalanta does not print. */
function outputsOf(bits: string): string {
    const lines = new Map(inputs.map((name, index) => [name, bits[index] === '1']));
    for (const [, name = '', a = '', b = ''] of read('c17.bench').matchAll(/^(\d+) = NAND\((\d+), (\d+)\)/gm)) {
        lines.set(name, !(lines.get(a) && lines.get(b)));
    }
    return outputs.map(name => (lines.get(name) ? '1' : '0')).join('');
}

/** One test for each vector; every line of the circuit is what it is a test of. */
function card(tried: readonly Vector[]): string {
    const items = [...read('c17.cotter').matchAll(/mark ([\w-]+)/g)].map(([, name]) => name);
    const sets = (bits: string) => inputs.map((name, index) => `    tech: ensure IN-${name} is ${bits[index]}`);
    const sees = (out: string) => outputs.map((name, index) => `    tech: see L${name} is ${out[index]}`);
    const one = ({ bits, out }: Vector, index: number) =>
        [`    note "Vector ${index + 1}."`, ...sets(bits), ...sees(out)].join('\n');
    return `card 99-C17-1 "c17" {
  uses C17
  revision "1"
  role tech "Technician" at Bench
  test vectors "All vectors" of ${items.join(', ')} {
${tried.map(one).join('\n')}
  }
  step back "Inputs back" {
${inputs.map(name => `    tech: ensure IN-${name} is 0`).join('\n')}
  }
}
`;
}

function sourcesOf(tried: readonly Vector[]) {
    return [
        { path: 'c17.cotter', text: read('c17.cotter') },
        { path: 'card.cotter', text: card(tried) },
    ];
}

function judge(tried: readonly Vector[]): Judged {
    const [judged] = judgeAll(sourcesOf(tried));
    if (!judged) throw new Error('the text does not parse');
    return judged;
}

/** The stuck-at faults, as the table names them: "16->22/sa1". */
function faultsOf(judged: Judged): (FailureResult & { readonly fault: string })[] {
    return judged.failures
        .filter(({ class: kind }) => kind !== 'other')
        .map(result => {
            const item = judged.machine.items[result.failure.item];
            const line = (item?.name ?? '').replace(/^L/, '').replace(/^B(\d+)-(\d+)$/, '$1->$2');
            return { ...result, fault: `${line}/sa${item?.states[result.failure.detail]}` };
        });
}

/** By event, the vector during which it happens. */
function vectorOf(judged: Judged, event: number): number {
    const looks = judged.plan.events.filter(each => each.kind === 'look').map(each => each.id);
    return Math.floor(looks.indexOf(event) / outputs.length);
}

/** The classes of faults that no vector tells apart. */
const classes = read('detection-matrix.csv')
    .trim()
    .split('\n')
    .slice(1)
    .map(line => {
        const [members = '', detecting = ''] = line.split(',');
        return { members: members.split(' '), detecting: new Set(detecting.split(' ')) };
    });

describe('c17 (ISCAS-85)', () => {
    const judged = judge(vectors);
    const faults = faultsOf(judged);

    it('has seven vectors, and the outputs of each are right', () => {
        expect(vectors).toHaveLength(7);
        expect(judged.runs.contradicted).toEqual([]);
        const [plain] = judged.traces.plain;
        expect(plain?.visits.filter(visit => visit.met !== undefined).map(visit => visit.met)).toEqual(
            Array(vectors.length * outputs.length).fill(true),
        );
        for (const { bits, out } of vectors) expect(outputsOf(bits)).toBe(out);
    });

    it('has 17 lines, 34 single stuck-at faults in 22 classes, and they are the failures of the model', () => {
        expect(faults).toHaveLength(34);
        expect(judged.failures).toHaveLength(34);
        expect(classes).toHaveLength(22);
        expect(faults.map(each => each.fault).sort()).toEqual(classes.flatMap(each => each.members).sort());
    });

    it('reveals 34 of 34', () => {
        expect(faults.filter(each => each.revealedBy.length > 0)).toHaveLength(34);
    });

    it('reveals 7, 4, 3, 4, 2, 1, 1 classes by first vector', () => {
        const first = new Map(faults.map(each => [each.fault, vectorOf(judged, each.revealedBy[0] ?? -1)]));
        const counts = vectors.map(() => 0);
        for (const { members } of classes) {
            const firsts = new Set(members.map(member => first.get(member)));
            expect(firsts.size, `${members.join(' ')} are one class`).toBe(1);
            const [vector = -1] = firsts;
            counts[vector] = (counts[vector] ?? 0) + 1;
        }
        expect(counts).toEqual([7, 4, 3, 4, 2, 1, 1]);
    });

    it('is a clean card', () => {
        const { findings, cards } = check(sourcesOf(vectors));
        expect(findings).toEqual([]);
        expect(cards.map(each => each.status)).toEqual(['clean']);
    });

    it('gives the detection matrix of all 32 vectors, equal in every cell', () => {
        const all = Array.from({ length: 32 }, (_, n) => {
            const bits = n.toString(2).padStart(5, '0');
            return { bits, out: outputsOf(bits) };
        });
        const whole = judge(all);
        expect(whole.runs.contradicted).toEqual([]);
        const found = new Map(
            faultsOf(whole).map(each => [each.fault, new Set(each.revealedBy.map(event => all[vectorOf(whole, event)]?.bits))]),
        );
        let cells = 0;
        for (const { members, detecting } of classes) {
            for (const member of members) {
                for (const { bits } of all) {
                    expect(found.get(member)?.has(bits) ?? false, `${member} by ${bits}`).toBe(detecting.has(bits));
                    cells++;
                }
            }
        }
        expect(cells).toBe(34 * 32);
    });
});

describe('the check of it can fail', () => {
    it('without its first vector not every fault is revealed', () => {
        const fewer = faultsOf(judge(vectors.slice(1)));
        expect(fewer.filter(each => each.revealedBy.length === 0)).not.toEqual([]);
    });

    it('a wrong output is contradicted', () => {
        const [first, ...rest] = vectors;
        const wrong = [{ bits: first?.bits ?? '', out: '11' }, ...rest];
        expect(judge(wrong).runs.contradicted).not.toEqual([]);
        expect(check(sourcesOf(wrong)).findings.map(each => each.code)).toContain('expectation-contradicted');
    });
});
