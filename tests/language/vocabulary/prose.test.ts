import { expect, test } from 'vitest';
import {
    contentWords,
    countWords,
    instructs,
    secondInstruction,
    sentencesOf,
} from '../../../language/vocabulary/prose.js';

test.each([
    ['Clean the seat. Dry it.', ['Clean the seat.', 'Dry it.']],
    ['Set No. 2 pump to ON.', ['Set No. 2 pump to ON.']],
    ['Use oil (e.g. the old one). Wait.', ['Use oil (e.g. the old one).', 'Wait.']],
    ['Torque to 3.5 N·m.', ['Torque to 3.5 N·m.']],
    ['Look for these: cracks, dents.', ['Look for these:', 'cracks, dents.']],
    ['No point at the end', ['No point at the end']],
    ['', []],
])('sentences of "%s"', (text, sentences) => expect(sentencesOf(text)).toEqual(sentences));

test.each([
    ['Clean the seat.', 3],
    ['Pull CB-217 (HYD 2 ISOL VALVE MOTOR A), and tag it.', 5],
    ['Set HYD 2 ISOLATION to SHUT.', 4],
    ['Set HYD 2 ELEC PUMP to ON.', 4],
    ['Wait 90 s.', 2],
    ['Check that the gauge reads 2,850 to 3,150 psi.', 8],
    ['Torque the bolt to 50 to 70 lbf·in with a lint-free glove.', 11],
    ['– , ;', 0],
])('words of "%s"', (text, count) => expect(countWords(text)).toBe(count));

test.each([
    ['Do not touch it.', 'Do not'],
    ['Make sure that it is dry.', 'Make sure'],
    ['Make and model stand on the plate.', undefined],
    ['Remove before flight tags are red.', undefined],
    ['Put the tag on it.', 'Put'],
    ['Before you go on, check the seat.', 'check'],
    ['Test equipment is in the tool room.', undefined],
    ['Open doors may close.', undefined],
    ['It is hot.', undefined],
])('"%s" instructs by %s', (text, verb) => expect(instructs(text)).toBe(verb));

test('what is told apart from a second instruction', () => {
    expect(secondInstruction('Remove the cap and seal of the port.')).toBeUndefined();
    expect(secondInstruction('Remove the cap and seal the port.')).toBe('seal the port');
    expect(secondInstruction('Look at the lock and the tag and remove CB-217.')).toBe('remove CB-217');
    expect(secondInstruction('The cap is off and remove is a word.')).toBeUndefined();
});

test('what a text is about', () => {
    expect([...contentWords('The valve moves without warning.')]).toEqual(['valv', 'mov', 'warning']);
    expect([...contentWords('A moved valve')]).toEqual(['mov', 'valv']);
});
