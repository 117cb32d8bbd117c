import { describe, expect, test } from 'vitest';
import { parseText } from '../../../language/grammar/parse.js';

/** Messages with the text that each marks, `|` for a place between two signs. */
function said(text: string): string[] {
    return parseText(text).problems.map(
        ({ offset, end, message }) => `${offset === end ? '|' : text.slice(offset, end)}: ${message}`,
    );
}
const inStep = (body: string) => said(`card C "c" {\n  step s "s" {\n    ${body}\n  }\n}\n`);
const inEquipment = (body: string) => said(`equipment E "e" {\n  ${body}\n}\n`);

describe('one slip, one sentence that a writer understands', () => {
    test.each([
        ['deck: pul CB-1', 'pul: There is no "pul" here. Did you mean "pull"?'],
        ['deck: sea LT is ON', 'sea: There is no "sea" here. Did you mean "see"?'],
        ['deck: wait 5 s', 'deck:: Everybody waits: write "wait" without "deck:".'],
        ['deck: note "Dim."', 'note: No role stands before "note": write it without the name and the colon.'],
        [
            'insp: hold "[U] is on."',
            'hold: A hold names its role after "hold for", as in: hold for insp "[ACT] is secure."',
        ],
        ['deck: verify LT is ON', 'verify: There is no "verify" here. Did you mean "see"?'],
        ['wait 5s', '5s: Write 5 s, with a blank between the number and its unit.'],
        ['wait 0.5s', '0.5s: Write 0.5 s, with a blank between the number and its unit.'],
        ['wait 5', '|: A unit, such as s, mm or N·m, is due here, but "}" stands here.'],
        ['wait min', 'min: A number is due here, but "min" stands here.'],
        ['wat 5 s', 'wat: There is no "wat" here. Did you mean "wait"?'],
        [
            'deck: measure "gap" of U 3,95 to 4.00 mm',
            '3,95: Write 3.95: the decimal point is a point. A comma only groups thousands, as in 2,850.',
        ],
        [
            'deck: read G at least 1234,567 psi',
            '1234,567: Write 1234.567: the decimal point is a point. A comma only groups thousands, as in 2,850.',
        ],
        ['deck: torque U 4.2 to 4.8N·m', '4.8N·m: Write 4.8 N·m, with a blank between the number and its unit.'],
        [
            'note "The light is dim.',
            '"The light is dim.: The text has no closing quote on this line: write " at its end.',
        ],
        ['note "The [LT is dim."', '[: A bracket in a text names an item, as in [ACT]. For a plain bracket write \\[.'],
        ['note "The [LT] is dim.', '] is dim.: The text has no closing quote on this line: write " at its end.'],
        ['deck: see LT ON', 'ON: "is" is due here, but "ON" stands here.'],
        [
            'meanwhile { deck: pull A } and { tech: pull B }',
            'meanwhile: This version has no "meanwhile": write what the roles do one after the other.',
        ],
        ['deck: pull A §', '§: "§" means nothing here. Texts stand in straight quotes: "like this".'],
    ])('%s', (body, message) => expect(inStep(body)).toEqual([message]));

    test('a word of the language where a name is due', () => {
        expect(said('card C "c" {\n  step plug "s" { wait 5 s }\n}\n')[0]).toBe(
            'plug: "plug" is a word of the language, so it cannot be a name: choose another, such as plug-1.',
        );
    });

    test.each([
        ['braker CB "cb"', 'braker: There is no "braker" here. Did you mean "breaker"?'],
        ['CB "cb"', 'CB: Before CB a word is missing that says what it is, such as "breaker", "unit" or "place".'],
        ['control C "c" postions OFF, ON', 'postions: There is no "postions" here. Did you mean "positions"?'],
        ['switch S "s" at P positions OFF, ON', 'switch: There is no "switch" here. Did you mean "control"?'],
        [
            'valve V "v" positions A, B { goes B after 5 s when C is ON }',
            'after: There is no "after" here. Did you mean "in"?',
        ],
        ['cap C "c" at P on Q', 'on: A place, an item, a rule or "}" is due here, but "on" stands here.'],
        ['control C', '|: A text in quotes is due here, but "}" stands here.'],
        ['rule r: before set C require', '|: A condition, such as PUMP is OFF, is due here, but "}" stands here.'],
    ])('%s', (body, message) => expect(inEquipment(body)).toEqual([message]));
});

describe('braces are looked for by the indentation', () => {
    const card = 'card C "c" {\n  step a "a" {\n    wait 1 s\n  }\n  step b "b" {\n    wait 2 s\n  }\n}\n';
    test('as it should be', () => expect(said(card)).toEqual([]));
    test('one too few', () => {
        const text = card.replace('  }\n  step b', '  step b');
        expect(said(text)).toEqual(['|: The "{" of line 2 is not closed: "}" is due before this.']);
        expect(parseText(text).problems[0]?.fix?.newText).toBe('\n  }');
        expect(parseText(text).root).toMatchObject({ declarations: [{ parts: [{ name: 'a' }, { name: 'b' }] }] });
    });
    test('one too many', () => {
        const text = card.replace('  }\n  step b', '  }\n  }\n  step b');
        expect(said(text)).toEqual(['}: This "}" closes nothing.']);
        expect(parseText(text).root).toMatchObject({ declarations: [{ parts: [{ name: 'a' }, { name: 'b' }] }] });
    });
    test('an opening one too few', () => {
        const text = card.replace('step b "b" {', 'step b "b"');
        expect(said(text)).toEqual(['|: The lines below are indented as a block: "{" is due here.']);
        expect(parseText(text).root).toMatchObject({
            declarations: [{ parts: [{ name: 'a' }, { name: 'b', statements: [{}] }] }],
        });
    });
    test('without indentation the file ends too early', () => {
        expect(said('card C "c" {\nstep a "a" {\nwait 1 s\n}\n')).toEqual([
            '|: A part of the card or "}" is due here, but the file ends.',
        ]);
    });
});

test('every fix of a slip leaves a text that reads', () => {
    const slips = [
        'deck: pul CB-1',
        'wait 5s',
        'wait 0.5s',
        'wat 5 s',
        'deck: measure "gap" of U 3,95 to 4.00 mm',
        'note "The light is dim.',
        'note "The [LT is dim."',
        'deck pull CB-1',
        'deck: wait 5 s',
        'deck: verify LT is ON',
    ];
    for (const slip of slips) {
        const text = `card C "c" {\n  role deck "d"\n  step s "s" {\n    ${slip}\n  }\n}\n`;
        const { problems } = parseText(text);
        const [fix] = problems.map(problem => problem.fix);
        expect(problems.length, slip).toBe(1);
        expect(fix, slip).toBeDefined();
        if (fix)
            expect(parseText(text.slice(0, fix.offset) + fix.newText + text.slice(fix.end)).problems, slip).toEqual([]);
    }
});
