import { beforeTest, firstDifference, type TestRun, type Unproven } from '../../../failures/masks.js';
import { replace } from '../../../findings/edits.js';
import type { Edit, Fix, Span } from '../../../findings/finding.js';
import { nameAndLabel } from '../../../machine/compile-conditions.js';
import { type Item, type Machine, NONE } from '../../../machine/machine.js';
import type { Simulator } from '../../../machine/simulator.js';
import type { Event, Plan } from '../../../plan/plan.js';
import { perform } from '../../../trace/perform.js';
import type { KindWord } from '../../../vocabulary/kinds/index.js';
import type { Judged } from '../../check.js';
import { insertAfter, insertBefore, spanAt } from '../../edits.js';

/** Kinds that may be set first, in the order in which they are tried. */
const SETTABLE: readonly KindWord[] = ['breaker', 'control', 'connector', 'button', 'port', 'door'];

/** More candidates than this are not offered for verifying. */
const MOST = 24;

/**
 * Changes of the card after which a look of the test would show the failure, smallest first: something set before the test, arguments of a call in
 * it swapped or replaced, something set before and put back after, one more look at its end. Those of the first and last kind have been run: the plain run stays as written and the failure shows.
 * What remains of the card is not looked at here; whoever offers a fix checks the whole card with it.
 */
export function mendingChanges(card: Judged, unproven: Unproven): Fix[] {
    const { machine, plan, runs } = card;
    const { test, result } = unproven;
    const healthy = beforeTest(machine, plan, runs, test, undefined);
    const failed = beforeTest(machine, plan, runs, test, result);
    const bounds = statements(plan, test);
    if (!healthy || !failed || !bounds) return [];

    const setFirst: Fix[] = [];
    const setAndReturn: Fix[] = [];
    for (const index of settable(machine, unproven)) {
        const item = machine.items[index] as Item;
        const role = roleAt(card, index);
        if (role === undefined) continue;
        const now = healthy.cells[item.slot] as number;
        for (let state = 0; state < item.states.length; state++) {
            if (state === now || item.kind === 'button' || !mends(plan, test, healthy, failed, item.slot, state))
                continue;
            const act = `${role}: ensure ${item.name} is ${item.states[state]}${item.kind === 'breaker' && state !== 0 ? ' and tag' : ''}`;
            const back = `${role}: ensure ${item.name} is ${item.states[now]}${item.kind === 'breaker' && now !== 0 ? ' and tag' : ''}`;
            const title = settingTitle(item, state);
            setFirst.push({ title, edits: [insertBefore(card, bounds.first, [act])] });
            setAndReturn.push({
                title: `${title}, and put it back after the test`,
                edits: [insertBefore(card, bounds.first, [act]), insertAfter(card, bounds.last, [back])],
            });
        }
    }
    return [
        ...setFirst,
        ...otherArguments(card, test),
        ...setAndReturn,
        ...oneMoreLookBeside(card, test, healthy, failed),
        ...oneMoreLook(card, test, healthy, failed, bounds.last, 'at the end of the test'),
    ].slice(0, MOST);
}

/** What could be set first: what feeds that which did the work, then the rest, by kind. */
function settable(machine: Machine, unproven: Unproven): number[] {
    const near = new Set(unproven.instead.flatMap(each => [each, ...(machine.items[each] as Item).feeds]));
    const all = machine.items.flatMap((item, index) => (SETTABLE.some(kind => kind === item.kind) ? [index] : []));
    const rank = (index: number): number => (near.has(index) ? 0 : 100) + SETTABLE.indexOf(machine.items[index]?.kind);
    return all.sort((a, b) => rank(a) - rank(b));
}

/** With the slot set first, the plain run of the test stays as written and the failure shows. */
function mends(plan: Plan, test: TestRun, healthy: Simulator, failed: Simulator, slot: number, state: number): boolean {
    const plain = healthy.clone();
    plain.operate(slot, state);
    if (firstDifference(plan, test, plain) !== NONE) return false;
    const broken = failed.clone();
    broken.operate(slot, state);
    return firstDifference(plan, test, broken) !== NONE;
}

function settingTitle(item: Item, state: number): string {
    const name = nameAndLabel(item);
    if (item.kind === 'breaker') return state === 0 ? `Close ${name} first` : `Pull ${name} first`;
    if (item.kind === 'connector') return state === 0 ? `Connect ${name} first` : `Disconnect ${name} first`;
    return `Set ${name} to ${item.states[state]} first`;
}

/** The name of a role that may operate the item: one that does so in the card, else one at its place. */
function roleAt({ machine, plan }: Judged, index: number): string | undefined {
    for (const event of plan.events)
        if (event.kind === 'operate' && event.item === index && event.role !== NONE)
            return plan.roles[event.role]?.name;
    let place = machine.items[index]?.place ?? NONE;
    for (let n = 0; place !== NONE && n <= machine.places.length; n++) {
        const role = plan.roles.find(each => each.place === place);
        if (role) return role.name;
        place = machine.places[place]?.within ?? NONE;
    }
    return undefined;
}

