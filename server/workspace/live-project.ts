import { checking, type JudgedCard, Memory, type Report, type Settings, tryFixes } from '../../language/check.js';
import type { CardStatus, Finding } from '../../language/findings/finding.js';
import { DrawnOn, sameFiles } from '../../language/names/drawn-on.js';
import {
    linkingProject,
    linkProject,
    type ParsedFile,
    type ParsedProject,
    parseFile,
} from '../../language/names/project.js';

/** What is said of one file at once, before the rest of the project has been asked. */
export interface FileReport {
    /** Findings in the file, and those about its cards wherever they stand. Fixes are proposed, not tried. */
    readonly findings: readonly Finding[];
    readonly cards: readonly CardStatus[];
    readonly judged: readonly JudgedCard[];
}

/** Callers of a subtask that are looked at along with it. */
const mostCallers = 20;

/**
 * One project while it is being written. Two speeds: `quick` says what can be said of one file from what that file draws on, in a time that does not grow with the project;
 * `catchUp` says everything about every file, exactly as check() does, judging again only what a change reaches.
 */
export class LiveProject {
    private readonly parsed = new Map<string, ParsedFile>();
    private readonly linked = new WeakMap<
        ParsedFile,
        { readonly names: object; readonly files: readonly ParsedFile[] }
    >();
    private readonly memory = new Memory(file => this.drawnOn().of(file));
    private readonly reports = new Map<
        string,
        { readonly files: readonly ParsedFile[]; readonly report: FileReport }
    >();
    private drawn: DrawnOn | undefined;
    private stale = true;
    private order: readonly ParsedFile[] | undefined;

    constructor(private own: Settings = {}) {}

    get settings(): Settings {
        return this.own;
    }

    set settings(settings: Settings) {
        this.own = settings;
        this.reports.clear();
    }

    /** The text of a file as it is now; undefined when the file is gone. `path`: from the root of the project, with `/`. */
    setText(path: string, text: string | undefined): void {
        if (this.parsed.get(path)?.text === text) return;
        if (text === undefined) this.parsed.delete(path);
        else this.parsed.set(path, parseFile({ path, text }));
        this.order = undefined;
        this.stale = true;
    }

    has(path: string): boolean {
        return this.parsed.has(path);
    }

    file(path: string): ParsedFile | undefined {
        return this.parsed.get(path);
    }

    /** In the order in which the command reads a folder. */
    files(): readonly ParsedFile[] {
        this.order ??= [...this.parsed.values()].sort((one, two) => inFolderOrder(one.path, two.path));
        return this.order;
    }

    drawnOn(): DrawnOn {
        if (this.stale || !this.drawn) {
            this.drawn = new DrawnOn(this.files(), this.drawn);
            this.stale = false;
        }
        return this.drawn;
    }

    /** The file with all that it draws on, linked: what features of the text read. */
    around(path: string): ParsedProject | undefined {
        const file = this.parsed.get(path);
        return file && this.link(this.near(file));
    }

    /** All files in whose text one of these names stands, with all that they draw on, linked. */
    mentioning(names: ReadonlySet<string>): ParsedProject {
        const drawn = this.drawnOn();
        return this.link(this.inOrder(drawn.mentioning(names).flatMap(file => drawn.of(file))));
    }

    quick(path: string): FileReport {
        const file = this.parsed.get(path);
        if (!file) return { findings: [], cards: [], judged: [] };
        const files = this.near(file);
        const known = this.reports.get(path);
        if (known && sameFiles(known.files, files)) return known.report;
        const report = this.reportOf(this.link(files), path);
        this.reports.set(path, { files, report });
        return report;
    }

    /** Everything about every file, in steps. Texts must not change between two steps: begin again instead, and what was judged is not judged again. */
    *catchUp(): Generator<void, Report> {
        const drawn = this.drawnOn();
        const all = this.files();
        const isLinked = (file: ParsedFile): boolean => {
            const known = this.linked.get(file);
            return known?.names === drawn.names && sameFiles(known.files, drawn.of(file));
        };
        const project = yield* linkingProject(all, isLinked);
        for (const file of all) this.linked.set(file, { names: drawn.names, files: drawn.of(file) });
        return yield* checking(project, this.own, { memory: this.memory });
    }

    /** What would be said of a file if its text were this one. The file itself stays as it is. */
    asIf(path: string, text: string): { readonly project: ParsedProject; readonly report: FileReport } | undefined {
        const file = this.parsed.get(path);
        if (!file) return undefined;
        const other = parseFile({ path, text });
        const near = this.near(file);
        const files = near.map(each => (each === file ? other : each));
        const project = linkProject(
            this.files().map(each => (each === file ? other : each)),
            files,
        );
        const report = this.reportOf(project, path);
        // Trees are shared: their links lead again to what stands in the text.
        this.link(near);
        return { project, report };
    }

    /** Findings of a file, each with the fix that holds when it is tried, if there is one. */
    tryFixes(path: string, findings: readonly Finding[]): readonly Finding[] {
        const file = this.parsed.get(path);
        if (!file) return [];
        // Trees of this project keep their links: fixes are tried on trees of their own.
        const sources = this.near(file).map(each => ({ path: each.path, text: each.text }));
        return tryFixes(sources, this.own, findings, this.quick(path).findings);
    }

    private reportOf(project: ParsedProject, path: string): FileReport {
        const steps = checking(project, this.own, { only: new Set([path]), memory: this.partly(), isPart: true });
        let step = steps.next();
        while (!step.done) step = steps.next();
        const { findings, cards, judged } = step.value;
        const names = new Set(cards.map(each => each.name));
        return {
            findings: findings.filter(each => each.span.file === path || (each.card && names.has(each.card))),
            cards,
            judged,
        };
    }

    /** Equipment is known from the whole; cards are judged anew, so that whatever asks finds all that was computed. */
    private partly(): Memory {
        const { memory } = this;
        const partly = new Memory(file => this.drawnOn().of(file));
        partly.compiled = (project, equipment) => memory.compiled(project, equipment);
        partly.recall = () => undefined;
        partly.keep = (project, judged, settings) => memory.keep(project, judged, settings);
        return partly;
    }

    private link(files: readonly ParsedFile[]): ParsedProject {
        const drawn = this.drawnOn();
        const project = linkProject(this.files(), files);
        for (const file of files) this.linked.set(file, { names: drawn.names, files: drawn.of(file) });
        return project;
    }

    /** The file, what it draws on, what could not be read whole, and who calls what it declares. */
    private near(file: ParsedFile): readonly ParsedFile[] {
        const drawn = this.drawnOn();
        const found = [...drawn.of(file)];
        for (const each of this.files()) if (each.broken) found.push(...drawn.of(each));
        const subtasks = new Set(
            file.root.declarations.flatMap(each => (each.$type === 'Subtask' && each.name ? [each.name] : [])),
        );
        if (subtasks.size > 0)
            for (const each of drawn.mentioning(subtasks).slice(0, mostCallers)) found.push(...drawn.of(each));
        return this.inOrder(found);
    }

    private inOrder(files: readonly ParsedFile[]): readonly ParsedFile[] {
        const wanted = new Set(files);
        return wanted.size === this.parsed.size ? this.files() : this.files().filter(each => wanted.has(each));
    }
}

/** Folder by folder, names by their characters. */
function inFolderOrder(one: string, two: string): number {
    const left = one.split('/');
    const right = two.split('/');
    for (let n = 0; n < Math.min(left.length, right.length); n++) {
        const a = left[n] ?? '';
        const b = right[n] ?? '';
        if (a !== b) return a < b ? -1 : 1;
    }
    return left.length - right.length;
}
