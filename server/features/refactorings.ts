import { type AstNode, AstUtils } from 'langium';
import { type CodeAction, CodeActionKind, type Range, type TextEdit } from 'vscode-languageserver';
import { applyTextEdits, format } from '../../language/format/format.js';
import type { Card, Do, Step, Subtask } from '../../language/grammar/generated/ast.js';
import { occurrencesIn } from '../../language/names/occurrences.js';
import type { ParsedFile } from '../../language/names/project.js';
import { nodesOf } from '../../language/names/survey.js';
import type { At } from './feature.js';

/** Lines made a subtask, and a call written out: what the card does stays the same, which is tried before it is offered. */
export function refactorings(at: At, range: Range, wanted: (kind: string) => boolean): CodeAction[] {
    if (at.file.broken) return [];
    const offset = at.document.offsetAt(range.start);
    const end = at.document.offsetAt(range.end);
    return [
        ...(wanted(CodeActionKind.RefactorExtract) && end > offset ? extract(at, offset, end) : []),
        ...(wanted(CodeActionKind.RefactorInline) ? inline(at, offset) : []),
    ];
}

interface Change {
    readonly offset: number;
    readonly end: number;
    readonly newText: string;
}

/** What stands in a subtask instead of in a card must be given to it, or be seen by it. */
const given: ReadonlySet<string> = new Set(['Role', 'Tool']);
/** What a subtask cannot be given. */
const ofCardAlone: ReadonlySet<string> = new Set(['Spare', 'Material', 'Step', 'LoopName', 'Parameter']);

function extract(at: At, from: number, to: number): CodeAction[] {
    const { file, parsed } = at;
    const block = blockAround(file, from, to);
    if (!block) return [];
    const { card, statements } = block;
    const first = statements[0]?.$cstNode;
    const last = statements.at(-1)?.$cstNode;
    if (!first || !last) return [];
    const inside = occurrencesIn(parsed, file).filter(each => first.offset <= each.offset && each.end <= last.end);
    const declaredInside = new Set(inside.filter(each => each.isDeclaration).map(each => each.within));
    const parameters = new Map<string, string>();
    for (const { name, targets } of inside) {
        const [target] = targets;
        if (!target || declaredInside.has(target)) continue;
        if (ofCardAlone.has(target.$type))
            return [disabled('Make these lines a subtask', `a subtask cannot be given ${name}`)];
        if (given.has(target.$type)) parameters.set(name, target.$type.toLowerCase());
    }
    const name = freeName(at, 'NewSubtask');
    const uses = card.parts.flatMap(each => (each.$type === 'UsesPart' ? each.equipment.map(one => one.$refText) : []));
    const head = [...parameters].map(([each, kind]) => `${kind} ${each}`).join(', ');
    const body = file.text.slice(first.offset, last.end);
    const declared = `subtask ${name} "What these lines do"${head ? ` (${head})` : ''}${uses.length > 0 ? ` uses ${[...new Set(uses)].join(', ')}` : ''} {\n${body}\n}\n\n`;
    const call = `do ${name}${parameters.size > 0 ? `(${[...parameters.keys()].join(', ')})` : ''}`;
    const start = card.$cstNode?.offset ?? 0;
    return offer(at, 'Make these lines a subtask', CodeActionKind.RefactorExtract, [
        { offset: lineStart(file.text, start), end: lineStart(file.text, start), newText: formatted(declared) },
        { offset: first.offset, end: last.end, newText: call },
    ]);
}

const formatted = (text: string): string => `${applyTextEdits(text, format(text)).trimEnd()}\n\n`;

/** Whole statements of one block of a card. */
function blockAround(
    file: ParsedFile,
    from: number,
    to: number,
): { card: Card; statements: readonly AstNode[] } | undefined {
    for (const type of ['Step', 'Block'] as const) {
        for (const node of nodesOf(file.root, type)) {
            const { statements } = node as Step;
            const chosen = statements.filter(each => {
                const cst = each.$cstNode;
                return cst && cst.offset < to && from < cst.end;
            });
            const [first] = chosen;
            if (!first?.$cstNode) continue;
            const last = chosen.at(-1)?.$cstNode;
            // A selection inside one statement is no choice of lines.
            if (first.$cstNode.offset < lineStart(file.text, from) || !last || last.end > lineEnd(file.text, to))
                continue;
            const card = AstUtils.getContainerOfType(node, (each): each is Card => each.$type === 'Card');
            if (card) return { card, statements: chosen };
        }
    }
    return undefined;
}

