import { closeSync, constants, fstatSync, openSync, readFileSync } from 'node:fs';
import { because } from './paths.js';

export const largest = 50 * 1024 * 1024;

/** A file as read: its text without a byte order mark, which is kept apart so that writing puts it back. */
export interface Text {
    readonly text: string;
    readonly mark: '' | '\uFEFF';
}

/** The text of a file, or one sentence that says why there is none. */
export function readText(absolute: string): Text | string {
    let file: number | undefined;
    try {
        // Without waiting: a named pipe that nobody writes to must not hang the check.
        file = openSync(absolute, constants.O_RDONLY | (constants.O_NONBLOCK ?? 0));
        const stat = fstatSync(file);
        if (!stat.isFile()) return 'is not a file';
        if (stat.size > largest) return tooLarge(stat.size);
        return decode(readFileSync(file));
    } catch (error) {
        return `cannot be read: ${because(error)}`;
    } finally {
        if (file !== undefined) closeSync(file);
    }
}

export function decode(bytes: Uint8Array): Text | string {
    if (bytes.length > largest) return tooLarge(bytes.length);
    const [first, second] = bytes;
    if ((first === 0xff && second === 0xfe) || (first === 0xfe && second === 0xff)) {
        return 'is in UTF-16; save it as UTF-8';
    }
    if (bytes.includes(0)) return 'is not a text file: it holds a zero byte';
    try {
        const text = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes);
        return text.startsWith('\uFEFF') ? { text: text.slice(1), mark: '\uFEFF' } : { text, mark: '' };
    } catch {
        return `is not in UTF-8 (first wrong byte in line ${lineOfWrongByte(bytes)}); save it as UTF-8`;
    }
}

function tooLarge(size: number): string {
    return `is too large: ${Math.ceil(size / 1024 / 1024)} MB, and ${largest / 1024 / 1024} MB is the most`;
}

/** A line that does not decode on its own holds the wrong byte: no character runs across a line feed. */
function lineOfWrongByte(bytes: Uint8Array): number {
    const decoder = new TextDecoder('utf-8', { fatal: true });
    let line = 1;
    for (let start = 0; start < bytes.length; line++) {
        const feed = bytes.indexOf(0x0a, start);
        const end = feed < 0 ? bytes.length : feed;
        try {
            decoder.decode(bytes.subarray(start, end));
        } catch {
            return line;
        }
        start = end + 1;
    }
    return line;
}
