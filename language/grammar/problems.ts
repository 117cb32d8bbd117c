/** What lexer, grammar and parser found wrong with a text, in the order of the text, one for each mistake. */
import type { IRecognitionException } from 'chevrotain';
import { type AstNode, AstUtils, type CstNode } from 'langium';
import {
    type Act,
    type File,
    isMeanwhile,
    isUnknownAction,
    type Quantity,
    type UnknownAction,
} from './generated/ast.js';
import { mostErrors } from './guards.js';
import type { CotterLexer } from './lexer.js';
import { lineOf, lineStarts } from './lines.js';
import { explain, misspelt, otherVerbs, verbs } from './messages.js';
import { nearest } from './nearest.js';
import type { Problem } from './problem.js';
import type { Misread } from './texts.js';
import { reservedWords } from './tokens.js';

export function problemsOf(
    text: string,
    root: File,
    lexer: CotterLexer,
    misread: readonly Misread[],
    errors: readonly IRecognitionException[],
): Problem[] {
    const isKnown = isName(lexer);
    // A role without its colon may be what the parser made of the rest of a line that it had stumbled over.
    const [uncertain, certain] = [true, false].map(is =>
        misread.filter(each => (each.kind === 'no-colon') === is).map(each => readAnyway(each, isKnown)),
    );
    const early = [...lexer.problems, ...(certain ?? [])];
    const hasNoColon = new Set(misread.filter(each => each.kind === 'no-colon').map(each => each.node.astNode));
    early.push(...unknownActions(root, lexer, hasNoColon));
    early.sort((left, right) => left.offset - right.offset);
    const late = [...errors.slice(0, mostErrors).map(explain), ...(uncertain ?? [])];
    late.sort((left, right) => left.offset - right.offset);
    const all = oneEachLine(text, early, late);
    if (errors.length < mostErrors && all.length <= mostErrors) return all;
    const shown = all.slice(0, mostErrors);
    const last = shown.at(-1)?.end ?? 0;
    const more = all.length - shown.length;
    // A parser that was stopped has not seen the rest.
    const rest = errors.length < mostErrors ? `, and there are ${more} more` : `, and there are more`;
    const message = `The first ${shown.length} mistakes are shown${rest}. From here on the file is not judged: mend these first.`;
    shown.push({ message, offset: last, end: last });
    return shown;
}

/** The parser stumbles on over what it has just stumbled over: one mistake a line, the first one, besides what the lexer says. */
function oneEachLine(text: string, early: readonly Problem[], late: readonly Problem[]): Problem[] {
    const lines = lineStarts(text);
    const taken = new Map<number, number>();
    for (const { offset } of [...early].reverse()) taken.set(lineOf(lines, offset), offset);
    const added: Problem[] = [];
    for (const each of late) {
        const line = lineOf(lines, each.offset);
        if (each.offset >= (taken.get(line) ?? Number.POSITIVE_INFINITY)) continue;
        taken.set(line, Number.NEGATIVE_INFINITY);
        added.push(each);
    }
    return [...early, ...added].sort((left, right) => left.offset - right.offset);
}

/** Words that stand more than once are names, not slips. */
function isName(lexer: CotterLexer): (word: string) => boolean {
    return word => lexer.tokens.filter(token => token.image === word).length > 1;
}

/** Says what is wrong with what the grammar read anyway, and puts into the tree what was meant. */
function readAnyway({ kind, node, text }: Misread, isKnown: (word: string) => boolean): Problem {
    const { offset, end } = node;
    if (kind === 'no-colon') {
        const meant = isKnown(text) ? undefined : nearest(text, reservedWords);
        if (meant) return misspelt({ image: text, startOffset: offset }, meant);
        if (isUnknownAction((node.astNode as Act).action)) {
            const message = `No line begins with "${text}". A role that acts is followed by a colon, as in "tech:".`;
            return { message, offset, end };
        }
        return {
            message: `After the role that acts a colon is due: "${text}:".`,
            offset: end,
            end,
            fix: { title: `Write ${text}:`, offset: end, end, newText: ':' },
        };
    }
    if (kind === 'glued') {
        const newText = text.replace(/^\d+/, '$& ');
        const owner = node.astNode as Quantity;
        const [value, unit] = newText.split(' ');
        if (owner.$type === 'Quantity') owner.value = value ?? '0';
        else (owner as unknown as { high: string }).high = value ?? '0';
        owner.unit = unit ?? '';
        return {
            message: `Write ${newText}, with a blank between the number and its unit.`,
            offset,
            end,
            fix: { title: `Write ${newText}`, offset, end, newText },
        };
    }
    return comma(node, text);
}

function comma(node: CstNode, text: string): Problem {
    const { offset, end } = node;
    const [whole, decimals, ...more] = text.split(',');
    if (more.length > 0 || decimals === undefined || decimals.includes('.')) {
        const message =
            'A comma groups thousands only after one to three digits and before exactly three: write 2,850 or 2850.';
        return { message, offset, end };
    }
    const newText = `${whole}.${decimals}`;
    return {
        message: `Write ${newText}: the decimal point is a point. A comma only groups thousands, as in 2,850.`,
        offset,
        end,
        fix: { title: `Write ${newText}`, offset, end, newText },
    };
}

/** Verbs that there are not, and the statement that this version does not have. */
function unknownActions(root: File, lexer: CotterLexer, hasNoColon: ReadonlySet<unknown>): Problem[] {
    const names = new Set(lexer.tokens.map(token => token.tokenType.name));
    if (!names.has('ACTOR') && !names.has('meanwhile')) return [];
    const found: Problem[] = [];
    for (const node of AstUtils.streamAst(root)) {
        if (isUnknownAction(node) && !hasNoColon.has(node.$container)) found.push(unknownVerb(node));
        else if (isMeanwhile(node)) found.push(meanwhile(node));
    }
    return found;
}

function unknownVerb(node: UnknownAction): Problem {
    const offset = node.$cstNode?.offset ?? 0;
    const follows = /\b(is|to)\b/.exec(node.$cstNode?.text ?? '')?.[1];
    const likely = follows === 'is' ? ['see', 'ensure'] : follows === 'to' ? ['set', 'go'] : [];
    const verb = node.verb.toLowerCase();
    const meant = otherVerbs[verb] ?? nearest(verb, likely) ?? nearest(verb, verbs);
    if (meant) return misspelt({ image: node.verb, startOffset: offset }, meant);
    const message = `"${node.verb}" is no verb of this language. What a role does is one of ${verbs.join(', ')}, or a text in quotes.`;
    return { message, offset, end: offset + node.verb.length };
}

function meanwhile(node: AstNode): Problem {
    const offset = node.$cstNode?.offset ?? 0;
    const message = 'This version has no "meanwhile": write what the roles do one after the other.';
    return { message, offset, end: offset + 'meanwhile'.length };
}
