/** Why a change that matters is not answered. */
import type { Kind, Mutant } from './mutants.js';

export interface Reason {
    readonly kinds: readonly Kind[];
    readonly says: RegExp;
    readonly because: string;
}

export const reasons: readonly Reason[] = [
    {
        kinds: ['drop a look'],
        says: /read NG-G at least/,
        because:
            'The card neither works on the starter nor tests it: whether the engine comes up to speed in time need not be looked at.',
    },
    {
        kinds: ['swap neighbours'],
        says: /remove (ACT|BOWL)` and `tech: "(Clean|Wipe) the seat of/,
        because: 'What a text asks for is not read: that a seat is cleaned once the unit is off is for people to see.',
    },
    {
        kinds: ['swap neighbours'],
        says: /torque ACT with TW` and `tech: connect P1, P2/,
        because: 'The text says of no unit whether it is torqued before or after its plugs are made; either is done.',
    },
    {
        kinds: ['swap neighbours'],
        says: /torque BOWL with TW` and `tech: install new WIRE/,
        because:
            'No precondition says that what is locked cannot be torqued: a lock only keeps a unit from coming off.',
    },
    {
        kinds: ['drop a tag'],
        says: /ensure other is PULLED|pull CB-112, CB-115/,
        because:
            'A missing tag counts where somebody may stop or where the card ends; the breaker is closed before any such place.',
    },
    {
        kinds: ['drop an alert'],
        says: /Loose sleeves|starter overheats/,
        because:
            'Another warning still stands before the action: whether it speaks of this hazard in other words is for people to judge.',
    },
    {
        kinds: ['swap arguments'],
        says: /AER-F and AER-A/,
        because:
            'Both detectors are still tried, each with its own aerosol; only the words of the call name the other one.',
    },
];

export function reasonFor(mutant: Mutant): Reason | undefined {
    return reasons.find(each => each.kinds.includes(mutant.kind) && each.says.test(mutant.says));
}
