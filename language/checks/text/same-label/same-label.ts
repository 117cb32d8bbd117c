import type { Finding, Severity, Span } from '../../../findings/finding.js';
import type { Machine } from '../../../machine/machine.js';
import { the, thing } from '../../../vocabulary/sentences.js';
import type { Check } from '../../check.js';

/** Two things that the finished card calls by the same words. */
export const sameLabel: Check = {
    code: 'same-label',
    family: 'text',
    severity: 'warning',
    title: 'Two things are called the same on the finished card',
    ofEquipment: machine => ofMachine(machine),
    ofCard: ({ machine, plan }) => {
        const lists = [plan.roles, [...plan.tools, ...plan.spares, ...plan.materials]];
        const own = lists.flatMap(list =>
            alike(list.map(each => ({ name: each.name, words: the(each.label), sort: '', span: each.span }))),
        );
        return [...own, ...ofMachine(machine)].map(each => ({ ...each, card: plan.card }));
    },
};

interface Called {
    readonly name: string;
    /** As in a sentence of the card. */
    readonly words: string;
    /** The kind of item, where it is one. */
    readonly sort: string;
    readonly span: Span;
}

function ofMachine(machine: Machine): Finding[] {
    return [
        ...alike(
            machine.items.map(item => ({ name: item.name, words: thing(item), sort: item.kind, span: item.span })),
        ),
        ...alike(
            machine.places.map(place => ({
                name: place.name,
                words: the(place.label),
                sort: 'place',
                span: place.span,
            })),
        ),
    ];
}

/** One finding for each thing whose words another has too: at the later one, so that card and equipment say the same. */
function alike(all: readonly Called[]): Finding[] {
    const groups = new Map<string, Called[]>();
    for (const each of all) {
        const group = groups.get(each.words);
        if (group) group.push(each);
        else groups.set(each.words, [each]);
    }
    return [...groups.values()].flatMap(group => {
        const [first, ...others] = [...group].sort(
            (a, b) => compare(a.span.file, b.span.file) || a.span.offset - b.span.offset,
        );
        return first ? others.map(each => say(first, each)) : [];
    });
}

const compare = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

function say(first: Called, { name, words, sort, span }: Called): Finding {
    // A switch and its lamp are told apart by what is done with them.
    const severity: Severity = sort === first.sort ? 'warning' : 'information';
    return {
        code: 'same-label',
        severity,
        span,
        about: [name, first.name],
        message: `${name} and ${first.name} are both called "${words}" on the finished card: whoever reads it cannot tell which one is meant. Say in the label of one of them what tells it from the other.`,
        related: [{ span: first.span, message: `${first.name} is declared here` }],
        fixes: [],
        cause: `${name} ${first.name}`,
    };
}
