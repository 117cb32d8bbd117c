import { applyEdits, lineEnding } from '../../language/findings/edits.js';
import type { Edit, Finding } from '../../language/findings/finding.js';
import type { Judgement } from '../workspace/judge.js';
import type { Project, ProjectFile } from '../workspace/project.js';

/** A fix may lay another open, or be made where another was; after so many rounds the rest is left to the writer. */
const rounds = 25;

export interface Fixed {
    /** The projects with the new texts. */
    readonly projects: readonly Project[];
    /** The files whose text changed, old and new. */
    readonly changed: readonly { readonly old: ProjectFile; readonly new: ProjectFile }[];
    readonly fixes: number;
    readonly remaining: Judgement;
}

/** Each finding's first fix, over and over until there is none, in the files asked for alone. Nothing is written. */
export function fix(projects: readonly Project[], judgeAll: (projects: readonly Project[]) => Judgement): Fixed {
    let now = projects;
    let remaining = judgeAll(now);
    let fixes = 0;
    const seen = new Set<string>([fingerprint(now)]);
    for (let round = 0; round < rounds; round++) {
        const chosen = choose(remaining.findings, now);
        if (!chosen.length) break;
        const next = apply(now, chosen.flat());
        const print = fingerprint(next);
        // Two fixes that undo each other would go round for ever.
        if (seen.has(print)) break;
        seen.add(print);
        now = next;
        fixes += chosen.length;
        remaining = judgeAll(now);
    }
    return { projects: now, changed: differing(projects, now), fixes, remaining };
}

/** The edits of the fixes that can be made together: a fix is made whole or not at all. */
function choose(findings: readonly Finding[], projects: readonly Project[]): (readonly Edit[])[] {
    const files = new Set(projects.flatMap(({ files }) => files.filter(file => file.asked).map(file => file.path)));
    const taken: Edit[] = [];
    const chosen: (readonly Edit[])[] = [];
    for (const { accepted, fixes } of findings) {
        const edits = fixes[0]?.edits;
        if (accepted || !edits?.length || !edits.every(edit => files.has(edit.span.file))) continue;
        if (edits.some(edit => taken.some(other => overlap(edit, other)))) continue;
        taken.push(...edits);
        chosen.push(edits);
    }
    return chosen;
}

/** Touching counts: the order of two insertions at one place would be a guess. */
function overlap(a: Edit, b: Edit): boolean {
    return a.span.file === b.span.file && a.span.offset <= b.span.end && b.span.offset <= a.span.end;
}

function apply(projects: readonly Project[], edits: readonly Edit[]): Project[] {
    const byFile = Map.groupBy(edits, edit => edit.span.file);
    return projects.map(project => ({
        ...project,
        files: project.files.map(file => {
            const own = file.asked ? byFile.get(file.path) : undefined;
            return own ? { ...file, text: edited(file.text, own) } : file;
        }),
    }));
}

/** The lines that a fix writes end as the others of the file do. */
function edited(text: string, edits: readonly Edit[]): string {
    const ending = lineEnding(text);
    return applyEdits(
        text,
        edits.map(({ span, newText }) => ({ span, newText: newText.replace(/\r?\n/g, ending) })),
    );
}

function differing(before: readonly Project[], after: readonly Project[]): { old: ProjectFile; new: ProjectFile }[] {
    const old = new Map(before.flatMap(({ files }) => files.map(file => [file.absolute, file] as const)));
    return after
        .flatMap(({ files }) => files)
        .map(file => ({ old: old.get(file.absolute) ?? file, new: file }))
        .filter(pair => pair.old.text !== pair.new.text);
}

function fingerprint(projects: readonly Project[]): string {
    return JSON.stringify(projects.map(({ files }) => files.filter(file => file.asked).map(file => file.text)));
}
