/**
 * Card to Plan, for one variant of the aircraft. In three stages: statements to lines (names resolved, calls written out), lines to a
 * flow graph that is then unrolled into events, lines to the page. Never throws on a partial tree: what cannot be lowered is left out
 * and said in `unknown`.
 */
import type * as ast from '../grammar/generated/ast.js';
import { type Machine, NONE } from '../machine/machine.js';
import type { ParsedProject } from '../names/project.js';
import { common } from './actions.js';
import { declareOf, declareRoles } from './declarations.js';
import { graphOf } from './flow.js';
import { aftersOf, earlierThan, leavesOf } from './handovers.js';
import { pageOf } from './page.js';
import type { Event, Plan } from './plan.js';
import { settleReleases } from './releases.js';
import { type ArgumentChange, Context, type Place } from './scope.js';
import { partsOf, sentencesOfSettings, settingsOfCard } from './settings.js';
import { lowerCardParts } from './steps.js';
import { mostEvents, unroll } from './unroll.js';
import { modificationsOf } from './variants.js';

export type { ArgumentChange } from './scope.js';

/** `embodied`: the modifications that the aircraft has, by name; `machine` must be compiled for the same. */
export function lowerCard(
    project: ParsedProject,
    card: ast.Card,
    machine: Machine,
    embodied: ReadonlySet<string>,
    change?: ArgumentChange,
): Plan {
    const file = project.fileOf(card);
    const context = new Context(project, machine, embodied, change, file.path);
    declareRoles(card, context);
    const place: Place = {
        context,
        card: { node: card, steps: new Map(), own: declareOf(card, context) },
        step: NONE,
        path: '',
        calls: [],
        bound: new Map(),
        words: new Map(),
        active: new Set([card]),
        only: [],
        inArm: false,
        depth: 0,
    };
    const start = settingsOfCard(card, 'StartPart', context, true);
    const finish = settingsOfCard(card, 'FinishPart', context, true);
    const lines = lowerCardParts(card, place, NONE);
    const span = file.spanOf(card);
    const graph = graphOf(lines, context, () => ({
        ...common({ place, statement: span, role: NONE }, 'end', ''),
        kind: 'end',
    }));
    let flow = unroll(graph);
    if (!flow) {
        context.say(`The repeats make more than ${mostEvents} steps of this card; they are left out.`);
        flow = unroll(graph, false) ?? { events: [], arms: [], of: new Map() };
    }
    const { events, arms, of } = flow;
    for (const event of settleReleases(events, start, machine)) {
        context.say(
            `How ${machine.items[event.item]?.name} stands before it is held ${context.at(event.span)} depends on the way there.`,
        );
    }
    const done = context.done.map((each, index) => {
        const nodes = graph.done[index];
        return { ...each, begin: of.get(nodes?.begin ?? NONE) ?? [], end: of.get(nodes?.end ?? NONE) ?? [] };
    });
    const page = pageOf({
        lines,
        steps: context.steps,
        events,
        machine,
        start: sentencesOfSettings(card, 'StartPart', context),
        finish: sentencesOfSettings(card, 'FinishPart', context),
        takes: context.takes,
    });
    return {
        card: card.name,
        label: card.label || card.name,
        file: file.path,
        span,
        ...headOf(card, context),
        variant: {
            modifications: modificationsOf(project, card).map(each => ({
                name: each.name,
                label: each.label,
                embodied: embodied.has(each.name),
            })),
        },
        roles: context.roles,
        tools: context.tools,
        spares: context.spares,
        materials: context.materials,
        start,
        finish,
        done,
        steps: context.steps,
        events: events as readonly Event[],
        arms,
        page,
        accepts: context.accepts,
        unknown: context.unknown,
    };
}

function headOf(card: ast.Card, context: Context): Pick<Plan, 'revision' | 'dated' | 'applies' | 'after' | 'earlier'> {
    let revision = '';
    let dated = '';
    let applies = '';
    for (const { part } of partsOf(card.parts, context.embodied)) {
        if (part.$type === 'RevisionPart') {
            revision = part.revision;
            dated = part.dated ?? '';
        } else if (part.$type === 'AppliesPart') applies = part.text;
    }
    const after = aftersOf(card, context).map(({ card: name, node, span }) => {
        if (!node) context.say(`The card ${name} ${context.at(span)} is not known.`);
        return { card: name, span, leaves: node ? leavesOf(node, context) : [] };
    });
    return { revision, dated, applies, after, earlier: earlierThan(card, context) };
}
