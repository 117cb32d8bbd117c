import type { Check, Judged } from './checks/check.js';
import { checks } from './checks/index.js';
import { type FailureRuns, runFailures } from './failures/runs.js';
import { acceptFindings, unusedAccepts } from './findings/accept.js';
import { applyEdits } from './findings/edits.js';
import type { CardStatus, Finding, Fix, Status } from './findings/finding.js';
import { fold, inOrder, mergeVariants } from './findings/fold.js';
import type { Settings } from './findings/settings.js';
import type { Card, Equipment } from './grammar/generated/ast.js';
import { compileMachine } from './machine/compile.js';
import type { Machine } from './machine/machine.js';
import { type ParsedProject, parseProject } from './names/project.js';
import { outlineOf, sliceAround } from './names/slice.js';
import { findPaths } from './paths/find.js';
import { lowerCard } from './plan/lower.js';
import type { Plan } from './plan/plan.js';
import { embodiedIn, equipmentsOfCard, variantsOf, variantsOfEquipment } from './plan/variants.js';
import type { Traces } from './trace/trace.js';
import { judgeArms, runCard } from './trace/traces.js';
import { digestOf } from './vocabulary/digest.js';

export type { CardStatus, Finding, Span, Status } from './findings/finding.js';
export type { Settings } from './findings/settings.js';

/** A file of the project. `path` is relative to the working folder, with `/`. */
export interface SourceFile {
    readonly path: string;
    readonly text: string;
}

export interface CheckOptions {
    /** `verified` (the default): each fix has been tried on the whole project, and only those that remove their finding and add none are kept. */
    readonly fixes?: 'verified' | 'none';
    /** Leaves out checks by code; for the test that every check is needed. */
    readonly without?: ReadonlySet<string>;
    /** Judges only the cards in these files; the rest of the project gives names. */
    readonly only?: ReadonlySet<string>;
}

/** One card in one variant with all that was computed about it, for the readers. */
export interface JudgedCard extends Judged {
    readonly status: CardStatus;
    /** Of all texts that the card draws on. */
    readonly digest: () => string;
    /** This variant's own findings, folded and accepted. */
    readonly findings: readonly Finding[];
}

export interface Report {
    /** By file, place and code. */
    readonly findings: readonly Finding[];
    readonly cards: readonly CardStatus[];
    readonly judged: readonly JudgedCard[];
}

/** The one door: editor, command and tests come through here and get the same. One project; names are looked up in all of its files. */
export function check(files: readonly SourceFile[], settings: Settings = {}, options: CheckOptions = {}): Report {
    const project = parseProject(files);
    const report = checkProject(project, settings, options);
    if (options.fixes === 'none' || !report.findings.some(finding => finding.fixes.length > 0)) return report;
    return { ...report, findings: verifiedFixes(project, settings, options, report.findings) };
}