/** The first and last statement of the step itself that the plain run performs in the test. */
function statements(plan: Plan, test: TestRun): { first: Span; last: Span } | undefined {
    const own = test.events
        .map(id => plan.events[id] as Event)
        .filter(event => event.kind !== 'step-start' && event.kind !== 'step-end' && event.kind !== 'join');
    const outer = own.map(event => event.calls[0]?.span ?? event.statement);
    const [first, last] = [outer[0], outer[outer.length - 1]];
    return first && last && { first, last };
}

/** Calls in the test with two items of one kind swapped, or one replaced by another of its kind. */
function otherArguments({ machine, plan, text }: Judged, test: TestRun): Fix[] {
    const calls = new Map<number, Span>();
    for (const id of test.events) {
        const call = plan.events[id]?.calls[0];
        if (call) calls.set(call.span.offset, call.span);
    }
    const swaps: Fix[] = [];
    const replacements: Fix[] = [];
    for (const span of calls.values()) {
        const file = text(span.file);
        const list = /^do\s+[\w-]+\s*\(([^)]*)\)/.exec(file.slice(span.offset, span.end));
        if (!list) continue;
        const args: { name: string; span: Span; kind?: string }[] = [];
        const start = span.offset + list[0].length - 1 - (list[1] ?? '').length;
        for (const match of (list[1] ?? '').matchAll(/[\w-]+/g)) {
            const index = machine.itemIndex[match[0]];
            const offset = start + (match.index ?? 0);
            args.push({
                name: match[0],
                span: spanAt(file, span.file, offset, offset + match[0].length),
                kind: index === undefined ? undefined : machine.items[index]?.kind,
            });
        }
        for (const [n, a] of args.entries()) {
            if (!a.kind) continue;
            for (const b of args.slice(n + 1)) {
                if (b.kind === a.kind && b.name !== a.name)
                    swaps.push({
                        title: `Swap ${a.name} and ${b.name} in this call`,
                        edits: [replace(a.span, b.name), replace(b.span, a.name)],
                    });
            }
            for (const other of machine.items) {
                if (other.kind === a.kind && other.name !== a.name)
                    replacements.push({
                        title: `Name ${other.name} in place of ${a.name} in this call`,
                        edits: [replace(a.span, other.name)],
                    });
            }
            for (const b of args.slice(n + 1)) {
                if (b.kind !== a.kind || b.name === a.name) continue;
                for (const other of machine.items)
                    if (other.kind === a.kind && other.name !== a.name && other.name !== b.name)
                        replacements.push({
                            title: `Name ${other.name} and ${a.name} in this call`,
                            edits: [replace(a.span, other.name), replace(b.span, a.name)],
                        });
            }
        }
    }
    return [...swaps, ...replacements.slice(0, 8)];
}

/** A look, at the end of the test, at something that shows the failure then. */
function oneMoreLook(
    card: Judged,
    test: TestRun,
    healthy: Simulator,
    failed: Simulator,
    last: Span,
    when: string,
): Fix[] {
    const { machine, plan } = card;
    const play = (from: Simulator): Simulator => {
        const sim = from.clone();
        for (const id of test.events) perform(sim, plan.events[id] as Event);
        return sim;
    };
    const plain = play(healthy);
    const broken = play(failed);
    const fixes: Fix[] = [];
    for (const [index, item] of machine.items.entries()) {
        if (!['light', 'horn', 'mark', 'flow', 'area', 'mechanism', 'valve'].includes(item.kind)) continue;
        const [is, was] = [plain.cells[item.slot] as number, broken.cells[item.slot]];
        if (is === was || is === NONE) continue;
        const role = roleAt(card, index);
        if (role)
            fixes.push({
                title: `Look at ${nameAndLabel(item)} ${when}`,
                edits: [insertAfter(card, last, [`${role}: see ${item.name} is ${item.states[is]}`])] satisfies Edit[],
            });
    }
    return fixes;
}

/** The same beside the last look that the test itself takes: what the test asks for may be over by its end. */
function oneMoreLookBeside(card: Judged, test: TestRun, healthy: Simulator, failed: Simulator): Fix[] {
    const at = test.events.findLastIndex(id => card.plan.events[id]?.kind === 'look');
    const look = card.plan.events[test.events[at] ?? NONE];
    if (!look || look.calls.length > 0 || look.other !== NONE) return [];
    const until = { ...test, events: test.events.slice(0, at + 1) };
    return oneMoreLook(card, until, healthy, failed, look.statement, `after line ${look.statement.line}`);
}
