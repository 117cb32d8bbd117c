import type { AstNode } from 'langium';
import type { JudgedCard } from '../../../language/check.js';
import type { Finding } from '../../../language/findings/finding.js';
import type { ExpectedHere, Filled } from '../../../language/grammar/expected.js';
import { expectedAt } from '../../../language/grammar/expected.js';
import type { Exercise, ForEach } from '../../../language/grammar/generated/ast.js';
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
    /** What stands before the word on its line. */
    readonly line: string;
    /** Nothing stands before it on its line, or only what opens a block: something begins here. */
    readonly isStart: boolean;
    /** The words of the text before, each with how long ago it was last written: 0 is the last word. Only of what is near. */
    readonly recent: ReadonlyMap<string, number>;
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
    const line = text.slice(text.lastIndexOf('\n', here.from - 1) + 1, here.from);
    const shadow = at.project.live.asIf(at.path, withoutLine(text, offset));
    const project = shadow?.project ?? at.parsed;
    const file = project.files.find(each => each.path === at.path);
    const owner = file && ownerAt(file.root.declarations, offset);
    const cards = owner?.$type === 'Exercise' ? cardOf(at, project, owner) : (shadow?.report.judged ?? []);
    const chosen = cards.map(card => ({ card, last: eventsHere(card, at.path, offset)[0] })).find(each => each.last);
    const loops = file ? nodesOf(file.root, 'ForEach').filter(each => isInside(each, text, offset)) : [];
    return {
        at,
        offset,
        here,
        line,
        isStart: /^\s*$|\{\s*$/.test(line),
        recent: recentWords(text.slice(Math.max(0, here.from - near), here.from)),
        project,
        standing: { owner, arms: [], loops: [...loops].reverse() as ForEach[] },
        card: chosen?.card ?? cards[0],
        last: chosen?.last,
        findings: shadow?.report.findings ?? [],
    };
}

/** The card that an exercise is about, as it stands in its own file. */
function cardOf(at: At, project: ParsedProject, exercise: Exercise): readonly JudgedCard[] {
    const name = exercise.card?.$refText;
    const card = name === undefined ? undefined : project.scopes.offered.callees.get(name)?.[0]?.node;
    return card ? at.project.live.quick(project.fileOf(card).path).judged : [];
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

/** Whether a block that begins before has not been closed: what is being written may have no end yet. */
function isInside(node: AstNode, text: string, offset: number): boolean {
    const cst = node.$cstNode;
    if (!cst || cst.offset > offset) return false;
    const words = text.slice(cst.offset, offset).replace(/"(?:\\.|[^"\\\r\n])*"?|\/\/.*|\/\*[\s\S]*?\*\//g, '');
    let depth = 0;
    for (const [brace] of words.matchAll(/[{}]/g)) {
        depth += brace === '{' ? 1 : -1;
        if (depth === 0) return false;
    }
    return depth > 0;
}

/** How far back, in characters, words count as near. */
const near = 4000;

function recentWords(before: string): ReadonlyMap<string, number> {
    const found = new Map<string, number>();
    for (const [word] of before.matchAll(/[\w-]+/g)) {
        // The map keeps the order in which words came in last.
        found.delete(word);
        found.set(word, 0);
    }
    return new Map([...found.keys()].reverse().map((word, n) => [word, n]));
}

/** The nearest word before that is this property of such a node. */
export function filledIn(filled: Filled | undefined, type: string, property: string): Filled | undefined {
    for (let each = filled; each; each = each.before) if (each.type === type && each.property === property) return each;
    return undefined;
}

/** Every name that can be meant here, each once. */
export function visible({ project, standing }: Situation): readonly Declared[] {
    const seen = new Set<string>();
    return [...project.scopes.visibleFrom(standing)].filter(each => !seen.has(each.name) && seen.add(each.name));
}

/** The state of each slot behind the last thing that is done, in the plain run. */
export function vectorHere({ card, last }: Situation): ArrayLike<number> | undefined {
    return card && last ? visitOf(card, last.id)?.after : undefined;
}

/** Who acts in the line that is being written. */
export const actorOf = (filled: Filled | undefined): string | undefined => filledIn(filled, 'Act', 'actor')?.word;

/** What a name means here: of a name that a repeat gives, what it means the first time. */
export function meant(situation: Situation, name: string | undefined): AstNode | undefined {
    if (name === undefined) return undefined;
    const node = visible(situation).find(each => each.name === name)?.node;
    if (node?.$type !== 'LoopName') return node;
    for (const { names, rows } of situation.standing.loops ?? []) {
        const at = names.findIndex(each => each.name === name);
        const first = rows[0]?.args[at]?.name;
        if (first !== undefined) return visible(situation).find(each => each.name === first)?.node;
    }
    return undefined;
}
