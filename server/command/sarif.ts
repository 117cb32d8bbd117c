import { isAbsolute } from 'node:path';
import { pathToFileURL } from 'node:url';
import { pages } from '../../language/checks/generated/pages.js';
import { checks } from '../../language/checks/index.js';
import type { Edit, Finding, Severity, Span } from '../../language/findings/finding.js';
import manifest from '../../package.json' with { type: 'json' };
import type { Problem } from '../workspace/problem.js';
import type { Exit } from './exit.js';
import { fingerprints } from './fingerprint.js';
import { lineOfCard, type Shown, saying, unaccounted } from './shown.js';

const levels: Record<Severity, string> = { error: 'error', warning: 'warning', information: 'note' };

/** A rule of ours beside the checks: a program that reads results alone must not take such a card for a clean one. */
const notKnown = {
    id: 'not-known',
    shortDescription: { text: 'Not everything about a card is known' },
    help: {
        text: 'A syntax error, an unresolved name, a block that nothing leads into, findings in a file that was not asked for: something that the card rests on was not judged or is not listed. Mend what is called syntax or unknown-name first, and check the whole folder.',
    },
    defaultConfiguration: { level: 'error' },
};

interface Ended {
    readonly exit: Exit;
    readonly problems: readonly Problem[];
}

/**
 * Findings as SARIF 2.1.0 (OASIS, errata 01), one run. Accepted findings are suppressed results; what could not be read is a notification; the status of
 * every card stands in the properties of the run, and one that is not known is a result besides.
 */
export function sarif(
    judgement: Shown,
    textOf: (file: string) => string | undefined,
    { exit, problems }: Ended,
): string {
    const prints = fingerprints([...judgement.findings, ...judgement.hidden], textOf);
    const open = unaccounted(judgement);
    const used = [...new Set(judgement.findings.map(({ code }) => code))].sort();
    const rules = [...used.map(rule), ...(open.length ? [notKnown] : [])];
    const index = new Map(rules.map(({ id }, at) => [id, at]));
    const results = [
        ...judgement.findings.map(finding => ({
            ...result(finding),
            ruleIndex: index.get(finding.code),
            partialFingerprints: { 'cotterFinding/v1': prints.get(finding) },
        })),
        ...open.map(({ card, says }) => ({
            ruleId: notKnown.id,
            ruleIndex: index.get(notKnown.id),
            level: 'error',
            message: { text: says },
            locations: [
                {
                    physicalLocation: {
                        artifactLocation: at(card.file),
                        region: { startLine: lineOfCard(card, textOf(card.file)) },
                    },
                    logicalLocations: [{ name: card.name, kind: 'module' }],
                },
            ],
            suppressions: [],
            partialFingerprints: { 'cotterFinding/v1': `not-known ${card.file} ${card.name}` },
        })),
    ];
    const log = {
        $schema: 'https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json',
        version: '2.1.0',
        runs: [
            {
                tool: {
                    driver: { name: 'Cotter', version: manifest.version, semanticVersion: manifest.version, rules },
                },
                columnKind: 'utf16CodeUnits',
                defaultEncoding: 'utf-8',
                invocations: [
                    {
                        executionSuccessful: problems.length === 0,
                        exitCode: exit,
                        toolExecutionNotifications: problems.map(({ place, message }) => ({
                            level: 'error',
                            message: { text: `${place}: ${message}` },
                        })),
                    },
                ],
                results,
                properties: {
                    cards: judgement.cards.map(({ name, file, status, why }) => ({ name, file, status, why })),
                    notShown: judgement.hidden.length,
                },
            },
        ],
    };
    return `${JSON.stringify(log, null, 2)}\n`;
}

function rule(code: string) {
    const check = checks.find(each => each.code === code);
    const page = Object.hasOwn(pages, code) ? pages[code].trimEnd() : (check?.title ?? code);
    // The paragraph under the title says what is found.
    const says = page.split(/\n{2,}/)[1]?.replace(/\n/g, ' ') ?? check?.title ?? code;
    return {
        id: code,
        shortDescription: { text: check?.title ?? code },
        fullDescription: { text: says },
        help: { text: page, markdown: page },
        defaultConfiguration: { level: levels[check?.severity ?? 'error'] },
        properties: { tags: check ? [check.family] : [] },
    };
}

function result(finding: Finding) {
    const { code, severity, span, card, related, fixes, accepted } = finding;
    return {
        ruleId: code,
        level: levels[severity],
        message: { text: saying(finding) },
        locations: [
            { physicalLocation: place(span), ...(card && { logicalLocations: [{ name: card, kind: 'module' }] }) },
        ],
        relatedLocations: related.map((each, id) => ({
            id,
            physicalLocation: place(each.span),
            message: { text: each.message },
        })),
        // If one result says whether it is suppressed, all must.
        suppressions: accepted
            ? [
                  {
                      kind: 'inSource',
                      status: 'accepted',
                      justification: accepted.because,
                      location: { physicalLocation: place(accepted.span) },
                  },
              ]
            : [],
        ...(fixes.length && {
            fixes: fixes.map(({ title, edits }) => ({ description: { text: title }, artifactChanges: changes(edits) })),
        }),
    };
}

function changes(edits: readonly Edit[]) {
    return [...Map.groupBy(edits, edit => edit.span.file)].map(([file, own]) => ({
        artifactLocation: at(file),
        replacements: own.map(({ span, newText }) => ({
            deletedRegion: region(span),
            insertedContent: { text: newText },
        })),
    }));
}

function place(span: Span) {
    return { artifactLocation: at(span.file), region: region(span) };
}

function region({ line, column, endLine, endColumn }: Span) {
    return { startLine: line, startColumn: column, endLine, endColumn };
}

/** Relative to the working folder, as every path in every form. */
function at(file: string) {
    const uri = isAbsolute(file) ? pathToFileURL(file).href : file.split('/').map(encodeURIComponent).join('/');
    return { uri };
}
