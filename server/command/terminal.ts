import { styleText } from 'node:util';

export type Style = (style: Parameters<typeof styleText>[0], text: string) => string;

/** Colour only where somebody sees it, and not where NO_COLOR asks for none. */
export function styleFor(stream: { isTTY?: boolean }, environment = process.env): Style {
    const colour = Boolean(stream.isTTY) && !environment.NO_COLOR && environment.TERM !== 'dumb';
    return colour ? (style, text) => styleText(style, text, { validateStream: false }) : (_, text) => text;
}

/** A line on standard error that the next one replaces; nothing where standard error is not a terminal. */
export const progress = {
    show(line: string): void {
        if (process.stderr.isTTY) process.stderr.write(`\r\u001B[2K${plain(line)}`);
    },
    clear(): void {
        if (process.stderr.isTTY) process.stderr.write('\r\u001B[2K');
    },
};

export function showChecking({ root, files }: { readonly root: string; readonly files: readonly unknown[] }): void {
    progress.show(`checking ${count(files.length, 'file')} in ${root}`);
}

/** Text from a file must not steer the terminal: control characters, and those that reorder a line, are shown as `·`. */
export function plain(text: string): string {
    return text.replace(/[\p{Cc}\u061C\u200E\u200F\u202A-\u202E\u2066-\u2069\u2028\u2029]|\p{Cs}/gu, character =>
        character === '\t' ? '\t' : '·',
    );
}

export function warn(line: string): void {
    progress.clear();
    process.stderr.write(`${plain(line)}\n`);
}

export function count(number: number, one: string, many = `${one}s`): string {
    return `${number.toLocaleString('en-US')} ${number === 1 ? one : many}`;
}
