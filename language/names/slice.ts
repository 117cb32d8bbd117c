import type { AstNode } from 'langium';
import type { ParsedProject, SourceText } from './project.js';

/** The project by declaration: what each mentions, and where it stands. */
export interface Outline {
    readonly declarations: readonly Outlined[];
    readonly byName: ReadonlyMap<string, readonly number[]>;
}

interface Outlined {
    readonly name: string;
    readonly isCard: boolean;
    readonly file: string;
    readonly offset: number;
    readonly end: number;
    readonly mentions: ReadonlySet<string>;
}

/** A word of the text that can be a name. */
const WORD = /[A-Za-z0-9_][\w-]*/g;

/** Undefined where some file is broken: then nothing says where its declarations end. */
export function outlineOf(project: ParsedProject): Outline | undefined {
    if (project.files.some(file => file.broken)) return undefined;
    const declarations: Outlined[] = [];
    const byName = new Map<string, number[]>();
    for (const file of project.files) {
        for (const node of file.root.declarations) {
            const { offset, end } = file.spanOf(node as AstNode);
            const name = node.name ?? '';
            byName.set(name, [...(byName.get(name) ?? []), declarations.length]);
            const mentions = new Set(file.text.slice(offset, end).match(WORD));
            declarations.push({ name, isCard: node.$type === 'Card', file: file.path, offset, end, mentions });
        }
    }
    return { declarations, byName };
}

export interface Slice {
    /** Only the declarations that matter, each where it stands; everything else is blank. Files without any are left out. */
    readonly files: readonly SourceText[];
    readonly cards: number;
    /** The same for the same declarations. */
    readonly key: string;
}

/** As long and in as many lines, with nothing in it. */
const blank = (text: string): string => text.replace(/[^\r\n]+/g, words => ' '.repeat(words.length));

/**
 * The part of the project that a change at these places can bear on: the declarations that they lie in, those that mention them, however far, and all
 * that any of these mentions. `besides`: words that the change brings. Undefined where a place lies in no declaration.
 */
export function sliceAround(
    files: readonly SourceText[],
    outline: Outline,
    places: readonly { readonly file: string; readonly offset: number; readonly end: number }[],
    besides: string,
): Slice | undefined {
    const { declarations, byName } = outline;
    const kept = new Set<number>();
    for (const place of places) {
        const at = declarations.findIndex(
            each => each.file === place.file && each.offset <= place.offset && place.end <= each.end,
        );
        if (at < 0) return undefined;
        kept.add(at);
    }
    for (const at of kept) {
        const name = declarations[at]?.name ?? '';
        for (const [n, each] of declarations.entries()) if (each.mentions.has(name)) kept.add(n);
    }
    const cards = [...kept].filter(n => declarations[n]?.isCard).length;
    const add = (word: string): void => {
        for (const n of byName.get(word) ?? []) kept.add(n);
    };
    for (const word of besides.match(WORD) ?? []) add(word);
    for (const at of kept) for (const word of declarations[at]?.mentions ?? []) if (byName.has(word)) add(word);

    const here = new Map<string, number[]>();
    for (const n of kept) {
        const { file } = declarations[n] as Outlined;
        here.set(file, [...(here.get(file) ?? []), n]);
    }
    const sliced = files.flatMap(({ path, text }) => {
        const stays = here.get(path);
        if (!stays) return [];
        let from = 0;
        let slice = '';
        for (const n of stays.sort((one, other) => one - other)) {
            const { offset, end } = declarations[n] as Outlined;
            slice += blank(text.slice(from, offset)) + text.slice(offset, end);
            from = end;
        }
        return [{ path, text: slice + blank(text.slice(from)) }];
    });
    return { files: sliced, cards, key: [...kept].sort((a, b) => a - b).join(' ') };
}