function checkProject(project: ParsedProject, settings: Settings, options: CheckOptions): Report {
    const active = checks.filter(each => !options.without?.has(each.code));
    const ofText = withSeverity(
        [...active.flatMap(each => each.ofText?.(project) ?? []), ...equipmentFindings(project, active)],
        settings,
    );

    const ofCards = acceptable(ofText);
    const machines = new Map<string, Machine>();
    const perCard: { card: Card; variants: { judged: Judged; findings: Finding[] }[]; unknown: string[] }[] = [];
    for (const card of project.cards) {
        if (!card.name || (options.only && !options.only.has(project.fileOf(card).path))) continue;
        const entry = { card, variants: [] as { judged: Judged; findings: Finding[] }[], unknown: [] as string[] };
        perCard.push(entry);
        const { variants, tooMany } = variantsOf(project, card);
        if (tooMany) entry.unknown.push('it mentions so many modifications that not every combination is checked');
        for (const variant of variants) {
            const judged = judge(project, card, embodiedIn(variant), settings, machines);
            const findings: Finding[] = [];
            for (const each of active) {
                if (!each.ofCard || (judged.runs.unknown.length > 0 && each.code !== 'feeds-itself')) continue;
                findings.push(...each.ofCard(judged));
            }
            const own = fold(withSeverity(findings, settings));
            entry.variants.push({ judged, findings: [...(ofCards.get(card.name) ?? []), ...own] });
        }
    }

    const statuses: CardStatus[] = [];
    const judgedCards: JudgedCard[] = [];
    const ofJudged = new Set(perCard.flatMap(each => ofCards.get(each.card.name) ?? []));
    const ofRest = ofText.filter(each => !ofJudged.has(each));
    const found = [...ofRest];
    const saidOfEquipment = new Set(ofText.filter(each => each.card === undefined).map(placeOf));
    const unusedCheck = active.find(each => each.code === 'accept-unused');
    for (const { card, variants, unknown } of perCard) {
        const accepted = variants.map(({ judged, findings }) => ({
            judged,
            embodied: embodiedIn(judged.plan.variant),
            ...acceptFindings(judged.plan, findings),
        }));
        // What the equipment already has to say about itself is not said again by each card.
        const merged = mergeVariants(accepted).filter(each => !saidOfEquipment.has(placeOf(each)));
        if (unusedCheck) {
            const plans = variants.map(each => each.judged.plan);
            merged.push(
                ...withSeverity(
                    unusedAccepts(
                        plans,
                        accepted.map(each => each.unused),
                        unusedCheck.severity,
                        checks.map(each => each.code),
                    ),
                    settings,
                ),
            );
        }
        found.push(...merged);
        const status = statusOf(
            project,
            card,
            variants.map(each => each.judged),
            unknown,
            [...ofRest, ...merged],
        );
        statuses.push(status);
        for (const { judged, findings } of accepted) {
            const sources = (): string[] =>
                [...filesOf(judged), ...modificationFiles(project, judged)].map(path => judged.text(path));
            // Only who prints the card asks for it.
            judgedCards.push({ ...judged, status, findings, digest: () => digestOf(sources()) });
        }
    }
    return { findings: sortedOnce(found), cards: statuses, judged: judgedCards };
}

/** By card, what is said of its text and is no error: a card may accept it. */
function acceptable(ofText: readonly Finding[]): ReadonlyMap<string, readonly Finding[]> {
    const byCard = new Map<string, Finding[]>();
    for (const finding of ofText) {
        if (finding.card === undefined || finding.severity === 'error') continue;
        const known = byCard.get(finding.card);
        if (known) known.push(finding);
        else byCard.set(finding.card, [finding]);
    }
    return byCard;
}

/** Equipment by itself, in every variant that it mentions; what other equipments say is reported where they are checked. */
function equipmentFindings(project: ParsedProject, active: readonly Check[]): Finding[] {
    const needed = active.filter(each => each.ofEquipment);
    if (needed.length === 0) return [];
    const found: Finding[] = [];
    const compiled = project.equipments.map(equipment =>
        variantsOfEquipment(project, equipment).map(embodied => ({
            embodied,
            machine: compileMachine(project, [equipment], embodied),
        })),
    );
    const users = new Map<string, Machine[]>();
    for (const { machine } of compiled.flat())
        for (const name of machine.equipments) {
            const known = users.get(name);
            if (known) known.push(machine);
            else users.set(name, [machine]);
        }
    for (const [n, equipment] of project.equipments.entries()) {
        const own = { equipment: equipment.name, users: users.get(equipment.name) ?? [] };
        const byVariant = (compiled[n] ?? []).map(({ embodied, machine }) => {
            const findings = needed.flatMap(each => each.ofEquipment?.(machine, own) ?? []);
            return { embodied, findings: fold(findings) };
        });
        found.push(...mergeVariants(byVariant));
    }
    return uniqueByPlace(found);
}

/** A card in one variant, with everything that is computed about it. */
function judge(
    project: ParsedProject,
    card: Card,
    embodied: ReadonlySet<string>,
    settings: Settings,
    machines: Map<string, Machine>,
): Judged {
    const roots: readonly Equipment[] = equipmentsOfCard(project, card);
    const key = `${roots.map(each => each.name).join(' ')}|${[...embodied].sort().join(' ')}`;
    let machine = machines.get(key);
    if (!machine) {
        machine = compileMachine(project, roots, embodied);
        machines.set(key, machine);
    }
    return judgePlan(project, machine, lowerCard(project, card, machine, embodied), settings);
}

