import { renderOpenHere } from '../../language/html/index.js';
import { caution } from '../../language/readers/finished-card/index.js';
import { type OpenHere, type OpenThing, openHere } from '../../language/readers/open-here/open-here.js';
import type { At, Feature } from './feature.js';
import { cardsAround } from './judged.js';
import { locationOf, rangeOf } from './ranges.js';
import { type OpenHereAnswer, type OpenHereParams, openHereRequest } from './requests.js';

/** What is not as the card found it at a place of the text, and the ways out from there. */
export const openHereFeature: Feature = {
    name: 'open here',
    capabilities: () => ({}),
    register({ connection, at: atOf }) {
        connection.onRequest(openHereRequest, async params => {
            const at = await atOf(params.uri);
            return at ? answer(at, params) : null;
        });
    },
};

function answer(at: At, { position, card: wanted, call }: OpenHereParams): OpenHereAnswer | null {
    const offset = at.document.offsetAt(position);
    for (const card of cardsAround(at, wanted)) {
        const open = openHere(card, at.path, offset, call);
        if (!open) continue;
        return {
            card: card.plan.card,
            title: card.plan.label,
            step: open.step,
            range: rangeOf(open.span),
            calls: open.calls.map(each => each.says),
            call: open.chosen,
            says: open.says,
            places: open.places.map(({ place, things }) => ({ place, things: things.map(each => said(at, each)) })),
            waysOut: open.waysOut.map(each => ({
                says: each.says,
                leaves: each.leaves || 'everything as found',
                location: locationOf(at.project, each.span),
            })),
            sheet: renderOpenHere(open, {
                card: card.plan.card,
                title: card.plan.label,
                revision: card.plan.revision,
                caution: caution(card.plan.card, card.plan.revision, card.digest()),
            }),
        };
    }
    return null;
}

function said(at: At, thing: OpenThing): OpenHereAnswer['places'][number]['things'][number] {
    return {
        name: thing.name,
        label: thing.label,
        now: `${thing.perhaps ? 'perhaps ' : ''}${thing.now.join(' or ')}`,
        asFound: thing.asFound.join(' or '),
        tag: tagSaid(thing),
        by: thing.by.map(each => ({ says: bySaid(each), location: locationOf(at.project, each.span) })),
    };
}

export function tagSaid({ tagged }: OpenThing): string {
    return { yes: 'tagged', no: 'no tag', perhaps: 'perhaps tagged', 'not a thing with a tag': '' }[tagged];
}

export function bySaid({ role, did, span, calls }: OpenHere['places'][number]['things'][number]['by'][number]): string {
    const through = calls.map(each => `, in ${each.name} called at line ${each.span.line}`).join('');
    return `${role ? `${role}: ` : ''}${did}, line ${span.line}${through}`;
}
