import type { Finding, Fix } from '../../../findings/finding.js';
import { calledFrom, didWhat, lineOf, thing } from '../../../findings/phrases.js';
import { type Machine, NONE, type Rule } from '../../../machine/machine.js';
import { atomsOf, movementRules, ruleBook, rulesOnAction } from '../../../paths/rules.js';
import type { Event } from '../../../plan/plan.js';
import { contentWords } from '../../../vocabulary/prose.js';
import { wordsOf } from '../../../vocabulary/sentences.js';
import type { Check, Judged } from '../../check.js';
import { fix, moveBefore, replace, statementInCard, written } from '../../edits.js';
import { calls, type Printed, place, printedLines } from '../printed.js';

/** A hazard of which nobody has been warned, and alerts that do not stand in their order. */
export const alertAfterAction: Check = {
    code: 'alert-after-action',
    family: 'words',
    severity: 'information',
    title: 'An action comes before the warning of its hazard',
    ofCard: card => [...late(card), ...outOfOrder(card)],
};

/** What a rule guards, the first time that it is printed. */
interface Guarded {
    readonly rule: Rule;
    readonly event: Event;
    readonly at: Printed;
}

interface Warned {
    readonly at: Printed;
    readonly span: Printed['line']['span'];
    readonly words: ReadonlySet<string>;
    readonly kind: string;
}

function late(card: Judged): Finding[] {
    const { plan } = card;
    const guarded = firstGuarded(card);
    if (guarded.length === 0) return [];
    const alerts = printedLines(plan).flatMap((at): Warned[] => {
        const { line } = at;
        if (line.kind !== 'alert' || line.alert === 'note') return [];
        return [{ at, span: line.span, words: contentWords(wordsOf(line.sentence)), kind: line.alert }];
    });
    const found: Finding[] = [];
    for (const each of guarded) {
        const speaking = alerts.filter(alert => speaksOf(alert, each.rule));
        const before = alerts.filter(alert => standsBefore(alert.at, each.at));
        const [first] = speaking;
        if (before.some(alert => speaking.includes(alert))) continue;
        if (first) found.push(tooLate(card, each, first));
        else if (before.length === 0) found.push(missing(card, each));
    }
    return found;
}

/** By rule with a hazard, the first printed action that comes under it, in the order of print. */
function firstGuarded(card: Judged): Guarded[] {
    const { machine, plan } = card;
    const printed = new Map<string, Printed>();
    for (const each of printedLines(plan)) for (const key of each.line.keys) printed.set(key, each);
    const first = new Map<Rule, Guarded>();
    const guards = (rule: Rule | undefined, event: Event | undefined): void => {
        const at = event && event.pass === 0 ? printed.get(event.key) : undefined;
        if (!rule?.because || !event || !at) return;
        const known = first.get(rule);
        if (!known || at.order < known.at.order) first.set(rule, { rule, event, at });
    };
    const book = ruleBook(machine);
    for (const event of plan.events) {
        const state = card.paths.at[event.id];
        if (state) for (const n of rulesOnAction(book, event, state)) guards(book.before[n]?.rule, event);
    }
    for (const { rule, start } of movementRules(book, plan, card.traces))
        guards(book.before[rule]?.rule, plan.events[start.root]);
    for (const rule of machine.rules)
        for (const event of plan.events) if (bringsAbout(machine, rule, event)) guards(rule, event);
    return [...first.values()].sort((a, b) => a.at.order - b.at.order);
}

/** `keep` guards the holding, `while` the act after which its condition may hold. */
function bringsAbout(machine: Machine, { body }: Rule, event: Event): boolean {
    if (!('slot' in event) || event.kind === 'look' || event.kind === 'branch' || event.kind === 'keep-end')
        return false;
    const to = event.kind === 'press' ? event.pressed : event.state;
    if (body.kind === 'keep') return event.kind === 'keep-start' && event.item === body.item && to === body.state;
    if (body.kind !== 'while') return false;
    return atomsOf(body.when).some(
        atom =>
            (atom.op === 'is' || atom.op === 'held') &&
            atom.slot === event.slot &&
            atom.state === to &&
            machine.items[atom.item]?.nature === 'operated',
    );
}

/** An alert in a block that is not always done is read only there. */
const standsBefore = (alert: Printed, action: Printed): boolean =>
    alert.order < action.order && alert.arms.every((arm, n) => action.arms[n] === arm);

