import type { AstNode } from 'langium';
import { type DocumentSymbol, SymbolKind, type WorkspaceSymbol } from 'vscode-languageserver';
import type { Card, CardPart, Equipment, EquipmentPart, File } from '../../language/grammar/generated/ast.js';
import { nameSpan } from '../../language/names/duplicates.js';
import { labelOf } from '../../language/names/occurrences.js';
import type { ParsedFile } from '../../language/names/project.js';
import { type At, type Feature, pauseUnless } from './feature.js';
import { rangeOf } from './ranges.js';

type Declaration = File['declarations'][number];

const kinds: Readonly<Record<string, SymbolKind>> = {
    Modification: SymbolKind.Constant,
    Equipment: SymbolKind.Namespace,
    Subtask: SymbolKind.Function,
    Card: SymbolKind.Class,
    Exercise: SymbolKind.Event,
    Place: SymbolKind.Package,
    Item: SymbolKind.Field,
    Rule: SymbolKind.Property,
    Role: SymbolKind.Interface,
    Tool: SymbolKind.Object,
    Spare: SymbolKind.Object,
    Material: SymbolKind.Object,
    Step: SymbolKind.Method,
};

/** The outline of a file: declarations, and in them places, items, rules, roles and steps. */
export const documentSymbols: Feature = {
    name: 'document symbols',
    capabilities: () => ({ documentSymbolProvider: true }),
    register({ connection, at: atOf }) {
        connection.onDocumentSymbol(async ({ textDocument }) => {
            const at = await atOf(textDocument.uri);
            return at ? at.file.root.declarations.flatMap(each => outlineOf(at, each)) : null;
        });
    },
};

/** Declarations, items and steps of all projects by name or label. */
export const workspaceSymbols: Feature = {
    name: 'workspace symbols',
    capabilities: () => ({ workspaceSymbolProvider: true }),
    register({ connection, workspace }) {
        connection.onWorkspaceSymbol(async ({ query }, token) => {
            const wanted = query.toLowerCase();
            const found: WorkspaceSymbol[] = [];
            let until = performance.now() + 10;
            for (const project of workspace.all()) {
                for (const file of project.live.files()) {
                    if (performance.now() > until) {
                        if (!(await pauseUnless(token))) return found;
                        until = performance.now() + 10;
                    }
                    for (const { node, name, container } of namedIn(file)) {
                        if (!matches(wanted, name, labelOf(node))) continue;
                        found.push({
                            name: titleOf(node),
                            kind: kinds[node.$type] ?? SymbolKind.Field,
                            containerName: container,
                            location: {
                                uri: project.uriOf(file.path),
                                range: rangeOf(file.spanOf(node)),
                            },
                        });
                        if (found.length >= most) return found;
                    }
                }
            }
            return found;
        });
    },
};

/** More are of no use to anybody: another letter narrows them. */
const most = 500;

/** Letters in order, as people type them. */
function matches(wanted: string, name: string, label: string): boolean {
    const text = `${name} ${label}`.toLowerCase();
    let at = 0;
    for (const char of wanted) {
        at = text.indexOf(char, at) + 1;
        if (at === 0) return false;
    }
    return true;
}

function* namedIn(
    file: ParsedFile,
): Iterable<{ readonly node: AstNode; readonly name: string; readonly container: string }> {
    for (const each of file.root.declarations) {
        if (each.name) yield { node: each, name: each.name, container: '' };
        for (const node of partsOf(each)) {
            const { name } = node as { name?: string };
            if (name) yield { node, name, container: each.name ?? '' };
        }
    }
}

function partsOf(declaration: Declaration): readonly AstNode[] {
    if (declaration.$type !== 'Equipment' && declaration.$type !== 'Card') return [];
    const all: AstNode[] = [];
    const read = (parts: readonly (EquipmentPart | CardPart)[]): void => {
        for (const part of parts) {
            if (part.$type === 'WhereParts' || part.$type === 'WhereCard') {
                read(part.parts);
                read(part.otherwise);
            } else all.push(part);
        }
    };
    read((declaration as Equipment | Card).parts);
    return all;
}

const titleOf = (node: AstNode): string => {
    const { name = '' } = node as { name?: string };
    const label = labelOf(node);
    return label ? `${name} ${label}` : name;
};

function outlineOf(at: At, node: AstNode): DocumentSymbol[] {
    const { name } = node as { name?: string };
    if (!name || !kinds[node.$type]) return [];
    const children =
        node.$container?.$type === 'File' ? partsOf(node as Declaration).flatMap(each => outlineOf(at, each)) : [];
    const kind = (node as { kind?: string }).kind;
    return [
        {
            name: titleOf(node),
            detail: typeof kind === 'string' ? kind : node.$type.toLowerCase(),
            kind: kinds[node.$type] ?? SymbolKind.Field,
            range: rangeOf(at.file.spanOf(node)),
            selectionRange: rangeOf(nameSpan(at.parsed, node)),
            ...(children.length > 0 ? { children } : {}),
        },
    ];
}
