import type { AstNode } from 'langium';
import type { JudgedCard } from '../../../language/check.js';
import type { Finding } from '../../../language/findings/finding.js';
import type { ExpectedHere, Filled } from '../../../language/grammar/expected.js';
import { expectedAt } from '../../../language/grammar/expected.js';
import type { ForEach } from '../../../language/grammar/generated/ast.js';
import type { ParsedProject } from '../../../language/names/project.js';
import type { Declared, Owner, Standing } from '../../../language/names/scope.js';
import { nodesOf } from '../../../language/names/survey.js';
import type { Event } from '../../../language/plan/plan.js';
import type { At } from '../feature.js';
import { eventsHere, visitOf } from '../here.js';

/** Everything that completion rests on at one place of a text. */
export interface Situation {
    readonly at: At;
    readonly offset: number;
    readonly here: ExpectedHere;
    /** The project with the line that is being written left out: that line says nothing yet. */
    readonly project: ParsedProject;
    readonly standing: Standing;
    /** The card that is written, or one that does what is written, as far as it can be judged without the line. */
    readonly card: JudgedCard | undefined;
    /** The last thing that is done before. */
    readonly last: Event | undefined;
    readonly findings: readonly Finding[];
}

export function situationAt(at: At, offset: number): Situation {
    const text = at.document.getText();
    const here = expectedAt(text, offset);
    const shadow = at.project.live.asIf(at.path, withoutLine(text, offset));
    const project = shadow?.project ?? at.parsed;
    const file = project.files.find(each => each.path === at.path);
    const cards = shadow?.report.judged ?? [];
    const chosen = cards.map(card => ({ card, last: eventsHere(card, at.path, offset)[0] })).find(each => each.last);
    const owner = file && ownerAt(file.root.declarations, offset);
    const loops = file ? nodesOf(file.root, 'ForEach').filter(each => contains(each, offset)) : [];
    return {
        at,
        offset,
        here,
        project,
        standing: { owner, arms: [], loops: [...loops].reverse() as ForEach[] },
        card: chosen?.card ?? cards[0],
        last: chosen?.last,
        findings: shadow?.report.findings ?? [],
    };
}

/** The line with nothing on it, all else where it was; a brace that it opens or closes stays. */
function withoutLine(text: string, offset: number): string {
    const from = text.lastIndexOf('\n', offset - 1) + 1;
    const end = text.indexOf('\n', offset);
    const to = end < 0 ? text.length : end;
    const line = text.slice(from, to);
    // What opens a block opens it all the same: without it everything after would stand elsewhere.
    if (/[{}]/.test(line)) return text;
    return text.slice(0, from) + ' '.repeat(line.length) + text.slice(to);
}

function ownerAt(declarations: readonly AstNode[], offset: number): Owner | undefined {
    const owner = declarations.findLast(each => (each.$cstNode?.offset ?? 0) <= offset);
    return owner && ['Equipment', 'Subtask', 'Card', 'Exercise'].includes(owner.$type) ? (owner as Owner) : undefined;
}

function contains(node: AstNode, offset: number): boolean {
    const cst = node.$cstNode;
    return cst !== undefined && cst.offset <= offset && offset <= cst.end;
}

/** The nearest word before that is this property of such a node. */
export function filledIn(filled: Filled | undefined, type: string, property: string): Filled | undefined {
    for (let each = filled; each; each = each.before) if (each.type === type && each.property === property) return each;
    return undefined;
}

/** What has been written of one node: its words, the nearest first, as far as no other node of the type begins. */
export function visible({ project, standing }: Situation): readonly Declared[] {
    const seen = new Set<string>();
    return [...project.scopes.visibleFrom(standing)].filter(each => !seen.has(each.name) && seen.add(each.name));
}

/** The state of each slot behind the last thing that is done, in the plain run. */
export function vectorHere({ card, last }: Situation): ArrayLike<number> | undefined {
    return card && last ? visitOf(card, last.id)?.after : undefined;
}
