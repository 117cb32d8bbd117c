import { URI } from 'langium';
import type { Report } from '../../language/check.js';
import type { CardStatus, Finding } from '../../language/findings/finding.js';
import type { ParsedFile } from '../../language/names/project.js';
import { settingsFile } from './file-names.js';
import type { FileSource, RevisionFiles } from './file-source.js';
import { LiveProject } from './live-project.js';
import type { Problem } from './problem.js';
import { settingsIn } from './settings.js';

/** What happened to a file that no editor has open. */
export type FileEvent = { readonly uri: string; readonly gone: boolean };

/** A file of a project as the editor names it, and as the project does. */
export interface Located {
    readonly project: OpenedProject;
    /** From the root of the project, with `/`. */
    readonly path: string;
    readonly file: ParsedFile;
}

export interface OpenedProject {
    /** URI of the folder. */
    readonly root: string;
    readonly live: LiveProject;
    /** What is wrong with its `cotter.json`. */
    readonly problems: readonly Problem[];
    /** Everything about every file, as of the last time all was said; undefined before the first. */
    readonly report: Report | undefined;
    /** The texts have changed since `report`. */
    readonly isBehind: boolean;
    uriOf(path: string): string;
}

interface Mutable extends OpenedProject {
    problems: readonly Problem[];
    report: Report | undefined;
    isBehind: boolean;
}

/** Time that catching up may take at a stretch, in ms: a key pressed meanwhile waits no longer. */
const stretch = 8;
/** Quiet time, in ms, before the rest of the project is caught up with. */
const quiet = 120;

/**
 * All projects of an editor: what is open as it stands there, the rest as it stands on the disk. Nothing here speaks a protocol.
 */
export class EditorWorkspace {
    private readonly projects = new Map<string, Mutable>();
    private readonly open = new Map<string, string>();
    private readonly rootOf = new Map<string, string>();
    private folders: readonly string[] = [];
    private timer: ReturnType<typeof setTimeout> | undefined;
    private readonly waiting: (() => void)[] = [];
    private isCatchingUp = false;

    /** @param changed called when a project has been caught up with: findings of files other than the one just edited may be new. */
    constructor(
        private readonly files: FileSource,
        private readonly changed: (project: OpenedProject) => void = () => {},
    ) {}

    /** Reads every project of these folders; what is outside them and not open is forgotten. */
    async setFolders(folders: readonly string[]): Promise<void> {
        this.folders = folders.map(normal);
        const found = await Promise.all(this.folders.map(folder => this.files.list(folder)));
        this.projects.clear();
        this.rootOf.clear();
        await this.take(found.flat().map(normal));
        for (const [uri, text] of this.open) await this.setOpen(uri, text);
    }

    /** A file is open, with this text. `git:` and other views of old texts are nobody's project: nothing is said of them. */
    async setOpen(uri: string, text: string): Promise<void> {
        const own = normal(uri);
        if (!isOurs(own)) return;
        this.open.set(own, text);
        const project = await this.projectOf(own);
        project.live.setText(pathIn(project, own), text);
        this.touch(project);
    }

    /** The same at once, for a file that is known already. False where it is not. */
    changeOpen(uri: string, text: string): boolean {
        const own = normal(uri);
        const project = this.known(own);
        if (!project || !this.open.has(own)) return false;
        this.open.set(own, text);
        project.live.setText(pathIn(project, own), text);
        this.touch(project);
        return true;
    }

    async setClosed(uri: string): Promise<void> {
        const own = normal(uri);
        if (!this.open.delete(own)) return;
        const project = this.known(own);
        if (!project) return;
        const isHere = this.folders.some(folder => own.startsWith(`${folder}/`));
        project.live.setText(pathIn(project, own), isHere ? await this.files.read(own) : undefined);
        if (!isHere && project.live.files().length === 0) this.projects.delete(project.root);
        this.touch(project);
    }

    /** Files changed on the disk; many at once are one change. */
    async filesChanged(events: readonly FileEvent[]): Promise<void> {
        const uris = events.map(each => ({ uri: normal(each.uri), gone: each.gone }));
        if (uris.some(each => each.uri.endsWith(`/${settingsFile}`))) {
            // Where projects begin may have changed.
            await this.setFolders(this.folders);
            return;
        }
        const texts = await Promise.all(uris.map(({ uri, gone }) => (gone ? undefined : this.files.read(uri))));
        for (const [n, { uri }] of uris.entries()) {
            if (this.open.has(uri) || !uri.endsWith('.cotter')) continue;
            const project = await this.projectOf(uri);
            project.live.setText(pathIn(project, uri), texts[n]);
            this.touch(project);
        }
    }

    /** Where a file stands; undefined for what is nobody's. */
    locate(uri: string): Located | undefined {
        const own = normal(uri);
        const project = this.known(own);
        const path = project && pathIn(project, own);
        const file = path === undefined ? undefined : project?.live.file(path);
        return project && path !== undefined && file ? { project, path, file } : undefined;
    }

    isOpen(uri: string): boolean {
        return this.open.has(normal(uri));
    }

    all(): readonly OpenedProject[] {
        return [...this.projects.values()];
    }