/** The rest of the pipeline: from Plan and Machine on. */
function judgePlan(project: ParsedProject, machine: Machine, plan: Plan, settings: Settings): Judged {
    const runs =
        machine.ring.length > 0
            ? {
                  plain: [],
                  forced: [],
                  taken: plan.arms.map(() => false),
                  contradicted: [],
                  beyond: [],
                  conflicts: [],
                  unknown: ['its equipment depends on itself'],
                  checkpointsAt: () => new Map(),
              }
            : runCard(machine, plan);
    let failures: FailureRuns | undefined;
    const failureRuns = (): FailureRuns => {
        failures ??=
            runs.plain.length > 0
                ? runFailures(machine, plan, runs)
                : { results: [], inArms: [], reached: new Set<number>() };
        return failures;
    };
    // Failure runs serve the arms that the plain run does not take; without such arms nobody waits for them.
    const open = plan.arms.some((arm, n) => !runs.taken[n] && !arm.measured);
    const fromFailures = open ? failureRuns() : undefined;
    const traces: Traces = {
        plain: runs.plain,
        forced: runs.forced,
        arms: judgeArms(plan, runs.taken, fromFailures?.reached ?? new Set()),
        inArms: fromFailures?.inArms ?? [],
        plainHolds: runs.contradicted.length === 0,
    };
    const paths = findPaths(machine, plan, traces);
    const texts = textsOf(project);
    return {
        machine,
        plan,
        traces,
        paths,
        runs,
        settings,
        failures: () => failureRuns().results,
        text: file => texts.get(file) ?? '',
    };
}

const texts = new WeakMap<ParsedProject, ReadonlyMap<string, string>>();

/** By path. */
function textsOf(project: ParsedProject): ReadonlyMap<string, string> {
    const known = texts.get(project) ?? new Map(project.files.map(file => [file.path, file.text]));
    texts.set(project, known);
    return known;
}

/** `cotter.json` may change warnings and information, and leave them out; errors stay. */
function withSeverity(findings: readonly Finding[], settings: Settings): Finding[] {
    return findings.flatMap(finding => {
        const wanted = finding.severity === 'error' ? undefined : settings.severities?.[finding.code];
        if (wanted === 'off') return [];
        return [wanted ? { ...finding, severity: wanted } : finding];
    });
}

/** The same thing said of the same place. */
const placeOf = (finding: Finding): string =>
    `${finding.code} ${finding.span.file} ${finding.span.offset} ${finding.cause ?? finding.message}`;

function uniqueByPlace(findings: readonly Finding[]): Finding[] {
    const seen = new Set<string>();
    return findings.filter(each => {
        const key = placeOf(each);
        return seen.has(key) ? false : seen.add(key);
    });
}

function sortedOnce(findings: readonly Finding[]): Finding[] {
    const seen = new Set<string>();
    return [...findings].sort(inOrder).filter(each => {
        const key = `${each.code} ${each.card ?? ''} ${each.span.file} ${each.span.offset} ${each.span.end} ${each.message}`;
        return seen.has(key) ? false : seen.add(key);
    });
}

/** Where the modifications of this variant are declared. */
function modificationFiles(project: ParsedProject, { plan }: Judged): string[] {
    const named = new Set(plan.variant.modifications.map(each => each.name));
    return project.modifications.filter(each => named.has(each.name)).map(each => project.fileOf(each).path);
}

/** The files that the card draws on, its own first. */
function filesOf({ plan, machine }: Judged): string[] {
    const files = new Set([plan.file]);
    for (const event of plan.events) {
        files.add(event.span.file);
        for (const call of event.calls) files.add(call.span.file);
    }
    for (const each of [...machine.items, ...machine.places, ...machine.rules]) files.add(each.span.file);
    return [...files];
}

