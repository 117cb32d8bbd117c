/** What a card operates, as its text says. */
import { AstUtils } from 'langium';
import * as ast from '../grammar/generated/ast.js';
import type { ParsedProject } from './project.js';

const ACTS: ReadonlySet<string> = new Set(['Operate', 'Install', 'Ensure', 'SetTo', 'Keep']);

/** The things that a card operates, itself or in what it calls; with each thing that it passes to a call. */
export function operatedBy(project: ParsedProject, card: ast.Card): ReadonlySet<ast.Item> {
    const found = new Set<ast.Item>();
    const seen = new Set<object>();
    const note = (node: unknown): void => {
        if (ast.isItem(node)) found.add(node);
    };
    const follow = (owner: ast.Card | ast.Subtask): void => {
        if (seen.has(owner)) return;
        seen.add(owner);
        for (const each of AstUtils.streamAst(owner)) {
            if (ast.isDo(each)) {
                for (const { name } of each.args) for (const { node } of project.lookup(each, name)) note(node);
                if (each.callee?.ref) follow(each.callee.ref);
            } else if (ast.isForEach(each)) {
                for (const row of each.rows)
                    for (const { name } of row.args) for (const { node } of project.lookup(row, name)) note(node);
            } else if (ACTS.has(each.$type)) {
                for (const { reference } of AstUtils.streamReferences(each))
                    if ('ref' in reference) note(reference.ref);
            }
        }
    };
    follow(card);
    return found;
}
