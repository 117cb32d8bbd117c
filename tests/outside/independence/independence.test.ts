/**
 * Source: 14 CFR 121.371(c) (and 135.429(c), in the same sense): no person may perform a required inspection if that person
 * performed the item of work required to be inspected.
 */
import { describe, expect, it } from 'vitest';
import { check } from '../../../language/check.js';
import { ofWholeTexts } from '../../small.js';

interface Who {
    readonly works?: string;
    readonly holds?: string;
    readonly independentOf?: string;
    readonly also?: string;
}

const card = ({ works = 'tech', holds = 'insp', independentOf = 'independent of tech, mate', also = '' }: Who) => [
    {
        path: 'independence.cotter',
        text: `equipment Rod "elevator control rod" {
  place Tail "Tail"
  unit  ROD  "control rod" at Tail
  unit  BELL "bell crank"  at Tail
}
card 99-IN-1 "rod" {
  uses Rod
  revision "1"
  role tech "Technician" at Tail
  role mate "Second technician" at Tail
  role insp "Inspector" at Tail ${independentOf}
  step work "Replace the rod" {
    ${works}: remove ROD
    ${works}: install new ROD
    ${also}
    hold for ${holds} "[ROD] is secure."
  }
}`,
    },
];
const answers = (who: Who) => check(card(who), {}, { without: ofWholeTexts }).findings;

describe('a required inspection (14 CFR 121.371(c))', () => {
    it('may be done by somebody independent of who did the work', () => {
        expect(answers({})).toEqual([]);
    });

    it('may be done by who worked on something else', () => {
        expect(answers({ also: 'insp: "Grease [BELL]."' })).toEqual([]);
    });

    it('may not be done by who did the work', () => {
        const found = answers({ holds: 'tech' });
        expect(found.map(each => each.code)).toEqual(['inspector-not-independent']);
        expect(found[0]?.message).toContain('Technician');
        expect(found[0]?.message).toContain('ROD (control rod)');
    });

    it('may not be done by who did a part of the work', () => {
        expect(answers({ also: 'insp: "Tighten [ROD] by hand."' }).map(each => each.code)).toEqual(['inspector-not-independent']);
    });

    it('may not be done by who is not said to be independent of one of them', () => {
        expect(answers({ also: 'mate: "Tighten [ROD] by hand."', independentOf: 'independent of tech' }).map(each => each.code)).toEqual([
            'inspector-not-independent',
        ]);
        expect(answers({ also: 'mate: "Tighten [ROD] by hand."' })).toEqual([]);
    });

    it('may not be done by the inspector either after doing the whole work', () => {
        expect(answers({ works: 'insp' }).map(each => each.code)).toEqual(['inspector-not-independent']);
    });
});
