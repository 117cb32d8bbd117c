import { checks } from '../../language/checks/index.js';
import { applyEdits, lineEnding } from '../../language/findings/edits.js';
import type { Edit, Finding } from '../../language/findings/finding.js';
import { likenesses, likenessOf } from '../../language/findings/likeness.js';
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

/**
 * Each finding's first fix, over and over until there is none, in the files asked for alone. Nothing is written.
 * @param isWanted leaves out the fixes of other findings
 */
export function fix(
    projects: readonly Project[],
    judgeAll: (projects: readonly Project[]) => Judgement,
    isWanted: (finding: Finding) => boolean = () => true,
): Fixed {
    let now = projects;
    let remaining = judgeAll(now);
    let fixes = 0;
    const seen = new Set<string>([fingerprint(now)]);
    for (let round = 0; round < rounds; round++) {
        const chosen = choose(remaining.findings, now, isWanted);
        if (!chosen.length) break;
        let made = chosen;
        let next = apply(now, edits(made));
        let after = judgeAll(next);
        // Each has been tried by itself. Made together they may do one thing twice: then fewer are made at a time.
        while (made.length > 1 && !isOfText(made) && hinder(made, remaining.findings, after.findings)) {
            made = made.slice(0, Math.ceil(made.length / 2));
            next = apply(now, edits(made));
            after = judgeAll(next);
        }
        const print = fingerprint(next);
        // Two fixes that undo each other would go round for ever.
        if (seen.has(print)) break;
        seen.add(print);
        now = next;
        fixes += made.length;
        remaining = after;
    }
    return { projects: now, changed: differing(projects, now), fixes, remaining };
}

const textCodes: ReadonlySet<string> = new Set(
    checks.filter(({ family }) => family === 'text').map(({ code }) => code),
);

/** Codes of what keeps a line from being judged. */
const unread: ReadonlySet<string> = new Set(['syntax', 'unknown-name', 'unknown-state', 'wrong-verb']);

const isOfText = (findings: readonly Finding[]): boolean => findings.some(({ code }) => textCodes.has(code));

const edits = (findings: readonly Finding[]): Edit[] => findings.flatMap(({ fixes }) => fixes[0]?.edits ?? []);

/**
 * The findings whose fixes can be made together: a fix is made whole or not at all. What is wrong with the text goes first and alone: as long as a word is
 * misspelt, other findings may come from that, and their fixes would be made twice.
 */
function choose(
    findings: readonly Finding[],
    projects: readonly Project[],
    isWanted: (finding: Finding) => boolean,
): readonly Finding[] {
    const files = new Set(projects.flatMap(({ files }) => files.filter(file => file.asked).map(file => file.path)));
    const mendable = findings.filter(finding => {
        const { accepted, fixes } = finding;
        const edits = fixes[0]?.edits;
        return !accepted && isWanted(finding) && edits?.length && edits.every(edit => files.has(edit.span.file));
    });
    const ofText = mendable.filter(({ code }) => textCodes.has(code));
    // What a card does wrong may come from a line of it that cannot be judged: its other fixes wait until that is mended.
    const waits = ({ card, span }: Finding): boolean =>
        findings.some(each => unread.has(each.code) && (each.card ? each.card === card : each.span.file === span.file));
    const taken: Edit[] = [];
    const chosen: Finding[] = [];
    for (const finding of ofText.length ? ofText : mendable.filter(finding => !waits(finding))) {
        const own = edits([finding]);
        if (own.some(edit => taken.some(other => overlap(edit, other)))) continue;
        taken.push(...own);
        chosen.push(finding);
    }
    return chosen;
}

/** Whether one of the findings is still there, or one has come that was not there before. */
function hinder(made: readonly Finding[], before: readonly Finding[], after: readonly Finding[]): boolean {
    const then = likenesses(before);
    const now = likenesses(after);
    const gone = likenesses(made);
    return (
        made.some(finding => {
            const likeness = likenessOf(finding);
            return (now.get(likeness) ?? 0) > (then.get(likeness) ?? 0) - (gone.get(likeness) ?? 0);
        }) || [...now].some(([likeness, count]) => count > (then.get(likeness) ?? 0))
    );
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
