import { type Item, type Machine, NONE } from '../../machine/machine.js';
import { atomsOf, conditionsOf } from '../../paths/rules.js';
import { ownItems } from './feeds.js';
import { isNormalTaken } from './items.js';
import { dependents } from './losses.js';
import type { Says } from './say.js';
import type { Unsaid } from './sheet.js';

/** One thing that the vocabulary lets a writer say: of which items, what is missing, and what is taken instead. */
interface Question {
    readonly what: string;
    readonly taken: string;
    readonly missing: (item: Item, index: number) => boolean;
}

/**
 * What could have been written of this equipment and is not. Computed from the Machine, whatever the reason: an engineer says
 * whether it is right to leave it out. Users: every machine that holds the equipment, since what rests on it may stand elsewhere.
 */
export function unsaidOf(
    machine: Machine,
    equipment: string,
    users: readonly Machine[],
    says: Says,
): readonly Unsaid[] {
    const own = ownItems(machine, equipment);
    const found: Unsaid[] = [];
    const add = (what: string, taken: string, things: readonly string[]): void => {
        if (things.length > 0) found.push({ what, taken, things });
    };
    const places = machine.places.filter(place => place.equipment === equipment);
    add(
        'Places of which nothing says what covers them',
        'taken as open to whoever is there',
        places.filter(place => place.behind.length === 0).map(place => place.label),
    );
    const ofItems = (questions: readonly Question[]): void => {
        for (const { what, taken, missing } of questions)
            add(
                what,
                taken,
                own.filter(index => missing(machine.items[index] as Item, index)).map(index => says.named(index)),
            );
    };
    ofItems(questionsOf(machine, users));
    const rules = machine.rules.filter(rule => rule.equipment === equipment && !rule.because);
    add(
        'Rules without a reason',
        'the card cannot say why',
        rules.map(rule => rule.name),
    );
    const allRules = machine.rules.some(rule => rule.equipment === equipment);
    if (!allRules && own.length > 0)
        add('Rules', 'nothing is forbidden, nothing has to wait', ['this equipment has none']);
    return found;
}

