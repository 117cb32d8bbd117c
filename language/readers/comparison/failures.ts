/** Failures that the card no longer reveals, or reveals now. */

import type { FailureResult } from '../../failures/failure.js';
import { NONE } from '../../machine/machine.js';
import type { Side } from './names.js';
import { type Effect, plainConsequence } from './times.js';

interface Sides {
    readonly old: Side;
    readonly new: Side;
}

export function changesOfFailures(sides: Sides): Effect[] {
    const [old, now] = [judgedFailures(sides.old), judgedFailures(sides.new)];
    const effects: Effect[] = [];
    for (const [key, is] of now) {
        const was = old.get(key);
        if (!was || was.revealedBy.length > 0 === is.revealedBy.length > 0) continue;
        const lost = is.revealedBy.length === 0;
        effects.push({
            cause: undefined,
            consequence: {
                ...plainConsequence,
                kind: 'failure',
                effect: lost ? 'worse' : 'better',
                says: lost
                    ? `With ${is.failure.label} no look fails any longer.`
                    : `With ${is.failure.label} a look now fails.`,
                span: {
                    old: null,
                    new: sides.new.judged.plan.steps.find(each => each.of.includes(is.failure.item))?.header ?? null,
                },
            },
        });
    }
    return effects;
}

/** Of what the card disturbs or names in a test; nothing where the card contradicts itself anyway. */
function judgedFailures(side: Side): Map<string, FailureResult> {
    const { judged } = side;
    if (!judged.traces.plainHolds) return new Map();
    const key = ({ failure }: FailureResult): string => {
        const { item, mode, detail, word } = failure;
        const more =
            mode === 'CROSSED'
                ? side.item(detail)
                : mode === 'STUCK'
                  ? side.state(judged.machine.items[item]?.slot ?? NONE, detail)
                  : word;
        return `${side.item(item)} ${mode} ${more}`;
    };
    return new Map(
        judged
            .failures()
            .filter(each => each.class !== 'other')
            .map(each => [key(each), each]),
    );
}
