/** The steps of a card, in order, and what stands between them. */
import type * as ast from '../grammar/generated/ast.js';
import { NONE } from '../machine/machine.js';
import { readQuantity } from '../machine/quantities.js';
import * as say from '../vocabulary/sentences.js';
import { acceptOf } from './accepts.js';
import { common } from './actions.js';
import type { Line, StepLine } from './lines.js';
import type { Limit, Place } from './scope.js';
import { expectA } from './scope.js';
import { partsOf } from './settings.js';
import { alertOf, lowerStatements } from './statements.js';
import { wordsOfText } from './texts.js';

/** `within`: the step in which the card is done, NONE for the card of the Plan. */
export function lowerCardParts(card: ast.Card, place: Place, within: number): Line[] {
    const { context } = place;
    const lines: Line[] = [];
    for (const { part, only } of partsOf(card.parts, context.embodied)) {
        const limits: Limit[] = only.map(each => {
            const name = each.modification?.$refText ?? '';
            return { name, label: each.modification?.ref?.label ?? name, embodied: context.embodied.has(name) };
        });
        const here = { ...place, only: [...place.only, ...limits] };
        for (const each of only)
            if (!each.modification?.ref)
                context.say(
                    `${each.modification?.$refText || 'A modification'} ${context.at(context.spanOf(each))} is not known.`,
                );
        if (part.$type === 'Step') lines.push(lowerStep(part, here, within));
        else if (part.$type === 'Accept') context.accepts.push(acceptOf(part, here));
        else if (part.$type === 'Alert') {
            const { text } = wordsOfText(part.text, here);
            lines.push({
                span: context.spanOf(part),
                calls: here.calls,
                only: say.sayOnly(here.only),
                kind: 'alert',
                alert: alertOf(part.kind),
                sentence: say.sentence(text),
            });
        }
    }
    return lines;
}

function lowerStep(node: ast.Step, place: Place, within: number): StepLine {
    const { context } = place;
    const span = context.spanOf(node);
    const step = context.steps.length;
    const siblings = context.steps.filter(each => each.within === within).length;
    const outer = context.steps[within];
    const takes = node.takes && readQuantity(node.takes, 's');
    const file = context.project.fileOf(node);
    const header = file.spanOf({ offset: span.offset, end: headerEnd(node, span) });
    const inside: Place = { ...place, step, path: context.keys.step(place.path, node.name) };
    const of = node.of.map(each => expectA('item', each, node, inside)).filter(each => each !== undefined);
    context.steps.push({
        name: node.name,
        label: node.label || node.name,
        kind: node.kind === 'test' ? 'test' : 'step',
        of,
        takes: takes?.value ?? 0,
        span,
        header,
        number: outer ? `${outer.number}.${siblings + 1}` : `${siblings + 1}`,
        within,
    });
    context.takes.push(takes?.text ?? '');
    if (node.takes && !takes) context.say(`The time of the step ${node.name} cannot be read.`);
    place.card.steps.set(node, step);
    context.lastWork.clear();
    const act = { place: inside, statement: header, role: NONE };
    const start = { ...common(act, 'step-start', ''), kind: 'step-start' } as const;
    const lines = lowerStatements(node.statements, inside);
    const end = { ...common(act, 'step-end', ''), kind: 'step-end' } as const;
    return { span, calls: place.calls, only: say.sayOnly(place.only), kind: 'step', step, start, end, lines };
}

/** Behind the last word before the brace; a brace inside the label is none. */
function headerEnd(node: ast.Step, span: { readonly end: number }): number {
    const cst = node.$cstNode;
    if (!cst) return span.end;
    const { text } = cst;
    let inText = false;
    for (let at = 0; at < text.length; at++) {
        const each = text.charAt(at);
        if (each === '\\' && inText) at++;
        else if (each === '"') inText = !inText;
        else if (each === '{' && !inText) return cst.offset + text.slice(0, at).trimEnd().length;
    }
    return span.end;
}
