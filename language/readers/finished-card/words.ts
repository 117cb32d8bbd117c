import { upperFirst } from '../../vocabulary/sentences.js';

const months = [
    'January',
    'February',
    'March',
    'April',
    'May',
    'June',
    'July',
    'August',
    'September',
    'October',
    'November',
    'December',
];
const small = ['no', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine', 'ten', 'eleven', 'twelve'];

/** "2026-10-01" as "1 October 2026"; anything else as it is written. */
export function writtenDate(dated: string): string {
    const found = /^(\d{4})-(\d\d)-(\d\d)$/.exec(dated);
    const month = months[Number(found?.[2]) - 1];
    return found && month ? `${Number(found[3])} ${month} ${found[1]}` : dated;
}

/** "three persons". */
export function counted(count: number, one: string, many: string): string {
    return `${small[count] ?? count} ${count === 1 ? one : many}`;
}

/** With a capital, unless it begins with a name, and a full stop, where there are words. */
export function sentenceOf(words: string): string {
    const begun = /^[a-z]+ /.test(words) ? upperFirst(words) : words;
    return /[^.!?]$/.test(begun) ? `${begun}.` : begun;
}

export function caution(name: string, revision: string, digest: string): string {
    return (
        `Generated from ${name}, revision ${revision}, text digest ${digest}. This page is not approved data. ` +
        "The manufacturer's current instructions, local regulations and the judgement of licensed staff take precedence. " +
        "Not released for use until approved under the organisation's own procedure."
    );
}

/** The short form, for the foot of every printed page. */
export const notApproved = "Not approved data: the manufacturer's current instructions take precedence.";
