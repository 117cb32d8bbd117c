import {
    type CodeAction,
    CodeActionKind,
    type Diagnostic,
    type Range,
    type TextDocumentEdit,
} from 'vscode-languageserver';
import type { Finding, Fix } from '../../language/findings/finding.js';
import type { At, Feature, Server } from './feature.js';
import { rangeOf } from './ranges.js';
import { refactorings } from './refactorings.js';

const fixAll = `${CodeActionKind.SourceFixAll}.cotter`;

/** Fixes of findings (and, from refactorings.ts, lines made a subtask and calls written out), each tried on the whole before it is offered; all of one kind at once; and all there are, on saving or on demand. */
export const codeActions: Feature = {
    name: 'code actions',
    capabilities: () => ({
        codeActionProvider: {
            codeActionKinds: [
                CodeActionKind.QuickFix,
                fixAll,
                CodeActionKind.RefactorExtract,
                CodeActionKind.RefactorInline,
            ],
            resolveProvider: true,
        },
    }),
    register(server) {
        const { connection, at: atOf } = server;
        connection.onCodeAction(async ({ textDocument, range, context }) => {
            const at = await atOf(textDocument.uri);
            if (!at) return null;
            const wanted = (kind: string): boolean =>
                !context.only || context.only.some(each => kind === each || kind.startsWith(`${each}.`));
            return [
                ...(wanted(CodeActionKind.QuickFix) ? quickFixes(server, at, range, context.diagnostics) : []),
                ...refactorings(at, range, wanted).filter(
                    each => !each.disabled || server.client.textDocument?.codeAction?.disabledSupport,
                ),
                ...(wanted(fixAll) ? [fixAllOf(at, 'Mend all that can be mended', fixAll)] : []),
            ];
        });
        // What takes long is worked out only for what was chosen.
        connection.onCodeActionResolve(async action => {
            const asked = action.data as { uri?: string; code?: string } | undefined;
            const at = asked?.uri ? await atOf(asked.uri) : undefined;
            return at ? { ...action, edit: editOf(server, at, allFixes(at, asked?.code)) } : action;
        });
    },
};

const touches = (one: Range, two: Range): boolean => before(one.start, two.end) && before(two.start, one.end);
const before = (one: Range['start'], two: Range['start']): boolean =>
    one.line < two.line || (one.line === two.line && one.character <= two.character);

function quickFixes(server: Server, at: At, range: Range, diagnostics: readonly Diagnostic[]): CodeAction[] {
    const all = server.workspace.findingsOf(at).filter(each => each.span.file === at.path);
    const here = all.filter(each => touches(rangeOf(each.span), range));
    const tried = at.project.live.tryFixes(
        at.path,
        here.filter(each => each.fixes.length > 0),
    );
    return tried.flatMap(finding => {
        const [fix] = finding.fixes;
        if (!fix) return [];
        const diagnostic = diagnostics.find(
            each => each.code === finding.code && touches(each.range, rangeOf(finding.span)),
        );
        const like = all.filter(each => each.code === finding.code && each.fixes.length > 0);
        const action: CodeAction = {
            title: fix.title,
            kind: CodeActionKind.QuickFix,
            isPreferred: true,
            edit: editOf(server, at, [fix]),
            ...(diagnostic ? { diagnostics: [diagnostic] } : {}),
        };
        return like.length > 1
            ? [action, fixAllOf(at, `Mend all ${finding.code} in this file`, CodeActionKind.QuickFix, finding.code)]
            : [action];
    });
}

function fixAllOf(at: At, title: string, kind: string, code?: string): CodeAction {
    return { title, kind, data: { uri: at.uri, ...(code ? { code } : {}) } };
}

/** The tried fixes of the file, or of one code in it, those that overlap an earlier one left out: they come with the next time. */
function allFixes(at: At, code: string | undefined): readonly Fix[] {
    const { live } = at.project;
    const wanted = live
        .quick(at.path)
        .findings.filter(each => each.fixes.length > 0 && !each.accepted && (!code || each.code === code));
    return withoutOverlaps(live.tryFixes(at.path, wanted));
}

function withoutOverlaps(findings: readonly Finding[]): readonly Fix[] {
    const taken: { file: string; offset: number; end: number }[] = [];
    const chosen: Fix[] = [];
    for (const { fixes } of findings) {
        const [fix] = fixes;
        if (!fix) continue;
        const clashes = fix.edits.some(({ span }) =>
            taken.some(each => each.file === span.file && each.offset <= span.end && span.offset <= each.end),
        );
        if (clashes) continue;
        chosen.push(fix);
        taken.push(...fix.edits.map(each => each.span));
    }
    return chosen;
}

function editOf(server: Server, at: At, fixes: readonly Fix[]): CodeAction['edit'] {
    const edits = fixes.flatMap(each => each.edits);
    const byFile = Map.groupBy(edits, each => each.span.file);
    return {
        documentChanges: [...byFile].map(([file, those]): TextDocumentEdit => {
            const uri = at.project.uriOf(file);
            return {
                textDocument: { uri, version: server.document(uri)?.version ?? null },
                edits: those.map(each => ({ range: rangeOf(each.span), newText: each.newText })),
            };
        }),
    };
}
