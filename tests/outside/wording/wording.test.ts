/**
 * Wording, from outside: ASD-STE100 Simplified Technical English, Issue 9 (2025): rule 5.1, at most 20 words in a procedural sentence; 5.2, one
 * instruction in a sentence unless done at the same time; 5.5, notes inform, and have at most 25 words. MIL-DTL-23618H and MIL-DTL-87268D,
 * 3.2.2.2: warnings and cautions precede what they apply to, in the order warning, caution, note. All read in retrieved copies.
 */
import { describe, expect, it, test } from 'vitest';
import { check, type Settings } from '../../../language/check.js';

function answers(lines: readonly string[], settings: Settings = {}): string[] {
    const text = `equipment Pump "Pump" {
  place Bay "Pump bay"
  unit  PUMP "pump" at Bay
  port  VENT "vent" at Bay
  rule hot: before open VENT require PUMP because "Steam burns hands."
}
card T84-29-00-01 "Pump: look at it" {
  uses Pump
  revision "1" dated "2026-05-04"
  role tech "Technician" at Bay
  step look "Look at it" {
    ${lines.join('\n    ')}
    tech: see VENT is CLOSED
  }
}`;
    return check([{ path: 'wording.cotter', text }], settings, { fixes: 'none' }).findings.map(each => each.code);
}

/** A sentence of so many words: an instruction, or a statement. */
const sentence = (words: number, first: string): string =>
    `${[first, ...Array.from({ length: words - 1 }, (_, n) => ['the', 'seat', 'near', 'old', 'pipe'][n % 5])].join(' ')}.`;

describe('words in a sentence', () => {
    test.each([12, 19, 20])('%d in a step are not too many', count => {
        expect(answers([`tech: "${sentence(count, 'Inspect')}"`])).toEqual([]);
    });
    test.each([21, 22, 40])('%d in a step are too many', count => {
        expect(answers([`tech: "${sentence(count, 'Inspect')}"`])).toEqual(['sentence-too-long']);
    });
    test.each([20, 21, 24, 25])('%d in a note are not too many', count => {
        expect(answers([`note "${sentence(count, 'Steam')}"`])).toEqual([]);
    });
    test.each([26, 27, 40])('%d in a note are too many', count => {
        expect(answers([`note "${sentence(count, 'Steam')}"`])).toEqual(['sentence-too-long']);
    });
    it('count for each sentence by itself', () => {
        expect(answers([`tech: "${sentence(20, 'Inspect')} ${sentence(20, 'Inspect')}"`])).toEqual([]);
    });
    it('have the limits that the project sets', () => {
        const lines = [`tech: "${sentence(15, 'Inspect')}"`, `note "${sentence(28, 'Steam')}"`];
        expect(answers(lines, { sentence: { step: 14, note: 28 } })).toEqual(['sentence-too-long']);
        expect(answers(lines, { sentence: { step: 15, note: 27 } })).toEqual(['sentence-too-long']);
        expect(answers(lines, { sentence: { step: 15, note: 28 } })).toEqual([]);
        expect(answers(lines)).toEqual(['sentence-too-long']);
    });
});

describe('one instruction in a sentence', () => {
    test.each([
        ['Remove the cap and clean the seat.', ['two-instructions']],
        ['Set the lever to the stop, then tighten the bolt.', ['two-instructions']],
        ['When the pump is cold, drain it and discard the oil.', ['two-instructions']],
        ['Turn the nut and hold the bolt at the same time.', []],
        ['Hold the bolt and turn the nut.', []],
        ['Clean the seat and the bolt.', []],
        ['Clean the seat. Dry the seat.', []],
        ['When the pump is cold, drain it.', []],
        ['Look that pump and vent are clean and dry.', []],
    ])('%s', (words, codes) => expect(answers([`tech: "${words}"`])).toEqual(codes));
});

describe('a note informs', () => {
    test.each([
        ['The oil can be hot.', []],
        ['Clean oil has no colour.', []],
        ['Set screws are black.', []],
        ['Clean the seat.', ['instruction-in-note']],
        ['The seat is soft. Do not use a scraper.', ['instruction-in-note']],
        ['If the seat is dirty, clean it.', ['instruction-in-note']],
    ])('%s', (words, codes) => expect(answers([`note "${words}"`])).toEqual(codes));
});

describe('warning, caution, note', () => {
    const alerts = {
        warning: 'warning "Steam burns hands. Wear gloves."',
        caution: 'caution "Dirt blocks the vent."',
        note: 'note "The vent is brass."',
    };
    const kinds = ['warning', 'caution', 'note'] as const;
    const orders = kinds.flatMap(a =>
        kinds.filter(b => b !== a).flatMap(b => kinds.filter(c => c !== a && c !== b).map(c => [a, b, c] as const)),
    );
    it('have six orders', () => expect(orders).toHaveLength(6));
    test.each(orders)('%s, %s, %s', (...order) => {
        const lines = [...order.map(each => alerts[each]), 'tech: open VENT', 'tech: close VENT'];
        expect(answers(lines)).toEqual(order.join() === kinds.join() ? [] : ['alert-after-action']);
    });
    it('stand before the action that they apply to', () => {
        expect(answers([alerts.warning, 'tech: open VENT', 'tech: close VENT'])).toEqual([]);
        expect(answers(['tech: open VENT', alerts.warning, 'tech: close VENT'])).toEqual(['alert-after-action']);
        expect(answers(['tech: open VENT', 'tech: close VENT'])).toEqual(['alert-after-action']);
        expect(answers([alerts.note, 'tech: open VENT', 'tech: close VENT'])).toEqual(['alert-after-action']);
    });
    it('are read only where they stand', () => {
        const inElse = ['tech: see PUMP is INSTALLED else {', alerts.warning, '}', 'tech: open VENT', 'tech: close VENT'];
        expect(answers(inElse)).toContain('alert-after-action');
    });
});
