import type { CardStatus, Finding } from '../../language/findings/finding.js';
import type { Problem } from '../workspace/problem.js';
import type { Project } from '../workspace/project.js';
import { type Shown, saying } from './shown.js';
import { statusWords } from './text.js';

interface Case {
    readonly name: string;
    /** Absent where it passes. */
    readonly bad?: { readonly kind: 'failure' | 'error'; readonly type: string; readonly message: string };
    readonly details: readonly Finding[];
    readonly status?: CardStatus;
}

interface Suite {
    readonly name: string;
    readonly cases: readonly Case[];
}

/** Codes of what keeps a text from being judged. */
const unread: ReadonlySet<string> = new Set(['syntax', 'unknown-name']);

/**
 * The status of every card as a test report that build servers read (JUnit, valid against the XSD of Windy Road). A suite is a file; a case is a card, or
 * what of the file belongs to no card. A card with findings fails, one that is not known errs, one that is accepted passes and says so in the properties
 * and in the output of its suite. The passing of a case follows from the status of the card, whatever is shown. Times are not measured card by card and
 * stand as 0.
 */
export function junit(judgement: Shown, projects: readonly Project[], problems: readonly Problem[], now: Date): string {
    const suites = [...suitesOf(judgement, projects), ...problems.map(ofProblem)];
    const timestamp = now.toISOString().slice(0, 19);
    const shown = suites.map((suite, id) => render(suite, id, timestamp));
    return `<?xml version="1.0" encoding="UTF-8"?>\n<testsuites>\n${shown.join('')}</testsuites>\n`;
}

function suitesOf({ findings, hidden, cards }: Shown, projects: readonly Project[]): Suite[] {
    return projects.flatMap(project => {
        const here = new Set(project.files.map(({ path }) => path));
        const own = cards.filter(({ file }) => here.has(file));
        const names = new Set(own.map(({ name }) => name));
        const isHere = ({ span }: Finding) => here.has(span.file);
        const found = findings.filter(isHere);
        const all = [...found, ...hidden.filter(isHere)];
        return project.files
            .filter(({ asked }) => asked)
            .map(({ path }) => {
                const isOfText = ({ span, card }: Finding) =>
                    span.file === path && (card === undefined || !names.has(card));
                return {
                    name: path,
                    cases: [
                        ofText(all.filter(isOfText), found.filter(isOfText)),
                        ...own
                            .filter(({ file }) => file === path)
                            .map(card =>
                                ofCard(
                                    card,
                                    found.filter(finding => finding.card === card.name),
                                ),
                            ),
                    ],
                };
            });
    });
}

function ofText(all: readonly Finding[], details: readonly Finding[]): Case {
    const name = 'text and equipment';
    const open = all.filter(({ accepted, severity }) => !accepted && severity !== 'information');
    const worst =
        open.find(({ code }) => unread.has(code)) ?? open.find(({ severity }) => severity === 'error') ?? open[0];
    if (!worst) return { name, details };
    const kind = unread.has(worst.code) ? 'error' : 'failure';
    const message = open.length === 1 ? saying(worst) : `${open.length} findings, the worst: ${saying(worst)}`;
    return { name, details, bad: { kind, type: worst.code, message } };
}

function ofCard(status: CardStatus, details: readonly Finding[]): Case {
    const name = status.label ? `${status.name} ${status.label}` : status.name;
    if (status.status === 'unknown') {
        const message = `${statusWords.unknown}: ${status.why}`;
        return { name, status, details, bad: { kind: 'error', type: 'not known', message } };
    }
    if (status.status === 'findings')
        return { name, status, details, bad: { kind: 'failure', type: 'findings', message: status.why } };
    return { name, status, details };
}

function ofProblem({ place, message }: Problem): Suite {
    const bad = { kind: 'error', type: 'not read', message: `${place}: ${message}` } as const;
    return { name: place || '-', cases: [{ name: 'can be read', details: [], bad }] };
}

function render({ name, cases }: Suite, id: number, timestamp: string): string {
    const of = (kind: string) => cases.filter(({ bad }) => bad?.kind === kind).length;
    const attributes = {
        name,
        package: name.includes('/') ? name.slice(0, name.lastIndexOf('/')) : '.',
        id,
        timestamp,
        hostname: 'localhost',
        tests: cases.length,
        failures: of('failure'),
        errors: of('error'),
        time: 0,
    };
    const properties = cases.flatMap(({ status }) =>
        status
            ? [
                  `<property${attribute('name', status.name)}${attribute(
                      'value',
                      [statusWords[status.status], status.why].filter(Boolean).join(': '),
                  )}/>`,
              ]
            : [],
    );
    const passing = cases.filter(({ bad }) => !bad).flatMap(({ details }) => details.map(line));
    return [
        `  <testsuite${Object.entries(attributes)
            .map(([key, value]) => attribute(key, String(value)))
            .join('')}>`,
        `    <properties>${properties.map(each => `\n      ${each}`).join('')}\n    </properties>`,
        ...cases.map(each => testCase(each, name)),
        `    <system-out>${xml(passing.join('\n'))}</system-out>`,
        '    <system-err></system-err>',
        '  </testsuite>\n',
    ].join('\n');
}

function testCase({ name, bad, details }: Case, file: string): string {
    const head = `    <testcase${attribute('name', name)}${attribute('classname', file)} time="0"`;
    if (!bad) return `${head}/>`;
    const { kind, type, message } = bad;
    const said = details.length ? details.map(line).join('\n') : message;
    return `${head}>\n      <${kind}${attribute('type', type)}${attribute('message', message)}>${xml(said)}</${kind}>\n    </testcase>`;
}

/** A finding in one line, and the reason for which it is accepted. */
function line(finding: Finding): string {
    const { span, severity, code, accepted } = finding;
    const level = accepted ? 'accepted' : severity;
    const why = accepted ? ` Accepted in line ${accepted.span.line}: ${accepted.because}` : '';
    return `${span.file}:${span.line}:${span.column} ${level} ${code}: ${saying(finding)}${why}`;
}

function attribute(name: string, value: string): string {
    return ` ${name}="${xml(value).replace(/[\t\r\n]/g, ' ')}"`;
}

/** What XML 1.0 cannot hold is shown as the sign for a character that is missing. */
function xml(text: string): string {
    return text
        .toWellFormed()
        .replace(/[\u0000-\u0008\u000B\u000C\u000E-\u001F\uFFFE\uFFFF]/g, '\uFFFD')
        .replaceAll('&', '&amp;')
        .replaceAll('<', '&lt;')
        .replaceAll('>', '&gt;')
        .replaceAll('"', '&quot;');
}
