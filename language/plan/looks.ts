/** Looks: `see`, `read`, `measure`, and the look of an `if`. */
import * as ast from '../grammar/generated/ast.js';
import { NONE } from '../machine/machine.js';
import { readBand, readQuantity } from '../machine/quantities.js';
import * as say from '../vocabulary/sentences.js';
import { type Act, onItem, targetOf, worked } from './actions.js';
import type { DraftOf } from './lines.js';
import { positionWord, slotState } from './scope.js';

export interface Looked {
    readonly sentence: say.Sentence;
    readonly draft: DraftOf<'look'>;
    /** What is printed beside the blank of a recorded value. */
    readonly limits: string;
    readonly timed: boolean;
}

interface Times {
    readonly within: number;
    readonly for: number;
    readonly after: number;
    readonly words: say.Timing;
}

export function lowerLook(action: ast.Look, act: Act): Looked | undefined {
    const { context } = act.place;
    if (!ast.isSee(action) && !ast.isRead(action) && !ast.isMeasure(action)) {
        context.say(`What is to be seen ${context.at(act.statement)} cannot be read.`);
        return undefined;
    }
    const target = targetOf(action.item, act);
    const times = timesOf(action.timing, act);
    if (!target || !times) return undefined;
    const { item } = target;
    const rest = {
        kind: 'look',
        within: times.within,
        for: times.for,
        after: times.after,
        record: action.record,
        hasElse: action.else !== undefined,
    } as const;
    const guaranteed = Math.max(0, times.for) + Math.max(0, times.after);
    const timed = action.timing !== undefined;
    if (ast.isSee(action)) {
        const word = positionWord(action.state, act.place);
        const found = slotState(target.index, word, context, () => context.at(act.statement));
        if (!found) return undefined;
        return {
            sentence: say.saySee(item, word, times.words),
            draft: {
                ...onItem(act, 'see', target, guaranteed),
                ...rest,
                look: 'see',
                slot: found.slot,
                state: found.state,
                what: '',
            },
            limits: '',
            timed,
        };
    }
    const limits = readBand(action.limits);
    if (!limits) {
        context.say(`The limits ${context.at(act.statement)} cannot be read.`);
        return undefined;
    }
    if (ast.isRead(action)) {
        if (item.kind !== 'gauge') {
            context.say(`${item.name}, a ${item.kind}, shows no value to read (${context.at(act.statement)}).`);
            return undefined;
        }
        return {
            sentence: say.sayRead(item, limits.text, times.words),
            draft: {
                ...onItem(act, 'read', target, guaranteed),
                ...rest,
                look: 'read',
                slot: item.slot,
                state: NONE,
                limits,
                what: '',
            },
            limits: limits.text,
            timed,
        };
    }
    worked(act, target.index);
    return {
        sentence: say.sayMeasure(item, action.what, limits.text),
        draft: {
            ...onItem(act, 'measure', target, guaranteed),
            ...rest,
            look: 'measure',
            slot: NONE,
            state: NONE,
            limits,
            what: action.what,
        },
        limits: limits.text,
        timed,
    };
}

function timesOf(timing: ast.Timing | undefined, act: Act): Times | undefined {
    const { context } = act.place;
    const read = (quantity: ast.Quantity | undefined): { value: number; text: string } | undefined => {
        if (!quantity) return { value: NONE, text: '' };
        const found = readQuantity(quantity, 's');
        if (!found) context.say(`The time ${context.at(act.statement)} cannot be read.`);
        return found;
    };
    const within = read(timing?.within);
    const stays = read(timing?.for);
    const after = read(timing?.after);
    if (!within || !stays || !after) return undefined;
    const words = { within: within.text, for: stays.text, after: after.text };
    return { within: within.value, for: stays.value, after: after.value, words };
}
