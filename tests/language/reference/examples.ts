/** The examples of a page, and where each stands. */
import { readFileSync } from 'node:fs';

export interface Example {
    readonly page: string;
    /** Of the first line of the example in its page. */
    readonly line: number;
    /** The word after `cotter`: base, equipment, step; empty where there is none. */
    readonly place: string;
    readonly text: string;
}

export function examplesOf(page: string): Example[] {
    const found: Example[] = [];
    let open: { place: string; line: number; text: string[] } | undefined;
    for (const [n, line] of readFileSync(page, 'utf8').split(/\r?\n/).entries()) {
        if (open) {
            if (line === '```') {
                const { place, line: at, text } = open;
                found.push({ page, place, line: at, text: text.join('\n') });
                open = undefined;
            } else open.text.push(line);
        } else {
            const fence = /^```cotter(?: (\w+))?$/.exec(line);
            if (fence) open = { place: fence[1] ?? '', line: n + 2, text: [] };
        }
    }
    if (open) throw new Error(`${page}: an example does not end`);
    return found;
}
