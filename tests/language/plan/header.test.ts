import { describe, expect, it } from 'vitest';
import { wordsOf } from '../../../language/vocabulary/sentences.js';
import { card, rig } from './rig.js';
import { flow, lower, printed } from './show.js';

const parts = (text: string, more = '') =>
    `${rig} ${more} card C-1 "Card" { uses Rig role deck "Operator" at Deck role tech "Technician" ${text} }`;

describe('the parts of a card', () => {
    it('"start with" and "finish with"', () => {
        const { plan, machine } = lower(
            parts(
                'start with SW is ON for at least 90 s, DRAIN is OPEN or CLOSED finish with CB-1 is PULLED, BOX is REMOVED',
            ),
        );
        const settings = (all: typeof plan.start) =>
            all.map(({ item, slot, states, atLeast }) => [
                machine.items[item]?.name,
                states.map(state => machine.slots[slot]?.states[state]),
                atLeast,
            ]);
        expect(settings(plan.start)).toEqual([
            ['SW', ['ON'], 90],
            ['DRAIN', ['OPEN', 'CLOSED'], 0],
        ]);
        expect(settings(plan.finish)).toEqual([
            ['CB-1', ['PULLED'], 0],
            ['BOX', ['REMOVED'], 0],
        ]);
        expect(plan.page.start.map(wordsOf)).toEqual([
            'MASTER has been ON for at least 90 s.',
            'The drain port is OPEN or CLOSED.',
        ]);
        expect(plan.page.finish.map(wordsOf)).toEqual(['CB-1 (PUMP A) is PULLED.', 'The control box is REMOVED.']);
    });

    it('"start with" what is not there', () => {
        const { plan } = lower(parts('start with LAMP is ON, SW is GREEN, NOPE is ON'));
        expect(plan.start).toEqual([]);
        expect(plan.unknown).toHaveLength(3);
    });

    it('"after" knows what the other card leaves', () => {
        const { plan } = lower(
            parts('after C-2', 'card C-2 "Other" { uses Rig finish with DRAIN is OPEN }'),
            [],
            'C-1',
        );
        expect(plan.after).toMatchObject([{ card: 'C-2', leaves: [{ states: [1] }] }]);
    });

    it('roles, of which one is at no place', () => {
        const { plan, machine } = lower(parts(''));
        expect(plan.roles.map(each => machine.places[each.place]?.name)).toEqual(['Deck', undefined]);
    });

    it('alerts outside any step', () => {
        const { plan } = lower(parts('warning "[BOX] is hot." step s "Step" { }'));
        expect(plan.page.alerts).toMatchObject([
            { kind: 'alert', alert: 'warning', sentence: [{ text: 'The control box is hot.' }] },
        ]);
    });

    it('"accept" for the whole card', () => {
        const { plan, machine } = lower(parts('accept left-open for DRAIN because "It drains."'));
        expect(plan.accepts).toMatchObject([{ code: 'left-open', name: 'DRAIN', because: 'It drains.', step: -1 }]);
        expect(machine.items[plan.accepts[0]?.item ?? -1]?.name).toBe('DRAIN');
    });

    it('"where", for steps, roles and settings', () => {
        const text = parts(`
            where M1 { step a "A" { deck: see LAMP is ON } start with SW is ON }
            otherwise { role guard "Guard" at Hall step b "B" { guard: open DRAIN } }
            step c "C" { deck: pull CB-1 }`);
        expect(flow(lower(text, ['M1']))).toEqual([
            '0 step a',
            '1 deck see LAMP ON',
            '2 done a',
            '3 step c',
            '4 deck pull CB-1 PULLED',
            '5 done c',
            '6 end -> out',
        ]);
        expect(flow(lower(text))[1]).toBe('1 guard open DRAIN OPEN');
        expect(printed(lower(text))[0]).toBe('1 | B | Only without Modification 1.');
        expect(printed(lower(text))[2]).toBe('2 | C');
        expect(lower(text, ['M1']).plan.start).toHaveLength(1);
        expect(lower(text).plan.start).toEqual([]);
        for (const embodied of [[], ['M1']]) expect(lower(text, embodied).plan.unknown).toEqual([]);
    });

    it('breakers for the table, by place and grid, from every way of pulling', () => {
        const more = 'subtask Off "Off" (breaker b, role who) uses Rig { who: ensure b is PULLED }';
        const { plan } = lower(card('deck: pull CB-2\n do Off(CB-1, deck)\n deck: close CB-2', more));
        expect(plan.page.breakers.map(each => `${each.place} ${each.grid} ${each.name} ${each.label}`)).toEqual([
            'Flight deck A2 CB-1 PUMP A',
            'Flight deck A10 CB-2 PUMP B',
        ]);
    });

    it('none at all', () => {
        const { plan } = lower('card C "" { }');
        expect(flow(lower('card C "" { }'))).toEqual(['0 end -> out']);
        expect(plan).toMatchObject({ card: 'C', label: 'C', steps: [], unknown: [] });
    });
});
