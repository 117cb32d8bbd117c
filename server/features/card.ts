import type { JudgedCard } from '../../language/check.js';
import { renderFinishedCard } from '../../language/html/index.js';
import { finishedCard } from '../../language/readers/finished-card/index.js';
import type { At, Feature } from './feature.js';
import { cardsAround } from './judged.js';
import { locationOf } from './ranges.js';
import { type CardAnswer, type CardParams, cardRequest } from './requests.js';
import { statusSaid } from './status.js';

/** The finished card for the view beside the text: the same page that is printed, with the lines of the text and the findings on it. */
export const cardFeature: Feature = {
    name: 'card',
    capabilities: () => ({}),
    register({ connection, at: atOf }) {
        connection.onRequest(cardRequest, async params => {
            const at = await atOf(params.uri);
            return at ? answer(at, params) : null;
        });
    },
};

function answer(at: At, params: CardParams): CardAnswer | null {
    const all = cardsAround(at, params.card);
    const first = all[0];
    if (!first) return null;
    const name = params.card && all.some(each => each.plan.card === params.card) ? params.card : first.plan.card;
    const variants = all.filter(each => each.plan.card === name);
    const chosen = Math.max(
        0,
        variants.findIndex(each => sameAs(embodiedIn(each), params.embodied)),
    );
    const card = variants[chosen] ?? first;
    const finished = finishedCard(card, card.status, card.digest(), card.settings.units);
    const notes = card.findings.map(each => ({
        code: each.code,
        severity: each.severity,
        message: each.message,
        accepted: each.accepted !== undefined,
        line: each.span.file === at.path ? each.span.line : 0,
        location: locationOf(at.project, each.span),
    }));
    return {
        card: name,
        title: card.plan.label,
        html: renderFinishedCard(finished, undefined, params.forPaper ? undefined : { file: at.path, notes }),
        variants: variants.map(each => ({ embodied: embodiedIn(each), says: variantSaid(each) })),
        variant: chosen,
        cards: [...new Set(cardsAround(at).map(each => each.plan.card))],
        status: card.status.status,
        says: statusSaid(card.status),
        isBroken: at.file.broken,
        notes,
    };
}

function embodiedIn({ plan }: JudgedCard): readonly string[] {
    return plan.variant.modifications.filter(each => each.embodied).map(each => each.name);
}

const sameAs = (one: readonly string[], two: readonly string[] | undefined): boolean =>
    two !== undefined && one.length === two.length && one.every(each => two.includes(each));

function variantSaid({ plan }: JudgedCard): string {
    const { modifications } = plan.variant;
    if (modifications.length === 0) return 'every aircraft';
    return modifications.map(each => `${each.embodied ? 'with' : 'without'} ${each.name}`).join(', ');
}