function inline(at: At, offset: number): CodeAction[] {
    const { file, parsed } = at;
    const call = nodesOf(file.root, 'Do').find(each => {
        const cst = each.$cstNode;
        return cst && cst.offset <= offset && offset <= cst.end;
    }) as Do | undefined;
    const subtask = call?.callee.ref;
    const cst = call?.$cstNode;
    if (!call || !cst || subtask?.$type !== 'Subtask') return [];
    const title = `Write ${subtask.name} out here`;
    const home = parsed.fileOf(subtask);
    const { statements, parameters } = subtask as Subtask;
    const first = statements[0]?.$cstNode;
    const last = statements.at(-1)?.$cstNode;
    if (!first || !last) return [];
    const values = new Map<AstNode, string>(parameters.map((each, n) => [each, call.args[n]?.name ?? each.name]));
    let text = home.text.slice(first.offset, last.end);
    const inside = occurrencesIn(parsed, home).filter(each => first.offset <= each.offset && each.end <= last.end);
    for (const each of [...inside].reverse()) {
        const value = each.targets[0] && values.get(each.targets[0]);
        if (value === undefined) continue;
        text = text.slice(0, each.offset - first.offset) + value + text.slice(each.end - first.offset);
    }
    const indent = /^[ \t]*/.exec(file.text.slice(lineStart(file.text, cst.offset)))?.[0] ?? '';
    const own = /^[ \t]*/.exec(home.text.slice(lineStart(home.text, first.offset)))?.[0] ?? '';
    const lines = text.split('\n').map((line, n) => (n === 0 ? line : line.replace(own, indent)));
    return offer(at, title, CodeActionKind.RefactorInline, [
        { offset: cst.offset, end: cst.end, newText: lines.join('\n') },
    ]);
}

/** Offered where the cards of the file do the same afterwards, thing by thing, and nothing new is found. */
function offer(at: At, title: string, kind: string, changes: readonly Change[]): CodeAction[] {
    const text = [...changes]
        .sort((one, two) => two.offset - one.offset)
        .reduce((all, each) => all.slice(0, each.offset) + each.newText + all.slice(each.end), at.file.text);
    const before = at.project.live.quick(at.path);
    const after = at.project.live.asIf(at.path, text)?.report;
    const done = (report: typeof before): string =>
        JSON.stringify(
            report.judged.map(({ plan, machine }) =>
                plan.events.map(each => [
                    each.kind,
                    'verb' in each ? each.verb : '',
                    machine.items[each.item]?.name,
                    plan.roles[each.role]?.name,
                    each.guaranteed,
                    'state' in each ? each.state : '',
                ]),
            ),
        );
    if (!after || done(before) !== done(after)) return [disabled(title, 'the card would not do the same')];
    const { document } = at;
    const edits = changes.map(
        (each): TextEdit => ({
            range: { start: document.positionAt(each.offset), end: document.positionAt(each.end) },
            newText: each.newText,
        }),
    );
    return [
        {
            title,
            kind,
            edit: { documentChanges: [{ textDocument: { uri: at.uri, version: document.version }, edits }] },
        },
    ];
}

/** Shown, and not to be chosen, with the reason. */
const disabled = (title: string, reason: string): CodeAction => ({
    title,
    kind: CodeActionKind.Refactor,
    disabled: { reason },
});

function freeName(at: At, wish: string): string {
    const { callees } = at.parsed.scopes.offered;
    for (let n = 1; ; n++) {
        const name = n === 1 ? wish : `${wish}${n}`;
        if (!callees.has(name)) return name;
    }
}

const lineStart = (text: string, offset: number): number => text.lastIndexOf('\n', offset - 1) + 1;
function lineEnd(text: string, offset: number): number {
    const at = text.indexOf('\n', Math.max(0, offset - 1));
    return at < 0 ? text.length : at;
}
