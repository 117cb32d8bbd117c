import { nameSpan } from '../../../names/duplicates.js';
import { modificationsOf, mostVariants, variantsOf } from '../../../names/reach.js';
import type { Check } from '../../check.js';
import { error, list } from '../shared.js';

export const tooManyVariants: Check = {
    code: 'too-many-variants',
    family: 'text',
    severity: 'error',
    title: 'A card for more kinds of aircraft than can be proved',
    ofText: project =>
        project.cards
            .filter(card => variantsOf(project, card) === undefined)
            .map(card => {
                const names = modificationsOf(project, card);
                const message = `${card.name} and what it uses speak of ${names.length} modifications (${list(names)}), which make more than ${mostVariants} kinds of aircraft. None of them is judged: say which modifications exclude each other ("not with", "after"), or write a card for each group of aircraft.`;
                return error('too-many-variants', card, nameSpan(project, card), message, { about: names });
            }),
};
