/** Where people are, what they reach, and what a hold can still see. */
import { describe, expect, it } from 'vitest';
import { only, type Small } from './small.js';

const people = ['role-not-there', 'hold-too-late', 'inspector-not-independent', 'rule-broken', 'not-isolated'];
const found = (lines: string, small: Small = {}): string[] => only(people, lines, small);
const inBay = { equipment: 'unit PUMP "pump" at Bay\nseal RING "ring" in PUMP\narea SEEP "seep" at Bay' };

describe('a role reaches', () => {
    it('its place', () => {
        expect(found('tech: "Work on [ARM]."')).toEqual([]);
        expect(found('deck: "Work on [ARM]."')).toEqual(['role-not-there: deck: "Work on [ARM]."']);
    });
    it('every place in it whose covers are off', () => {
        expect(found('tech: remove LID\ntech: "Work on [PUMP]."\ntech: install LID', inBay)).toEqual([]);
        expect(found('tech: "Work on [PUMP]."', inBay)).toEqual(['role-not-there: tech: "Work on [PUMP]."']);
    });
    it('on every path', () => {
        expect(
            found(
                'if tech sees MARK is S { tech: remove LID }\ntech: "Work on [PUMP]."\ntech: ensure LID is INSTALLED',
                inBay,
            ),
        ).toEqual(['role-not-there: tech: "Work on [PUMP]."']);
    });
    it('the place that it has gone to, and no other', () => {
        expect(found('deck: go to Well\ndeck: "Work on [ARM]."')).toEqual([]);
        expect(found('deck: go to Well\ndeck: pull CB-1 and tag\ndeck: go to Deck\ndeck: close CB-1')).toEqual([
            'role-not-there: deck: pull CB-1 and tag',
        ]);
    });
    it('a place behind a cover only when the cover is off', () => {
        expect(found('deck: go to Bay')).toEqual(['role-not-there: deck: go to Bay']);
        expect(found('tech: remove LID\ndeck: go to Bay\ndeck: "Work on [PUMP]."\ntech: install LID', inBay)).toEqual(
            [],
        );
    });
    it('nothing that lies outside where it has gone', () => {
        expect(
            found('tech: remove LID\ntech: go to Bay\ntech: "Work on [ARM]."\ntech: go to Well\ntech: install LID'),
        ).toEqual(['role-not-there: tech: "Work on [ARM]."']);
    });
    it('for cleaning and clearing the same', () => {
        expect(found('tech: clean SEEP', inBay)).toEqual(['role-not-there: tech: clean SEEP']);
        expect(found('tech: clear Bay', inBay)).toEqual(['role-not-there: tech: clear Bay']);
    });
    it('what is already so without going there', () => {
        expect(found('deck: ensure ARM is INSTALLED')).toEqual([]);
    });
});

describe('someone at, nobody at', () => {
    const watched = {
        equipment: 'rule watch: before set SW require someone at Aft because "Nobody else sees it."',
        roles: 'role deck "D" at Deck\nrole guard "G" at Aft\nrole tech "T" at Well',
    };
    it('from the first act there', () => {
        expect(found('deck: set SW to ON\ndeck: set SW to OFF', watched)).toEqual([
            'rule-broken: deck: set SW to ON',
            'rule-broken: deck: set SW to OFF',
        ]);
        expect(found('guard: "Watch the tail."\ndeck: set SW to ON\ndeck: set SW to OFF', watched)).toEqual([]);
        expect(found('guard: tell deck "In place."\ndeck: set SW to ON\ndeck: set SW to OFF', watched)).toEqual([]);
    });
    it('until it goes elsewhere', () => {
        expect(
            found('guard: "Watch the tail."\nguard: go to Well\ndeck: set SW to ON\ndeck: set SW to OFF', watched),
        ).toHaveLength(2);
    });
    it('a place includes those in it', () => {
        const well = {
            equipment: `${inBay.equipment}\nrule empty: before set SW require nobody at Well because "It crushes."`,
        };
        expect(found('deck: set SW to ON\ndeck: set SW to OFF', well)).toEqual([]);
        expect(
            found(
                'tech: remove LID\ntech: "Work on [PUMP]."\ndeck: set SW to ON\ndeck: set SW to OFF\ntech: install LID',
                well,
            ),
        ).toHaveLength(2);
        expect(
            found(
                'tech: remove LID\ntech: "Work on [PUMP]."\ntech: install LID\ntech: go to Deck\ndeck: set SW to ON\ndeck: set SW to OFF',
                well,
            ),
        ).toEqual([]);
    });
});

describe('a hold', () => {
    const hold = 'hold for insp "[PUMP] is tight."';
    it('names what is in sight', () => {
        expect(found(`tech: remove LID\ntech: "Work on [PUMP]."\n${hold}\ntech: install LID`, inBay)).toEqual([]);
        expect(found(`tech: remove LID\ntech: "Work on [PUMP]."\ntech: install LID\n${hold}`, inBay)).toEqual([
            `hold-too-late: ${hold}`,
        ]);
    });
    it('sees a seal only while its unit is off, and a place when the unit there is gone', () => {
        const ring = 'hold for insp "[RING] is new and the seat of [PUMP] is clean."';
        expect(
            found(`tech: remove LID\ntech: remove PUMP\n${ring}\ntech: install PUMP\ntech: install LID`, inBay),
        ).toEqual([]);
        expect(
            found(`tech: remove LID\ntech: remove PUMP\ntech: install PUMP\n${ring}\ntech: install LID`, inBay),
        ).toEqual([`hold-too-late: ${ring}`]);
    });
    it('is not for who has worked on it, or on what is in it', () => {
        const parts = { equipment: `${inBay.equipment}\nunit BOX "box" at Well\nfastener BOLT "bolt" in BOX` };
        const box = 'hold for insp "[BOX] is closed."';
        expect(found(`tech: remove BOLT\ntech: install BOLT\n${box}`, parts)).toEqual([]);
        expect(found(`insp: remove BOLT\ntech: install BOLT\n${box}`, parts)).toEqual([
            `inspector-not-independent: ${box}`,
        ]);
    });
    it('is not for who is not independent of one who has', () => {
        const loose = { roles: 'role tech "T" at Well\nrole insp "I" at Well' };
        expect(found('tech: "Work on [ARM]."\nhold for insp "[ARM] is well."', loose)).toEqual([
            'inspector-not-independent: hold for insp "[ARM] is well."',
        ]);
    });
    it('is at the place of what it names', () => {
        const away = { roles: 'role tech "T" at Well\nrole insp "I" at Deck independent of tech' };
        const arm = 'hold for insp "[ARM] is well."';
        expect(found(`tech: "Work on [ARM]."\n${arm}`, away)).toEqual([`role-not-there: ${arm}`]);
        expect(found(`tech: "Work on [ARM]."\ninsp: go to Well\n${arm}`, away)).toEqual([]);
    });
    it('does not mind who has only looked or spoken', () => {
        expect(
            found(
                'insp: see MARK is S\ninsp: tell tech "Go on."\ntech: "Work on [ARM]."\nhold for insp "[ARM] and [MARK] are well."',
            ),
        ).toEqual([]);
    });
});

describe('a text that names several things', () => {
    it('is work on each, where each is', () => {
        expect(found('tech: "Check [ARM] and [SW]."')).toEqual(['role-not-there: tech: "Check [ARM] and [SW]."']);
    });
});