    /** Findings in a file: its own as its text is now, those that cards elsewhere give to it as of the last time all was said. */
    findingsOf({ project, path }: Located): readonly Finding[] {
        const { live, report } = project;
        if (!project.isBehind && report) return report.findings.filter(each => each.span.file === path);
        const quick = live.quick(path);
        const own = new Set(quick.cards.map(each => each.name));
        const others = (report?.findings ?? []).filter(
            each => each.span.file === path && each.card !== undefined && !own.has(each.card),
        );
        return [...quick.findings.filter(each => each.span.file === path), ...others];
    }

    /** The cards in a file as the text is now. */
    cardsOf({ project, path }: Located): readonly CardStatus[] {
        const { live, report } = project;
        if (!project.isBehind && report) return report.cards.filter(each => each.file === path);
        return live.quick(path).cards;
    }

    /** The files of a project as a revision has them, by path from its root; one sentence where there are none. */
    async filesOf(project: OpenedProject, revision: string): Promise<RevisionFiles | string> {
        return (await this.files.revision?.(project.root, revision)) ?? 'revisions cannot be read here';
    }

    /** When everything has been said of every text. */
    settled(): Promise<void> {
        if (!this.isCatchingUp && !this.timer && ![...this.projects.values()].some(each => each.isBehind))
            return Promise.resolve();
        return new Promise(resolve => this.waiting.push(resolve));
    }

    dispose(): void {
        clearTimeout(this.timer);
        this.timer = undefined;
        this.projects.clear();
    }

    private async take(uris: readonly string[]): Promise<void> {
        for (const uri of uris)
            if (uri.endsWith(`/${settingsFile}`)) await this.begin(uri.slice(0, -settingsFile.length - 1));
        const texts = await Promise.all(
            uris.map(uri => (uri.endsWith('.cotter') && !this.open.has(uri) ? this.files.read(uri) : undefined)),
        );
        for (const [n, uri] of uris.entries()) {
            const text = texts[n];
            if (text === undefined) continue;
            const project = await this.projectOf(uri);
            project.live.setText(pathIn(project, uri), text);
            this.touch(project);
        }
    }

    private known(uri: string): Mutable | undefined {
        const root = this.rootOf.get(folderOf(uri));
        return root === undefined ? undefined : this.projects.get(root);
    }

    /** The project of a file: the nearest folder upward with a `cotter.json`, else the folder that is open, else the file's own. */
    private async projectOf(uri: string): Promise<Mutable> {
        const known = this.known(uri);
        if (known) return known;
        const folder = this.folders.find(each => uri.startsWith(`${each}/`));
        const root = this.among(uri, folder) ?? folder ?? (await this.files.rootOf(uri)) ?? folderOf(uri);
        const project = await this.begin(normal(root));
        this.rootOf.set(folderOf(uri), project.root);
        return project;
    }

    /** The nearest known project between a file and the folder that is open. */
    private among(uri: string, within: string | undefined): string | undefined {
        if (within === undefined) return undefined;
        for (let at = folderOf(uri); at.length >= within.length; at = folderOf(at))
            if (this.projects.has(at)) return at;
        return undefined;
    }

    private async begin(root: string): Promise<Mutable> {
        const known = this.projects.get(root);
        if (known) return known;
        const text = await this.files.read(`${root}/${settingsFile}`);
        const { settings, problems } =
            text === undefined ? { settings: {}, problems: [] } : settingsIn(text, settingsFile);
        const project: Mutable = {
            root,
            live: new LiveProject(settings),
            problems,
            report: undefined,
            isBehind: true,
            uriOf: path => `${root}/${path.split('/').map(encoded).join('/')}`,
        };
        this.projects.set(root, project);
        return project;
    }

    private touch(project: Mutable): void {
        project.isBehind = true;
        clearTimeout(this.timer);
        this.timer = setTimeout(() => void this.catchUp(), quiet);
    }

    /** In stretches, until all is said or a text changes. */
    private async catchUp(): Promise<void> {
        this.timer = undefined;
        if (this.isCatchingUp) return;
        this.isCatchingUp = true;
        try {
            for (const project of [...this.projects.values()]) {
                if (!project.isBehind) continue;
                const steps = project.live.catchUp();
                let until = performance.now() + stretch;
                for (;;) {
                    const step = steps.next();
                    if (step.done) {
                        project.report = step.value;
                        project.isBehind = false;
                        this.changed(project);
                        break;
                    }
                    if (performance.now() < until) continue;
                    await new Promise(resolve => setTimeout(resolve));
                    // A text changed meanwhile: whoever changed it has set the timer again.
                    if (this.timer) return;
                    until = performance.now() + stretch;
                }
            }
        } finally {
            this.isCatchingUp = false;
        }
        if (!this.timer) for (const resolve of this.waiting.splice(0)) resolve();
    }
}

const folderOf = (uri: string): string => uri.slice(0, uri.lastIndexOf('/'));

/** Editors write one URI in several ways. */
const normal = (uri: string): string => URI.parse(uri).toString().replace(/\/$/, '');

const encoded = (part: string): string => URI.file(`/${part}`).toString().slice('file:///'.length);

function pathIn(project: OpenedProject, uri: string): string {
    return URI.parse(uri.slice(0)).path.slice(URI.parse(project.root).path.length + 1);
}

/** What a person writes, not what a view of another revision shows. */
const isOurs = (uri: string): boolean =>
    !/^(git|gitfs|scm|vscode-scm|review|diff|output|conflictResolution):/.test(uri);
