import {
    type Diagnostic,
    DiagnosticSeverity,
    DiagnosticTag,
    type DocumentDiagnosticReport,
    DocumentDiagnosticReportKind,
    type WorkspaceDocumentDiagnosticReport,
} from 'vscode-languageserver';
import type { Finding, Severity } from '../../language/findings/finding.js';
import type { Located, OpenedProject } from '../workspace/editor-workspace.js';
import { HeldFindings } from '../workspace/held-findings.js';
import type { Feature, Server } from './feature.js';
import { locationOf, rangeOf } from './ranges.js';

const severities: Readonly<Record<Severity, DiagnosticSeverity>> = {
    error: DiagnosticSeverity.Error,
    warning: DiagnosticSeverity.Warning,
    information: DiagnosticSeverity.Information,
};

/** Findings about something that is not needed: editors show it faded. */
const unneeded: ReadonlySet<string> = new Set(['never-used', 'accept-unused', 'already-so']);

/** Where the page of a check opens: the client shows it from the extension itself, without a network. */
export const pageOf = (code: string): string => `cotter-check:/${code}.md`;

/** Findings while typing, in open and closed files. Editors that do not ask for them are sent them. */
export const findings: Feature = {
    name: 'findings',
    capabilities: client =>
        client.textDocument?.diagnostic
            ? {
                  diagnosticProvider: {
                      identifier: 'cotter',
                      interFileDependencies: true,
                      workspaceDiagnostics: true,
                  },
              }
            : {},
    register(server) {
        const held = new HeldFindings();
        server.onEdited((uri, document) => held.edited(uri, document.getText()));
        if (server.client.textDocument?.diagnostic) answerWhenAsked(server, held);
        else sendUnasked(server, held);
    },
};

/** What is to be shown of a file now. */
export function diagnosticsOf({ workspace }: Server, held: HeldFindings, uri: string, at: Located): Diagnostic[] {
    return held
        .shown(uri, at.file, workspace.findingsOf(at))
        .map(({ finding, isOld }) => diagnosticOf(at.project, finding, isOld));
}

function diagnosticOf(project: OpenedProject, finding: Finding, isOld: boolean): Diagnostic {
    const { code, severity, message, span, related, only, accepted } = finding;
    const where = [
        only && `only ${only}`,
        accepted && `accepted: ${accepted.because}`,
        isOld && 'before the last edit',
    ];
    const more = where.filter(Boolean).join('; ');
    return {
        range: rangeOf(span),
        severity: accepted ? DiagnosticSeverity.Hint : severities[severity],
        code,
        codeDescription: { href: pageOf(code) },
        source: 'cotter',
        message: more ? `${message} (${more})` : message,
        ...(unneeded.has(code) ? { tags: [DiagnosticTag.Unnecessary] } : {}),
        ...(related.length > 0
            ? {
                  relatedInformation: related.map(each => ({
                      location: locationOf(project, each.span),
                      message: each.message,
                  })),
              }
            : {}),
    };
}

/** The same findings have the same name: who asks again with it is told that nothing changed. */
function resultId(items: readonly Diagnostic[]): string {
    let hash = 0;
    for (const char of JSON.stringify(items)) hash = (Math.imul(hash, 31) + char.charCodeAt(0)) | 0;
    return `${items.length}.${hash >>> 0}`;
}

function answerWhenAsked(server: Server, held: HeldFindings): void {
    const { connection, workspace } = server;
    const reportOf = (uri: string, at: Located, previous: string | undefined): DocumentDiagnosticReport => {
        const items = diagnosticsOf(server, held, uri, at);
        const id = resultId(items);
        if (id === previous) return { kind: DocumentDiagnosticReportKind.Unchanged, resultId: id };
        return { kind: DocumentDiagnosticReportKind.Full, resultId: id, items };
    };
    connection.languages.diagnostics.on(async ({ textDocument, previousResultId }) => {
        const at = await server.at(textDocument.uri);
        return at ? reportOf(at.uri, at, previousResultId) : { kind: DocumentDiagnosticReportKind.Full, items: [] };
    });

    connection.languages.diagnostics.onWorkspace(async ({ previousResultIds }, token) => {
        await Promise.race([workspace.settled(), new Promise(resolve => token.onCancellationRequested(resolve))]);
        const before = new Map(previousResultIds.map(each => [each.uri, each.value]));
        const items: WorkspaceDocumentDiagnosticReport[] = [];
        for (const project of workspace.all()) {
            for (const { path } of project.live.files()) {
                if (token.isCancellationRequested) return { items };
                const uri = project.uriOf(path);
                const at = workspace.locate(uri);
                if (!at) continue;
                const previous = before.get(uri);
                before.delete(uri);
                items.push({ uri, version: server.document(uri)?.version ?? null, ...reportOf(uri, at, previous) });
            }
        }
        // What is gone has no findings any more.
        for (const uri of before.keys())
            items.push({ uri, version: null, kind: DocumentDiagnosticReportKind.Full, items: [] });
        return { items };
    });

    if (server.client.workspace?.diagnostics?.refreshSupport)
        server.onCaughtUp(() => connection.languages.diagnostics.refresh());
}

function sendUnasked(server: Server, held: HeldFindings): void {
    const { connection, workspace } = server;
    const sent = new Map<string, string>();
    const send = (uri: string): void => {
        const at = workspace.locate(uri);
        if (!at) return;
        const diagnostics = diagnosticsOf(server, held, uri, at);
        const id = resultId(diagnostics);
        if (sent.get(uri) === id || (diagnostics.length === 0 && !sent.has(uri))) return;
        sent.set(uri, id);
        const version = server.document(uri)?.version;
        connection.sendDiagnostics({ uri, diagnostics, ...(version === undefined ? {} : { version }) });
    };
    server.onEdited(send);
    server.onCaughtUp(project => {
        for (const { path } of project.live.files()) send(project.uriOf(path));
        for (const uri of [...sent.keys()])
            if (!workspace.locate(uri)) {
                sent.delete(uri);
                connection.sendDiagnostics({ uri, diagnostics: [] });
            }
    });
}
