/** What a name stands for where names can stand for several things: parameters, loop names, arguments. */
import type { AstNode } from 'langium';
import {
    type Argument,
    type ForEach,
    type Item,
    isForEach,
    isItem,
    isLoopName,
    isParameter,
    type LoopName,
} from '../grammar/generated/ast.js';
import type { ParsedProject } from './project.js';

/** One thing that a name may stand for. `word` is a kind of item, or "role", "tool", "position" and the like. */
export interface Meaning {
    readonly word: string;
    /** Undefined for a parameter, and for a position, which is no thing. */
    readonly item?: Item;
    /** Nothing has this name: a position, if that is what is due. */
    readonly isUnknown?: boolean;
    /** Where it is written, for what stands in a row of a loop. */
    readonly argument?: Argument;
}

/** Everything that a thing of the tree may stand for: a loop name, one thing a row. */
export function meaningsOf(project: ParsedProject, node: AstNode): readonly Meaning[] {
    if (isItem(node)) return [{ word: node.kind, item: node }];
    if (isParameter(node)) return [{ word: node.kind }];
    if (isLoopName(node)) return ofLoop(project, node);
    return [{ word: node.$type.toLowerCase() }];
}

/** What an argument may stand for; a name that nothing has is a position. */
export function meaningsOfArgument(project: ParsedProject, argument: Argument): readonly Meaning[] {
    const declared = project.lookup(argument, argument.name);
    const node = declared[0]?.node;
    if (!node) return [{ word: 'position', isUnknown: true, argument }];
    return meaningsOf(project, node).map(meaning => ({ ...meaning, argument: meaning.argument ?? argument }));
}

function ofLoop(project: ParsedProject, name: LoopName): readonly Meaning[] {
    const loop: ForEach | undefined = isForEach(name.$container) ? name.$container : undefined;
    const index = loop?.names.indexOf(name) ?? -1;
    return (loop?.rows ?? []).flatMap(row => {
        const argument = row.args[index];
        return argument ? meaningsOfArgument(project, argument) : [];
    });
}
