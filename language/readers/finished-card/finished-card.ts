import type { Judged } from '../../checks/check.js';
import type { CardStatus } from '../../findings/finding.js';
import { NONE } from '../../machine/machine.js';
import type { Plan, Sentence } from '../../plan/plan.js';
import { withConverted } from '../../vocabulary/quantities.js';
import { list, noun, the } from '../../vocabulary/sentences.js';
import { breakersOf } from './breakers.js';
import type { CardState, FinishedCard, Person, Spare } from './card.js';
import { alertOf, blank } from './lines.js';
import { openAt } from './open.js';
import { stepsOf } from './steps.js';
import { caution, counted, notApproved, sentenceOf, writtenDate } from './words.js';

/**
 * Everything that the finished card of one variant says. `digest`: vocabulary/digest.ts, of all texts that the card draws on.
 * `units`: to print beside the written ones.
 */
export function finishedCard(
    judged: Judged,
    status: CardStatus,
    digest: string,
    units: readonly string[] = [],
): FinishedCard {
    const { machine, plan, paths } = judged;
    const { steps, numbers } = stepsOf(judged, units);
    const nounOf = (item: number): string => {
        const found = machine.items[item];
        return found ? noun(found) : '';
    };

    const revision = plan.revision || 'not given';
    const end = plan.events.filter(event => event.kind === 'end').at(-1);
    const minutes = Math.round(timesOf(plan).reduce((sum, time) => sum + time, 0) / 60);
    return {
        number: plan.card,
        title: plan.label,
        applies: plan.applies || 'Applicability not given',
        variant: plan.variant.modifications.map(
            each => `${each.embodied ? 'With' : 'Without'} ${each.label.replace(/: (.*)$/, ' ($1)')}`,
        ),
        variantShort: plan.variant.modifications
            .map(each => `${each.embodied ? 'with' : 'without'} ${each.name}`)
            .join(', '),
        revision,
        date: plan.dated ? writtenDate(plan.dated) : 'date not given',
        effort: effortOf(plan, minutes),
        minutes,
        status: stateOf(status, plan),
        blanks: ['Registration', 'Work order', 'Place', 'Date', 'Name', 'Licence number'].map(label => blank(label)),
        caution: caution(plan.card, revision, digest),
        notApproved: `${notApproved} Generated from ${plan.card}, revision ${revision}, text digest ${digest}.`,
        foot: [notApproved, `Text digest ${digest}.`],
        before: [...plan.after.map(({ card }) => says(`${card} is complete.`)), ...plan.page.start].map(sentence => ({
            sentence,
        })),
        persons: plan.roles.map(
            (role): Person => ({
                label: role.label,
                place: machine.places[role.place]?.label ?? '',
                independent: list(role.independentOf.map(other => the(plan.roles[other]?.label ?? ''))),
            }),
        ),
        tools: plan.tools.map(tool => ({ label: tool.label, range: withConverted(tool.range?.text ?? '', units) })),
        spares: plan.spares.map(
            (spare): Spare => ({
                label: spare.label,
                part: spare.part,
                quantity: spare.quantity,
                goesIn: list(spare.forItems.map(item => nounOf(item))),
            }),
        ),
        materials: plan.materials.map(({ label }) => ({ label })),
        breakers: breakersOf(plan, machine, paths, numbers),
        alerts: plan.page.alerts.filter(line => line.kind === 'alert').map(line => alertOf(line)),
        steps,
        after: plan.page.finish.map(sentence => ({ sentence })),
        leftOpen: end ? openAt(end.id, plan, machine, paths, plan.finish) : '',
        accepted: plan.accepts.map(({ code, name, because }) => ({ code, name, because })),
        // 14 CFR 43.9(a): who did the work, when; name, signature, certificate and its kind of who approves it.
        signatures: [...plan.roles.map(role => role.label), 'Approves the work'],
        signatureBlanks: ['Name', 'Licence and kind', 'Signature', 'Date and time'],
    };
}

function stateOf(status: CardStatus, plan: Plan): CardState {
    return {
        status: status.status,
        word: status.status === 'unknown' ? 'not known' : status.status,
        why: sentenceOf(status.why),
        unknown: plan.unknown.filter(each => !status.why.includes(each)),
    };
}

function effortOf(plan: Plan, minutes: number): string {
    const persons = counted(plan.roles.length, 'person', 'persons');
    const times = timesOf(plan);
    const silent = times.filter(time => time === 0).length;
    if (silent === times.length) return `Time not given, ${persons}`;
    const time = `${minutes} ${minutes === 1 ? 'minute' : 'minutes'}`;
    return silent === 0
        ? `About ${time}, ${persons}`
        : `At least ${time} (${counted(silent, 'step says', 'steps say')} no time), ${persons}`;
}

/** What each step takes, in seconds. Where it does not say, the steps of a card done in it may. */
function timesOf(plan: Plan): readonly number[] {
    const inside = (outer: number): readonly number[] =>
        plan.steps.flatMap((step, index) => {
            if (step.within !== outer) return [];
            const within = step.takes > 0 ? [] : inside(index);
            return within.length > 0 ? within : [step.takes];
        });
    return inside(NONE);
}

const says = (text: string): Sentence => [{ text, role: 'plain' }];
