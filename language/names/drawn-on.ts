/** Which files a file draws on: those that declare what it mentions, and so on. */
import type { ParsedFile } from './project.js';

/** A word of the text that can be a name. */
const WORD = /[A-Za-z0-9_][\w-]*/g;

interface Mentions {
    readonly names: DeclaredNames;
    readonly found: readonly string[];
}

/** The names that the files of a project declare, each with the files that declare it. The same object as long as they are the same. */
class DeclaredNames {
    readonly key: string;
    readonly byName = new Map<string, number[]>();

    constructor(files: readonly ParsedFile[]) {
        const all: string[] = [];
        for (const [n, file] of files.entries()) {
            const own = new Set(file.root.declarations.map(each => each.name ?? ''));
            for (const name of own) {
                if (name === '') continue;
                const known = this.byName.get(name);
                if (known) known.push(n);
                else this.byName.set(name, [n]);
            }
            all.push(`${file.path}\n${[...own].join(' ')}`);
        }
        this.key = all.join('\n');
    }
}

const words = new WeakMap<ParsedFile, ReadonlySet<string>>();
const mentions = new WeakMap<ParsedFile, Mentions>();

function wordsOf(file: ParsedFile): ReadonlySet<string> {
    let known = words.get(file);
    if (!known) {
        known = new Set(file.text.match(WORD));
        words.set(file, known);
    }
    return known;
}

/** What the files of one moment draw on. `before`: that of the moment before, whose work is taken over where it still holds. */
export class DrawnOn {
    /** Changes only when a file, or the name of a declaration, comes or goes. */
    readonly names: DeclaredNames;
    private readonly closures = new Map<ParsedFile, readonly ParsedFile[]>();
    private readonly at: ReadonlyMap<ParsedFile, number>;

    constructor(
        readonly files: readonly ParsedFile[],
        before?: DrawnOn,
    ) {
        const names = new DeclaredNames(files);
        this.names = before?.names.key === names.key ? before.names : names;
        this.at = new Map(files.map((file, n) => [file, n]));
    }

    /** The names of declarations anywhere in the project that stand in the text of a file. */
    mentionedIn(file: ParsedFile): readonly string[] {
        const known = mentions.get(file);
        if (known?.names === this.names) return known.found;
        const found = [...wordsOf(file)].filter(word => this.names.byName.has(word));
        mentions.set(file, { names: this.names, found });
        return found;
    }

    /** The file, those that declare what it mentions, those that these mention, and so on; in the order of the project. */
    of(file: ParsedFile): readonly ParsedFile[] {
        const known = this.closures.get(file);
        if (known) return known;
        const found = new Set<number>([this.at.get(file) ?? -1]);
        for (const n of found) {
            const each = this.files[n];
            if (!each) continue;
            for (const name of this.mentionedIn(each))
                for (const other of this.names.byName.get(name) ?? []) found.add(other);
        }
        const closure = [...found].sort((one, two) => one - two).flatMap(n => this.files[n] ?? []);
        this.closures.set(file, closure);
        return closure;
    }

    /** The files in whose text one of the names stands. */
    mentioning(names: ReadonlySet<string>): readonly ParsedFile[] {
        return this.files.filter(file => {
            const words = wordsOf(file);
            return [...names].some(name => words.has(name));
        });
    }
}

export const sameFiles = (one: readonly ParsedFile[], two: readonly ParsedFile[]): boolean =>
    one.length === two.length && one.every((file, n) => file === two[n]);