/** Two words of its own in common, or the only one that there is. */
function speaksOf({ words }: Warned, { because }: Rule): boolean {
    const own = contentWords(because);
    const shared = [...own].filter(each => words.has(each)).length;
    return shared >= Math.min(2, own.size) && shared > 0;
}

function what({ machine }: Judged, event: Event): string {
    const item = event.kind === 'prose' ? (event.refs[0] ?? NONE) : event.item;
    return item === NONE ? 'this is done' : `${thing(machine, item)} is ${didWhat(event)}`;
}

function tooLate(card: Judged, { rule, event }: Guarded, alert: Warned): Finding {
    const target = statementInCard(event);
    const move = moveBefore(card, alert.span, target);
    const fixes: Fix[] = move ? [fix(`Move the ${alert.kind} before that line`, ...move)] : [];
    return {
        code: 'alert-after-action',
        severity: 'information',
        span: alert.span,
        card: card.plan.card,
        about: [card.machine.items[event.item]?.name ?? ''],
        message: `This ${alert.kind} comes too late: ${what(card, event)} at line ${lineOf(event)}, before anybody has read it. Rule ${rule.name}: ${rule.because} Move it before that line.`,
        related: [
            ...calls(alert.at.line),
            { span: event.span, message: 'This comes before it' },
            { span: rule.span, message: `Rule ${rule.name} names the hazard` },
        ],
        fixes,
        cause: `late ${place(alert.span)}`,
    };
}

function missing(card: Judged, { rule, event }: Guarded): Finding {
    return {
        code: 'alert-after-action',
        severity: 'information',
        span: statementInCard(event),
        card: card.plan.card,
        about: [card.machine.items[event.item]?.name ?? ''],
        message: `Nothing warns of a hazard before ${what(card, event)}. Rule ${rule.name}: ${rule.because} Put a warning or a caution before this line.`,
        related: [...calledFrom(event), { span: rule.span, message: `Rule ${rule.name} names the hazard` }],
        fixes: [],
        cause: 'missing',
    };
}

const RANK = { warning: 0, caution: 1, note: 2 } as const;

/** Alerts that stand together stand in the order warning, caution, note. */
function outOfOrder(card: Judged): Finding[] {
    const found: Finding[] = [];
    for (const group of groups(printedLines(card.plan))) {
        const sorted = [...group].sort((a, b) => RANK[a.alert] - RANK[b.alert]);
        const wrong = group.findIndex((each, n) => RANK[each.alert] < RANK[(group[n - 1] ?? each).alert]);
        const [here, before] = [group[wrong], group[wrong - 1]];
        if (!here || !before) continue;
        const edits = group.flatMap((each, n) => {
            const other = sorted[n];
            if (!other || other === each) return [];
            return [replace(card, each.span.file, each.span.offset, each.span.end, written(card, other.span))];
        });
        found.push({
            code: 'alert-after-action',
            severity: 'information',
            span: here.span,
            card: card.plan.card,
            about: [card.plan.card],
            message: `This ${here.alert} stands after a ${before.alert}. Alerts that stand together stand in the order warning, caution, note, so that the worst is read first.`,
            related: [...calls(here), { span: before.span, message: `The ${before.alert} stands here` }],
            fixes: [fix(`Put the ${here.alert} first`, ...edits)],
            cause: `order ${place(here.span)}`,
        });
    }
    return found;
}

type Alert = Extract<Printed['line'], { kind: 'alert' }>;

/** Alerts that follow each other in one block of one file; those of the head are read before any step, not together with its own. */
function groups(lines: readonly Printed[]): Alert[][] {
    const all: Alert[][] = [];
    let last: Printed | undefined;
    for (const each of lines) {
        const { line } = each;
        if (line.kind === 'alert') {
            const goesOn =
                last?.line.kind === 'alert' &&
                last.step === each.step &&
                last.arms.join() === each.arms.join() &&
                last.line.span.file === line.span.file &&
                last.line.span.offset < line.span.offset &&
                last.line.calls.length === line.calls.length &&
                last.line.only === line.only;
            if (goesOn) all.at(-1)?.push(line);
            else all.push([line]);
        }
        last = each;
    }
    return all.filter(group => group.length > 1);
}
