import { describe, expect, it } from 'vitest';
import { check } from '../../../language/check.js';
import { ofWholeTexts } from '../../small.js';
import { generate } from './card.js';

describe('cards whose answer is known from how they were made', () => {
    it('1,000 of them get exactly the codes of the mistakes in them', () => {
        const wrong: string[] = [];
        const met = new Map<string, number>();
        let clean = 0;
        for (let seed = 1; seed <= 1000; seed++) {
            const { text, codes, blocks } = generate(seed);
            const report = check([{ path: 'generated.cotter', text }], {}, { fixes: 'none', without: ofWholeTexts });
            const found = [...new Set(report.findings.map(finding => finding.code))].sort();
            for (const code of codes) met.set(code, (met.get(code) ?? 0) + 1);
            if (codes.length === 0) {
                clean++;
                if (report.cards[0]?.status !== 'clean')
                    wrong.push(`seed ${seed}: ${report.cards[0]?.status}, not clean`);
            }
            if (found.join() !== codes.join()) {
                wrong.push(
                    `seed ${seed} (${blocks.join('; ')}): expected ${codes.join(', ')}, found ${found.join(', ')}`,
                );
            }
        }
        expect(wrong).toEqual([]);
        expect(clean).toBeGreaterThan(300);
        // Every mistake that the blocks know has been made often enough to mean something.
        expect([...met].filter(([, count]) => count < 10)).toEqual([]);
        expect(met.size).toBeGreaterThan(25);
    }, 600_000);

    it('are the same for the same seed, and differ for another', () => {
        expect(generate(7)).toEqual(generate(7));
        expect(generate(7).text).not.toBe(generate(8).text);
    });
});
