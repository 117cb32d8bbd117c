import type { JudgedEquipment } from '../../check.js';
import { NONE } from '../../machine/machine.js';
import { list, modificationWords, upperFirst } from '../../vocabulary/sentences.js';
import { caution, notApproved, sentenceOf } from '../finished-card/words.js';
import { failuresOf } from './failures.js';
import { breakersOf, feedsOf, lossRows, ownItems, sharedOf } from './feeds.js';
import { itemsOf, placesOf } from './items.js';
import { type Loss, Losses } from './losses.js';
import { Says } from './say.js';
import type { Behaviour, EquipmentSheet, RuleRow, SheetStatus } from './sheet.js';
import { unsaidOf } from './unsaid.js';

/** Everything that the text of one equipment says on one aircraft, and what it leaves out. Units: in which quantities are printed besides. */
export function equipmentSheet(judged: JudgedEquipment, units: readonly string[] = []): EquipmentSheet {
    const { machine, name, users, modifications } = judged;
    const digest = judged.digest();
    const says = new Says(machine, modifications);
    const losses = new Losses(machine);
    const known = new Map<number, Loss>();
    const lossOf = (item: number): Loss => {
        const loss = known.get(item) ?? losses.without(item);
        known.set(item, loss);
        return loss;
    };
    const variantShort = modifications.map(each => `${each.embodied ? 'with' : 'without'} ${each.name}`).join(', ');
    return {
        name,
        label: judged.label,
        file: judged.file,
        digest,
        uses: judged.uses,
        usedBy: judged.usedBy,
        variant: modifications.map(
            each => `${each.embodied ? 'With' : 'Without'} ${modificationWords(each.name, each.label)}`,
        ),
        variantShort,
        status: statusOf(judged),
        caution: caution(name, 'not given', digest),
        foot: [notApproved, `Text digest ${digest}.`],
        notApproved,
        places: placesOf(machine, name, says),
        items: itemsOf(machine, name, says, units),
        feeds: feedsOf(machine, name, says),
        breakers: breakersOf(machine, name, says, losses, lossOf),
        losses: lossRows(machine, name, says, losses, lossOf),
        shared: sharedOf(machine, name, says, losses, lossOf),
        behaviour: ownItems(machine, name).flatMap((index): readonly Behaviour[] => {
            const sentences = says.behaviour(index);
            const item = machine.items[index];
            return item && sentences.length > 0 ? [{ name: item.name, only: says.only(item.only), sentences }] : [];
        }),
        rules: [...rulesOf(judged, says), ...looseFailures(judged, says)],
        pairs: machine.pairs.flatMap(([a, b]) =>
            machine.items[a]?.equipment === name || machine.items[b]?.equipment === name
                ? `Like work on ${says.thing(a)} and on ${says.thing(b)} is done by different hands.`
                : [],
        ),
        failures: failuresOf(machine, name, says, losses),
        unsaid: unsaidOf(machine, name, users, says),
    };
}

function rulesOf({ machine, name }: JudgedEquipment, says: Says): readonly RuleRow[] {
    return machine.rules.flatMap(rule =>
        rule.equipment === name
            ? { name: rule.name, only: says.only(rule.only), sentence: says.rule(rule), because: rule.because }
            : [],
    );
}

/** Failures that this equipment gives to an item of another one: they stand on no item's line here. */
function looseFailures({ machine, name }: JudgedEquipment, says: Says): readonly RuleRow[] {
    return machine.ownFailures.flatMap(own =>
        own.equipment === name && own.item !== NONE && machine.items[own.item]?.equipment !== name
            ? { name: own.label, only: says.only(own.only), sentence: says.fails(own), because: '' }
            : [],
    );
}

function statusOf({ status, unknown, findings }: JudgedEquipment): SheetStatus {
    return {
        status: status.status,
        word: status.status === 'unknown' ? 'not known' : status.status,
        why: sentenceOf(status.why),
        said: [
            ...unknown.map(each => `Not known: ${sentenceOf(upperFirst(each))}`),
            ...findings.map(each => {
                const by = [each.card, each.only].filter(Boolean).join(', ');
                const accepted = each.accepted ? ` Accepted: ${each.accepted.because}` : '';
                return `Line ${each.span.line}, ${each.code}${by && ` (${by})`}: ${each.message}${accepted}`;
            }),
        ],
    };
}

/** "Uses Electrical (Electrical supply)." */
export const othersOf = (others: EquipmentSheet['uses']): string =>
    list(others.map(each => `${each.label} (${each.name})`));