function questionsOf(machine: Machine, users: readonly Machine[]): readonly Question[] {
    const { items } = machine;
    const used = usedNames(users.length > 0 ? users : [machine]);
    const ruled = ruledItems(machine);
    const wetted = new Set(items.map(each => each.wets));
    const held = new Set(items.flatMap(each => each.holds));
    const filled = new Set(items.map(each => each.unit));
    const is =
        (...kinds: readonly Item['kind'][]) =>
        (item: Item): boolean =>
            kinds.includes(item.kind);
    const supply = is('breaker', 'connector', 'lead', 'source', 'motor', 'relay', 'timer');
    const q = (what: string, taken: string, missing: Question['missing']): Question => ({ what, taken, missing });
    return [
        q(
            'Things of which nothing says where they are',
            'nobody can be sent to them or see them',
            item => item.place === NONE && item.kind !== 'source',
        ),
        q('Positions of which nothing says which is normal', 'the first one listed is taken', isNormalTaken),
        q(
            'Things that nothing feeds',
            'taken as always supplied',
            item => is('motor', 'light', 'horn')(item) && item.feeds.length === 0,
        ),
        q(
            'Gauges that nothing feeds',
            'taken as always working',
            item => item.kind === 'gauge' && item.feeds.length === 0,
        ),
        q(
            'Breakers of which nothing says what feeds them',
            'taken as always supplied',
            item => item.kind === 'breaker' && item.feeds.length === 0,
        ),
        q(
            'Sources that are always live',
            'nothing can take them away',
            item => item.kind === 'source' && !item.live && item.feeds.length === 0,
        ),
        q(
            'Things on which nothing rests',
            'their failure changes nothing that this text or one that uses it tells of',
            item => supply(item) && !used.has(item.name),
        ),
        q(
            'Controls and buttons that nothing asks for',
            'where they stand changes nothing',
            item => is('control', 'button', 'stimulus')(item) && !used.has(item.name),
        ),
        q('Breakers without a grid position', 'the card prints none', item => item.kind === 'breaker' && !item.grid),
        q('Breakers without a rating', 'not compared with their wire', item => item.kind === 'breaker' && !item.rated),
        q('Breakers without a wire', 'not compared with their rating', item => item.kind === 'breaker' && !item.wire),
        q(
            'Units and fasteners without a torque',
            'no check asks for one',
            item => is('unit', 'fastener')(item) && !item.torque,
        ),
        q(
            'Fasteners without a thread',
            'the torque is not compared with one',
            item => item.kind === 'fastener' && !item.thread,
        ),
        q(
            'Things that move, with no movement written',
            'they stay where they are',
            item => item.nature === 'moved' && item.goes.length === 0,
        ),
        q('Movements without a time', 'taken as at once', item => item.goes.some(go => !go.time)),
        q(
            'Positions that no movement reaches',
            'only a failure or the start of a card brings them about',
            item =>
                item.nature === 'moved' &&
                item.goes.length > 0 &&
                item.states.some(
                    (_, state) =>
                        state !== item.normal &&
                        !item.goes.some(go => go.to === state) &&
                        !machine.ownFailures.some(own => items[own.changes] === item && own.state === state),
                ),
        ),
        q(
            'Things that show something, with nothing written that they show',
            'a light, a horn: on when supplied; all else shows nothing',
            item => is('light', 'gauge', 'horn', 'mark', 'flow')(item) && item.shows.length === 0,
        ),
        q(
            'Things that say nothing for every other case',
            'a light, a horn: off; all else shows nothing',
            item => item.shows.length > 0 && item.shows.every(show => show.when),
        ),
        q(
            'Seals and ports that carry nothing',
            'no leak is looked for',
            item => is('seal', 'port')(item) && item.carries === NONE,
        ),
        q(
            'Joints that carry something and wet nothing',
            'a leak is seen nowhere',
            item => item.carries !== NONE && item.wets === NONE,
        ),
        q(
            'Joints that wet something and carry nothing',
            'nothing comes out',
            item => item.wets !== NONE && item.carries === NONE,
        ),
        q(
            'Areas that nothing wets',
            'they stay dry whatever leaks',
            (item, index) => item.nature === 'wetted' && !wetted.has(index),
        ),
        q(
            'Connectors that are not keyed',
            'one may be fitted where a like one belongs',
            item => item.kind === 'connector' && !item.keyed,
        ),
        q(
            'Locks and pins that hold nothing',
            'they may go on and off at any time',
            item => is('lock', 'pin')(item) && item.holds.length === 0,
        ),
        q(
            'Units that nothing locks or holds, and in which nothing is',
            'no part of them fails',
            (item, index) => item.kind === 'unit' && !held.has(index) && !filled.has(index),
        ),
        q(
            'Units, ports, controls and things that move, of which no rule speaks',
            'nothing is asked for before they are worked on, operated or move',
            (item, index) =>
                (is('unit', 'port', 'control', 'button')(item) || item.nature === 'moved') && !ruled.has(index),
        ),
        q(
            'Parts that need no measurement and no inspector after work',
            'no check asks for one',
            item => item.kind === 'unit' && item.measured.length === 0 && !item.inspected,
        ),
        q('Two things called the same', 'told apart by name only', item =>
            items.some(other => other !== item && other.label === item.label && other.kind === item.kind),
        ),
    ];
}

/** Names of what anything rests on or any rule asks for, in any of the machines. */
function usedNames(machines: readonly Machine[]): ReadonlySet<string> {
    const used = new Set<string>();
    for (const machine of machines) {
        const after = dependents(machine);
        for (const [index, item] of machine.items.entries()) if ((after[index]?.length ?? 0) > 0) used.add(item.name);
        for (const { body } of machine.rules)
            for (const condition of conditionsOf(body))
                for (const atom of atomsOf(condition))
                    if ('item' in atom) used.add(machine.items[atom.item]?.name ?? '');
    }
    return used;
}

/** Items that a rule asks for, is about, or that are in what it is about. */
function ruledItems(machine: Machine): ReadonlySet<number> {
    const ruled = new Set<number>();
    for (const { body } of machine.rules) {
        if ('item' in body) ruled.add(body.item);
        if (body.kind === 'before') for (const each of body.triggers) ruled.add(each.item);
        for (const condition of conditionsOf(body))
            for (const atom of atomsOf(condition)) if ('item' in atom) ruled.add(atom.item);
    }
    for (const [index, item] of machine.items.entries()) {
        for (
            let at = item.unit, n = 0;
            at !== NONE && n <= machine.items.length;
            at = machine.items[at]?.unit ?? NONE, n++
        )
            if (ruled.has(at)) ruled.add(index);
    }
    return ruled;
}
