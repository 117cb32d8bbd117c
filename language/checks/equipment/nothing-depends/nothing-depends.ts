import type { Finding } from '../../../findings/finding.js';
import { nameAndLabel } from '../../../machine/compile-conditions.js';
import { type Item, type Machine, NONE } from '../../../machine/machine.js';
import { atomsOf, conditionsOf } from '../../../paths/rules.js';
import type { Check } from '../../check.js';
import { cellOf, matters, mayHold, type Reach, reachOf } from '../reach.js';

/** A part that may fail without anything being otherwise, however the controls stand. */
export const nothingDepends: Check = {
    code: 'nothing-depends',
    family: 'equipment',
    severity: 'warning',
    title: 'A failure that changes nothing under any setting of the controls',
    ofEquipment: (machine, { equipment, users, whole }) =>
        !whole || users.some(each => each.ring.length > 0)
            ? []
            : machine.items.flatMap(item => {
                  if (item.equipment !== equipment) return [];
                  const says = idle(item, users);
                  return says ? [finding(item, says)] : [];
              }),
};

/** What it is that changes nothing, in every machine that has the item; undefined where something depends on it. */
function idle(item: Item, users: readonly Machine[]): string | undefined {
    const having = users.flatMap((machine): Having[] => {
        const index = machine.itemIndex[item.name];
        return index === undefined || machine.items[index]?.equipment !== item.equipment
            ? []
            : [{ reach: reachOf(machine), index }];
    });
    return ofItsKind(item, having) ?? ofItsOwn(having);
}

interface Having {
    readonly reach: Reach;
    readonly index: number;
}

function ofItsKind(item: Item, having: readonly Having[]): string | undefined {
    const never = (says: string, test: (having: Having) => boolean): string | undefined =>
        having.some(test) ? undefined : says;
    switch (item.kind) {
        case 'breaker':
            return never('whether it is closed or tripped changes nothing', isUsed);
        case 'connector':
            return never('whether it is made or not changes nothing', isUsed);
        case 'motor':
            return never('it never runs, dead or not', runs);
        default:
            return item.carries === NONE || item.wets === NONE
                ? undefined
                : never('what it carries is never live, so it cannot leak', carriesSome);
    }
}

const canBe = ({ machine, cells }: Reach, item: Item | undefined, state: string): boolean =>
    item !== undefined && (cells[item.slot]?.has(machine.slots[item.slot]?.states.indexOf(state) ?? NONE) ?? false);

const runs = ({ reach, index }: Having): boolean => canBe(reach, reach.machine.items[index], 'RUNNING');

function carriesSome({ reach, index }: Having): boolean {
    const { items } = reach.machine;
    return canBe(reach, items[items[index]?.carries ?? NONE], 'LIVE');
}

/** Fed from it, or behaving otherwise for it, or asked for by a rule. */
function isUsed({ reach, index }: Having): boolean {
    const { machine } = reach;
    return (
        matters(reach, cellOf(reach, index)) ||
        machine.items.some(each => each.nature === 'operated' && each.feeds.includes(index)) ||
        machine.rules.some(({ body }) =>
            conditionsOf(body).some(each => atomsOf(each).some(atom => 'item' in atom && atom.item === index)),
        )
    );
}

/** A `fails` whose condition never holds. */
function ofItsOwn(having: readonly Having[]): string | undefined {
    for (const { reach, index } of having)
        for (const own of reach.machine.ownFailures)
            if (own.item === index && own.when && !mayHold(reach, own.when))
                return `its failure "${own.label}" asks for what never holds`;
    return undefined;
}

function finding(item: Item, says: string): Finding {
    return {
        code: 'nothing-depends',
        severity: 'warning',
        span: item.span,
        about: [item.name],
        message: `Nothing here depends on ${nameAndLabel(item)}: ${says}, however the controls stand. Write what is fed through it or what rests on it, or take it out.`,
        related: [],
        fixes: [],
        cause: item.name,
    };
}
