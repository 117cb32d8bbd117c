import { type Unproven, unprovenFailures } from '../../../failures/masks.js';
import type { Finding, Fix } from '../../../findings/finding.js';
import { nameAndLabel } from '../../../machine/compile-conditions.js';
import type { Item } from '../../../machine/machine.js';
import type { Plan } from '../../../plan/plan.js';
import type { Check, Judged } from '../../check.js';
import { mendingChanges } from './mending.js';

/** A test whose looks all come out as written although the thing it tests has failed. */
export const testNotIsolated: Check = {
    code: 'test-not-isolated',
    family: 'isolation',
    severity: 'error',
    title: 'A test comes out as written although what it tests has failed',
    ofCard: card =>
        unprovenFailures(card.machine, card.plan, card.runs, card.failures()).map(each => finding(card, each)),
};

function finding(card: Judged, unproven: Unproven): Finding {
    const { machine, plan } = card;
    const step = plan.steps[unproven.test.step] as Plan['steps'][number];
    const { failure } = unproven.result;
    const item = machine.items[failure.item] as Item;
    const stand = unproven.instead.map(each => machine.items[each] as Item);
    const fixes: Fix[] = unproven.tooEarly ? [] : mendingChanges(card, unproven);
    const because = unproven.tooEarly
        ? `: ${nameAndLabel(item)} is worked on after this test. Test it after the last work on it`
        : stand.length > 0
          ? `, because ${stand.map(nameAndLabel).join(' and ')} ${stand.length === 1 ? 'does' : 'do'} its work`
          : '';
    const advice = unproven.tooEarly
        ? '.'
        : fixes[0]
          ? `. ${fixes[0].title}.`
          : failure.mode === 'STUCK'
            ? `. Add a look that it is not ${failure.word} at some other time in the test, or isolate what can hide it.`
            : '. Isolate what can hide it, or add a look that would show it.';
    return {
        code: 'test-not-isolated',
        severity: 'error',
        span: step.header,
        card: plan.card,
        about: [item.name, ...stand.map(each => each.name)],
        message: `"${step.label}" does not prove ${nameAndLabel(item)}: with ${failure.label} every look in it still comes out as written${because}${advice}`,
        related: [
            { span: failure.span, message: `${nameAndLabel(item)} stands here` },
            ...stand.map(each => ({ span: each.span, message: `${nameAndLabel(each)} did its work instead` })),
        ],
        fixes,
        cause: `${step.name} ${item.name} ${failure.word}`,
    };
}
