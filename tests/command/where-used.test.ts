import { describe, expect, test } from 'vitest';
import { card, clean, cotter, equipment, folder } from './cotter.js';

const files = {
    'cotter.json': '{}',
    'supply.cotter': equipment.replace(
        /\}\s*$/,
        '  rule hands: before set SW require CB-1 is CLOSED because "[CB-1] feeds it."\n  control SW "SWITCH" at Deck positions OFF, ON\n}\n',
    ),
    'cards/one.cotter': card('T1', 'pull CB-1 and tag', 'see LT is OFF', 'close CB-1'),
    'cards/two.cotter': card('T2', '"Look at [CB-1]."'),
};

describe('cotter where-used', () => {
    test('names cards, rules and lines', () => {
        const { code, out, err } = cotter(['where-used', 'CB-1'], { cwd: folder(files) });
        expect({ code, err }).toEqual({ code: 0, err: '' });
        expect(out).toMatch(/^CB-1 \(BUS FEED\), breaker of Supply\n {2}supply\.cotter:4:\d+ {2}declared here\n/);
        expect(out).toMatch(
            /^card T1 "Look at the bus"\n {2}cards\/one\.cotter:7:16 {2}step look: tech: pull CB-1 and tag$/m,
        );
        expect(out).toMatch(/supply\.cotter:6:\d+ {2}rule hands: rule hands: before set SW/);
        expect(out).toMatch(/\nUsed in 6 places: 2 cards, 0 subtasks, 1 rule\.\n$/);
    });

    test('as JSON', () => {
        const { out } = cotter(['where-used', 'Supply.CB-1', '--format', 'json'], { cwd: folder(files) });
        const report = JSON.parse(out);
        expect(report).toMatchObject({
            version: 1,
            name: 'CB-1',
            what: 'breaker',
            owner: 'Supply',
            cards: ['T1', 'T2'],
            rules: ['Supply.hands'],
            notRead: [],
        });
        expect(report.uses).toHaveLength(6);
        expect(report.uses[0]).toMatchObject({ how: 'pull', within: { what: 'step', name: 'look' }, via: [] });
    });

    test('a name of several things lists them, and one of them can be named', () => {
        const cwd = folder(files);
        const { code, out, err } = cotter(['where-used', 'tech'], { cwd });
        expect({ code, out }).toEqual({ code: 2, out: '' });
        expect(err).toMatch(
            /several things.*\n {2}T1\.tech {2}role "Technician", cards\/one\.cotter:5:3\n {2}T2\.tech /s,
        );
        expect(cotter(['where-used', 'T2.tech'], { cwd }).out).toMatch(/Used in 1 place: 1 card,/);
    });

    test('a name that nothing has', () => {
        const { code, out, err } = cotter(['where-used', 'CB-11'], { cwd: folder(files) });
        expect({ code, out }).toEqual({ code: 2, out: '' });
        expect(err).toBe('cotter: nothing has the name "CB-11"; did you mean CB-1?\n');
    });

    test('a text that cannot be read whole may hold more, and is named', () => {
        const cwd = folder({ ...files, 'cards/bad.cotter': 'card T9 "x" { stp' });
        const { code, out } = cotter(['where-used', 'CB-1'], { cwd });
        expect(code).toBe(1);
        expect(out).toMatch(/\nNot known: cards\/bad\.cotter cannot be read whole and may hold more\.\n$/);
    });

    test('what nothing uses', () => {
        const { out } = cotter(['where-used', 'T1'], { cwd: folder({ 'a.cotter': clean }) });
        expect(out).toMatch(/\nUsed nowhere\.\n$/);
    });
});
