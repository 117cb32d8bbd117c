/** `// expect: code "part of the message"` on the line before a finding, and what is found beside what is expected. */
import { readdirSync, readFileSync } from 'node:fs';
import type { Finding, SourceFile } from '../language/check.js';

export interface Mark {
    readonly file: string;
    /** Of the text that the mark speaks of. */
    readonly line: number;
    readonly code: string;
    readonly part: string;
}

export function marksOf(file: SourceFile): Mark[] {
    const marks: Mark[] = [];
    let waiting: { code: string; part: string }[] = [];
    file.text.split(/\r\n|\r|\n/).forEach((text, index) => {
        const mark = /^\s*\/\/ expect: ([a-z-]+) "(.*)"\s*$/.exec(text);
        if (mark) waiting.push({ code: mark[1] ?? '', part: mark[2] ?? '' });
        else if (!/^\s*\/\//.test(text)) {
            marks.push(...waiting.map(each => ({ ...each, file: file.path, line: index + 1 })));
            waiting = [];
        }
    });
    return marks;
}

/** Sentences about every mark without a finding and every finding without a mark; empty when all is as marked. */
export function unlike(files: readonly SourceFile[], findings: readonly Finding[]): string[] {
    const left = [...findings];
    const missing: string[] = [];
    for (const mark of files.flatMap(marksOf)) {
        const at = left.findIndex(
            each =>
                each.code === mark.code &&
                each.span.file === mark.file &&
                each.span.line === mark.line &&
                each.message.includes(mark.part),
        );
        if (at < 0) missing.push(`missing: ${mark.file}:${mark.line} ${mark.code} "${mark.part}"`);
        else left.splice(at, 1);
    }
    return [
        ...missing,
        ...left.map(each => `not expected: ${each.span.file}:${each.span.line} ${each.code}: ${each.message}`),
    ];
}

/** Every `.cotter` file below a folder. */
export function textsIn(folder: string): SourceFile[] {
    return readdirSync(folder, { recursive: true, encoding: 'utf8' })
        .filter(name => name.endsWith('.cotter'))
        .sort()
        .map(name => {
            const path = `${folder}/${name.replaceAll('\\', '/')}`;
            return { path, text: readFileSync(path, 'utf8') };
        });
}
