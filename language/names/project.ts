/** Texts to one project: trees whose references are resolved, and what is wrong with the texts as such. */
import { type AstNode, AstUtils } from 'langium';
import type { Finding, Span } from '../findings/finding.js';
import type { Card, Equipment, Exercise, File, Modification, Subtask } from '../grammar/generated/ast.js';
import { parseText } from '../grammar/parse.js';
import type { Problem } from '../grammar/problem.js';
import type { NameReference } from '../grammar/reference.js';
import { duplicateNames } from './duplicates.js';
import { Lines, type Range, rangeOf } from './lines.js';
import { link } from './link.js';
import { type Declared, type Owner, readOffered, Scopes, standingOf } from './scope.js';
import { unknownNames } from './unknown.js';

export type { Range } from './lines.js';
export type { Aircraft, Arm, Declared, Named, Owner } from './scope.js';
export { presentOn } from './scope.js';

export interface SourceText {
    readonly path: string;
    readonly text: string;
}

export interface ParsedFile extends SourceText {
    readonly root: File;
    /** Findings with the code `syntax`. */
    readonly syntax: readonly Finding[];
    /** The text had syntax errors: the tree holds what could be read. */
    readonly broken: boolean;
    /** In the order of the text. */
    readonly references: readonly NameReference[];
    spanOf(place: AstNode | Range): Span;
}

export interface ParsedProject {
    readonly files: readonly ParsedFile[];
    /** `syntax`, `unknown-name` and `duplicate-name`, by file and place. */
    readonly findings: readonly Finding[];
    readonly modifications: readonly Modification[];
    readonly equipments: readonly Equipment[];
    readonly subtasks: readonly Subtask[];
    readonly cards: readonly Card[];
    readonly exercises: readonly Exercise[];
    readonly scopes: Scopes;
    fileOf(node: AstNode): ParsedFile;
    spanOf(node: AstNode): Span;
    /** Everything a name means for an owner, in all arms of every `where`, its own first. */
    declarationsNamed(owner: Owner, name: string): readonly Declared[];
    /** Everything a name means at a place in the text: as `declarationsNamed`, and the names of the loops around it. */
    lookup(from: AstNode, name: string): readonly Declared[];
    visibleFrom(from: AstNode): Iterable<Declared>;
    /** Every equipment that an owner uses, and what those use. */
    equipmentsOf(owner: Owner): readonly Equipment[];
}

/**
 * Parses and links at once, without waiting. Trees of `reuse` whose path and text are the same are taken over and linked
 * anew: `reuse` itself must not be read afterwards.
 */
export function parseProject(sources: readonly SourceText[], reuse?: ParsedProject): ParsedProject {
    const known = new Map(reuse?.files.map(file => [file.path, file]));
    return linkProject(
        sources.map(source => {
            const before = known.get(source.path);
            return before?.text === source.text ? before : parseFile(source);
        }),
    );
}

/**
 * Links what has been parsed. All files offer names. With `focus`, only those files are linked and reported on, and only their declarations are listed: `focus`
 * must hold whatever its files draw on. Trees may be shared between projects as long as what their names mean is the same in all of them.
 */
export function linkProject(all: readonly ParsedFile[], focus: readonly ParsedFile[] = all): ParsedProject {
    const project = readyToLink(all, focus);
    for (const file of focus) link(project.scopes, file.references);
    return withFindings(project);
}

/** As linkProject, in steps: between them another text may have come. `isLinked`: files whose links are known to hold. */
export function* linkingProject(
    all: readonly ParsedFile[],
    isLinked: (file: ParsedFile) => boolean,
): Generator<void, ParsedProject> {
    const project = readyToLink(all, all);
    for (const file of all) {
        if (isLinked(file)) continue;
        link(project.scopes, file.references);
        yield;
    }
    return withFindings(project);
}

function readyToLink(all: readonly ParsedFile[], files: readonly ParsedFile[]): ParsedProject {
    const roots = new Map(all.map(file => [file.root, file]));
    const scopes = new Scopes(readOffered(roots.keys()));
    const declarations = files.flatMap(file => file.root.declarations);
    const fileOf = (node: AstNode): ParsedFile => {
        const file = roots.get(AstUtils.findRootNode(node) as File);
        if (!file) throw new Error('The node is not of this project.');
        return file;
    };
    return {
        files,
        findings: [],
        modifications: declarations.filter(each => each.$type === 'Modification'),
        equipments: declarations.filter(each => each.$type === 'Equipment'),
        subtasks: declarations.filter(each => each.$type === 'Subtask'),
        cards: declarations.filter(each => each.$type === 'Card'),
        exercises: declarations.filter(each => each.$type === 'Exercise'),
        scopes,
        fileOf,
        spanOf: node => fileOf(node).spanOf(node),
        declarationsNamed: (owner, name) => scopes.declarationsNamed(owner, name),
        lookup: (from, name) => scopes.lookup(standingOf(from), name),
        visibleFrom: from => scopes.visibleFrom(standingOf(from)),
        equipmentsOf: owner => scopes.equipmentsOf(owner).map(each => each.node),
    };
}

function withFindings(project: ParsedProject): ParsedProject {
    const { files } = project;
    const findings = [...files.flatMap(file => file.syntax), ...unknownNames(project), ...duplicateNames(project)];
    return { ...project, findings: inOrder(files, findings) };
}

function inOrder(files: readonly ParsedFile[], findings: readonly Finding[]): Finding[] {
    const order = new Map(files.map((file, index) => [file.path, index]));
    const at = ({ span }: Finding) => order.get(span.file) ?? 0;
    return [...findings].sort((left, right) => at(left) - at(right) || left.span.offset - right.span.offset);
}

/** One text by itself; nothing in it is linked yet. */
export function parseFile({ path, text }: SourceText): ParsedFile {
    const { root, problems, references } = parseText(text);
    const lines = new Lines(path, text);
    const syntax = problems.map(problem => syntaxFinding(problem, lines));
    const spanOf = (place: AstNode | Range): Span => lines.span('$type' in place ? rangeOf(place) : place);
    return { path, text, root, syntax, broken: problems.length > 0, references, spanOf };
}

function syntaxFinding({ message, offset, end, fix }: Problem, lines: Lines): Finding {
    return {
        code: 'syntax',
        severity: 'error',
        message,
        span: lines.span({ offset, end }),
        related: [],
        fixes: fix ? [{ title: fix.title, edits: [{ span: lines.span(fix), newText: fix.newText }] }] : [],
        about: [],
    };
}
