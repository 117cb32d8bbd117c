import type { AstNode } from 'langium';
import {
    type ErrorCodes,
    LSPErrorCodes,
    ResponseError,
    type TextDocumentEdit,
    type TextEdit,
} from 'vscode-languageserver';
import { applyEdits } from '../../language/findings/edits.js';
import { type Occurrence, occurrencesIn } from '../../language/names/occurrences.js';
import { linkProject, type ParsedFile, type ParsedProject, parseFile } from '../../language/names/project.js';
import type { At, Feature } from './feature.js';
import { everywhere, nameAt } from './names.js';
import { rangeOf } from './ranges.js';

/** One name for a thing, everywhere at once: through texts, subtasks, arguments and all cards. Refused where anything would then mean something else. */
export const rename: Feature = {
    name: 'rename',
    capabilities: client => ({
        renameProvider: client.textDocument?.rename?.prepareSupport ? { prepareProvider: true } : true,
    }),
    register({ connection, at: atOf, document }) {
        connection.onPrepareRename(async ({ textDocument, position }) => {
            const at = await atOf(textDocument.uri);
            const named = at && nameAt(at, position);
            if (!at || !named || named.targets.length === 0) return null;
            return { range: rangeOf(at.file.spanOf(named)), placeholder: named.name };
        });
        connection.onRenameRequest(async ({ textDocument, position, newName }) => {
            const at = await atOf(textDocument.uri);
            const named = at && nameAt(at, position);
            if (!at || !named || named.targets.length === 0) throw refused('There is nothing here that has a name.');
            if (newName === named.name) return { documentChanges: [] };
            const { found } = everywhere(at, named.targets);
            const why = whyNot(at, named, newName, found);
            if (why) throw refused(why);
            const byFile = Map.groupBy(found, each => each.file);
            const documentChanges = [...byFile].map(([file, occurrences]): TextDocumentEdit => {
                const uri = at.project.uriOf(file.path);
                const edits = occurrences.map(
                    ({ occurrence }): TextEdit => ({ range: rangeOf(file.spanOf(occurrence)), newText: newName }),
                );
                return { textDocument: { uri, version: document(uri)?.version ?? null }, edits };
            });
            return { documentChanges };
        });
    },
};

const refused = (message: string): ResponseError<void> =>
    new ResponseError(LSPErrorCodes.RequestFailed as ErrorCodes, message);

/** A name as a text may hold it. */
const NAME = /^[A-Za-z0-9_][\w-]*$/;

/** Why a thing cannot have a name, as one sentence; undefined where it can. */
function whyNot(
    at: At,
    named: Occurrence,
    newName: string,
    found: readonly { readonly file: ParsedFile; readonly occurrence: Occurrence }[],
): string | undefined {
    if (!NAME.test(newName)) return `"${newName}" is not a name: a name holds letters, digits, _ and -, and no blank.`;
    const renamed = (file: ParsedFile): string =>
        applyEdits(
            file.text,
            found
                .filter(each => each.file === file)
                .map(({ occurrence }) => ({ span: file.spanOf(occurrence), newText: newName })),
        );
    // The whole project with the new name, tried: what was named before must be named after, and nothing else.
    const before = at.project.live.mentioning(new Set([named.name, newName]));
    const files = before.files.map(file =>
        found.some(each => each.file === file) ? parseFile({ path: file.path, text: renamed(file) }) : file,
    );
    const all = at.project.live.files().map(file => files.find(each => each.path === file.path) ?? file);
    const worse = files.find((file, n) => file.broken && !before.files[n]?.broken);
    if (worse) return `${newName} is a word of the language and cannot be a name here.`;
    const meant = before.files.map(file => meanings(before, file));
    const after = linkProject(all, files);
    const reason = files.flatMap((file, n) => {
        const now = meanings(after, file);
        const then = meant[n] ?? [];
        const other = now.findIndex((each, m) => each.where !== then[m]?.where);
        const occurrence = now[other];
        return now.length === then.length && !occurrence
            ? []
            : [`${newName} is already the name of something else: see line ${occurrence?.line ?? 1} of ${file.path}.`];
    })[0];
    // Trees are shared with what the editor shows: their links must mean again what the texts say.
    linkProject(at.project.live.files(), before.files);
    const twice = after.findings.find(each => each.code === 'duplicate-name' && each.about.includes(newName));
    return (
        reason ??
        (twice &&
            `${newName} is already the name of something else: see line ${twice.span.line} of ${twice.span.file}.`)
    );
}

/** What each name in a file leads to: the file and the place in the order of its names, which a new name does not change. */
function meanings(
    project: ParsedProject,
    file: ParsedFile,
): readonly { readonly where: string; readonly line: number }[] {
    const orders = new Map<ParsedFile, ReadonlyMap<AstNode, number>>();
    const orderIn = (home: ParsedFile): ReadonlyMap<AstNode, number> => {
        const known = orders.get(home) ?? new Map(occurrencesIn(project, home).map((each, n) => [each.within, n]));
        orders.set(home, known);
        return known;
    };
    return occurrencesIn(project, file).map(each => {
        const where = each.targets.map(node => {
            const home = project.fileOf(node);
            return `${home.path} ${orderIn(home).get(node)}`;
        });
        return { where: where.join(', '), line: file.spanOf(each).line };
    });
}