/** One word and a reason. Never clean while anything that the card rests on is not known. */
function statusOf(
    project: ParsedProject,
    card: Card,
    variants: readonly Judged[],
    refused: readonly string[],
    findings: readonly Finding[],
): CardStatus {
    const file = project.fileOf(card).path;
    const own = project.spanOf(card);
    const files = new Set([file, ...variants.flatMap(filesOf)]);
    const equipments = new Set(variants.flatMap(each => each.machine.equipments));
    const called = new Set(
        variants.flatMap(each => each.plan.events.flatMap(event => event.calls.map(call => call.name))),
    );
    const drawnOn = [
        own,
        ...project.equipments.filter(each => equipments.has(each.name)).map(each => project.spanOf(each)),
        ...[...project.subtasks, ...project.cards]
            .filter(each => called.has(each.name))
            .map(each => project.spanOf(each)),
    ];
    const concerns = findings.filter(
        each =>
            each.card === card.name ||
            (each.card === undefined &&
                drawnOn.some(
                    span =>
                        span.file === each.span.file && span.offset <= each.span.offset && each.span.offset <= span.end,
                )),
    );
    const base = { name: card.name, label: card.label ?? '', file };
    const broken = project.files.find(each => each.broken && files.has(each.path));
    const unknown = [
        ...(broken ? [`${broken.path} has a syntax error`] : []),
        ...(concerns.some(each => each.code === 'unknown-name') ? ['a name is not known'] : []),
        ...refused,
        ...variants.flatMap(each => [...each.machine.unknown, ...each.plan.unknown, ...each.runs.unknown]),
        ...(variants.some(each => each.traces.arms.includes('forced'))
            ? ['a block that nothing leads into is not judged']
            : []),
        ...(variants.some(each => each.runs.beyond.length > 0)
            ? ['what follows where the card always leaves is not judged']
            : []),
    ];
    if (unknown.length > 0) {
        const more = new Set(unknown).size - 1;
        return { ...base, status: 'unknown', why: `${unknown[0]}${more > 0 ? `, and ${more} more` : ''}` };
    }
    const heard = concerns.filter(each => each.severity !== 'information');
    const open = heard.filter(each => !each.accepted);
    if (open.length > 0) {
        const worst = open.find(each => each.severity === 'error') ?? open[0];
        return {
            ...base,
            status: 'findings',
            why: `${open.length} ${open.length === 1 ? 'finding' : 'findings'}, the worst: ${worst?.code}`,
        };
    }
    const accepted = concerns.filter(each => each.accepted).length;
    const status: Status = accepted > 0 ? 'accepted' : 'clean';
    return { ...base, status, why: accepted > 0 ? `${accepted} accepted` : '' };
}

/** Fixes are tried on this many cards in all; what is left over is not offered rather than shown untried. */
const MOST_TRIALS = 4000;

/** Keeps the first fix that removes its finding and adds none, each tried on everything that it can bear on. */
function verifiedFixes(
    project: ParsedProject,
    settings: Settings,
    options: CheckOptions,
    findings: readonly Finding[],
): Finding[] {
    const { files } = project;
    const outline = outlineOf(project);
    const baselines = new Map<string, Map<string, number>>();
    let left = MOST_TRIALS;
    const keysIn = (sources: readonly SourceFile[]): Map<string, number> =>
        countsOf(checkProject(parseProject(sources), settings, { ...options, only: undefined }).findings);
    const holds = (finding: Finding, fix: Fix): boolean => {
        const places = [finding.span, ...fix.edits.map(each => each.span)];
        const slice = outline && sliceAround(files, outline, places, fix.edits.map(each => each.newText).join(' '));
        const sources = slice?.files ?? files;
        left -= slice ? slice.cards + 1 : files.length + 1;
        if (left < 0) return false;
        const key = slice?.key ?? '';
        const before = baselines.get(key) ?? keysIn(sources);
        baselines.set(key, before);
        const changed = sources.map(file => {
            const edits = fix.edits.filter(edit => edit.span.file === file.path);
            return edits.length > 0 ? { path: file.path, text: applyEdits(file.text, edits) } : file;
        });
        const after = keysIn(changed);
        if ((after.get(keyOf(finding)) ?? 0) >= (before.get(keyOf(finding)) ?? 0)) return false;
        for (const [each, count] of after) if (count > (before.get(each) ?? 0)) return false;
        return true;
    };
    return findings.map(finding => {
        if (finding.fixes.length === 0) return finding;
        const kept = finding.fixes.find(fix => holds(finding, fix));
        return { ...finding, fixes: kept ? [kept] : [] };
    });
}

/** What stays the same of a finding when lines move. */
const keyOf = (finding: Finding): string =>
    `${finding.code}|${finding.card ?? ''}|${[...finding.about].sort().join(' ')}|${finding.only ?? ''}`;

function countsOf(findings: readonly Finding[]): Map<string, number> {
    const counts = new Map<string, number>();
    for (const finding of findings) counts.set(keyOf(finding), (counts.get(keyOf(finding)) ?? 0) + 1);
    return counts;
}
