import type { AstNode } from 'langium';
import type { Location } from 'vscode-languageserver';
import { nameSpan } from '../../language/names/duplicates.js';
import { type Occurrence, occurrenceAt, occurrencesOf } from '../../language/names/occurrences.js';
import type { ParsedFile, ParsedProject } from '../../language/names/project.js';
import type { At } from './feature.js';
import { locationOf } from './ranges.js';

export interface Place {
    readonly line: number;
    readonly character: number;
}

/** The name at a place of the editor, which is 0-based. A place beyond the text is its end. */
export function nameAt(at: At, position: Place): Occurrence | undefined {
    return occurrenceAt(at.parsed, at.file, at.document.offsetAt(position));
}

/** Everywhere in the project where these things are named, their declarations among them. */
export function everywhere(
    at: At,
    targets: readonly AstNode[],
): { readonly project: ParsedProject; readonly found: readonly { file: ParsedFile; occurrence: Occurrence }[] } {
    const names = new Set(targets.map(each => (each as { name?: string }).name ?? ''));
    const project = at.project.live.mentioning(names);
    return { project, found: occurrencesOf(project, targets) };
}

export function declarationOf(at: At, node: AstNode): Location {
    return locationOf(at.project, nameSpan(at.parsed, node));
}
