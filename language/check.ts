import type { Check, Family, Judged } from './checks/check.js';
import { checks } from './checks/index.js';
import { type FailureRuns, runFailures } from './failures/runs.js';
import { acceptFindings, unusedAccepts } from './findings/accept.js';
import { applyEdits } from './findings/edits.js';
import type { CardStatus, Finding, Fix, Status } from './findings/finding.js';
import { fold, inOrder, mergeVariants } from './findings/fold.js';
import { likenesses, likenessOf } from './findings/likeness.js';
import type { Settings } from './findings/settings.js';
import type { Card, Equipment } from './grammar/generated/ast.js';
import { compileMachine } from './machine/compile.js';
import type { Machine } from './machine/machine.js';
import { sameFiles } from './names/drawn-on.js';
import { type ParsedFile, type ParsedProject, parseProject } from './names/project.js';
import { outlineOf, sliceAround } from './names/slice.js';
import { findPaths } from './paths/find.js';
import { lowerCard } from './plan/lower.js';
import type { Plan, Variant } from './plan/plan.js';
import {
    calledBy,
    embodiedIn,
    equipmentsOfCard,
    modificationsOfEquipment,
    variantsOf,
    variantsOfEquipment,
} from './plan/variants.js';
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
    /** Gives the findings that rest on paths also where the text cannot be read whole; so fixes are tried. */
    readonly evenBroken?: boolean;
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

/** One equipment on one aircraft, with all that its sheet says. */
export interface JudgedEquipment {
    readonly name: string;
    readonly label: string;
    readonly file: string;
    readonly uses: readonly { readonly name: string; readonly label: string }[];
    readonly usedBy: readonly { readonly name: string; readonly label: string }[];
    readonly modifications: Variant['modifications'];
    /** Of the equipment and all that it uses. */
    readonly machine: Machine;
    /** Every machine that holds it, in every variant. */
    readonly users: readonly Machine[];
    readonly status: CardStatus;
    /** What is not known of it, as sentences. */
    readonly unknown: readonly string[];
    /** What is said of its own text. */
    readonly findings: readonly Finding[];
    /** Of all texts that it draws on. */
    readonly digest: () => string;
}

export interface Report {
    /** By file, place and code. */
    readonly findings: readonly Finding[];
    readonly cards: readonly CardStatus[];
    readonly judged: readonly JudgedCard[];
    /** Every equipment in every variant; only who prints them asks. One that has too many variants has an entry with none. */
    readonly equipments: () => readonly EquipmentVariants[];
}

export interface EquipmentVariants {
    readonly name: string;
    readonly label: string;
    readonly file: string;
    readonly variants: readonly JudgedEquipment[];
}

/** The one door: editor, command and tests come through here and get the same. One project; names are looked up in all of its files. */
export function check(files: readonly SourceFile[], settings: Settings = {}, options: CheckOptions = {}): Report {
    const project = parseProject(files);
    const report = checkProject(project, settings, options);
    if (options.fixes === 'none' || !report.findings.some(finding => finding.fixes.length > 0)) return report;
    return { ...report, findings: verifiedFixes(project, settings, options, report.findings) };
}

/** The findings with the first of their fixes that, tried on the project, removes its finding and adds none. `among`: all findings, of which these are some. */
export function tryFixes(
    files: readonly SourceFile[],
    settings: Settings,
    findings: readonly Finding[],
    among: readonly Finding[] = findings,
): readonly Finding[] {
    return verifiedFixes(parseProject(files), settings, {}, findings, among);
}

function checkProject(project: ParsedProject, settings: Settings, options: CheckOptions): Report {
    return drained(checking(project, settings, options));
}

function drained<T>(steps: Generator<void, T>): T {
    for (;;) {
        const { done, value } = steps.next();
        if (done) return value;
    }
}

/**
 * check() of a linked project in steps, so that whoever waits for more than the answer can do something else between two of them, or drop it. Fixes are as the checks
 * propose them, not tried. With a `memory`, cards whose files are the same as before are not judged again, and are missing in `judged`.
 */
export function* checking(
    project: ParsedProject,
    settings: Settings = {},
    options: CheckOptions & {
        readonly memory?: Memory;
        /** The project is a part of a larger one: what is known of equipment from the whole holds, and of changed equipment nothing is said that only the whole can tell. */
        readonly isPart?: boolean;
    } = {},
): Generator<void, Report> {
    const { memory, isPart = false } = options;
    const active = checks.filter(each => !options.without?.has(each.code));
    const text: Finding[] = [];
    for (const each of active) {
        if (!each.ofText) continue;
        text.push(...each.ofText(project));
        yield;
    }
    const ofText = withSeverity([...text, ...(yield* equipmentFindings(project, active, memory, isPart))], settings);

    const ofCards = acceptable(ofText);
    const machines = new Map<string, Machine>();
    const perCard: JudgedVariants[] = [];
    for (const card of project.cards) {
        if (!card.name || (options.only && !options.only.has(project.fileOf(card).path))) continue;
        perCard.push(
            memory?.recall(project, card, settings) ?? judgeVariants(project, card, settings, machines, active),
        );
        const last = perCard.at(-1);
        if (last) memory?.keep(project, last, settings);
        yield;
    }

    const statuses: CardStatus[] = [];
    const judgedCards: JudgedCard[] = [];
    const ofJudged = new Set(perCard.flatMap(each => ofCards.get(each.card.name) ?? []));
    const ofRest = ofText.filter(each => !ofJudged.has(each));
    const byFile = Map.groupBy(ofRest, each => each.span.file);
    const found = [...ofRest];
    const saidOfEquipment = new Set(ofText.filter(each => each.card === undefined).map(placeOf));
    const unusedCheck = active.find(each => each.code === 'accept-unused');
    for (const { card, variants, unknown } of perCard) {
        const ofThis = ofCards.get(card.name) ?? [];
        const facts = variants.map(each => each.facts);
        const near = [...new Set([project.fileOf(card).path, ...facts.flatMap(each => each.files)])];
        const nearby = near.flatMap(file => byFile.get(file) ?? []);
        // What a line that is left out might have done is not missed.
        const withheld = !options.evenBroken && lacksLines(project, card, facts, nearby);
        const accepted = variants.map(({ plan, judged, findings }) => ({
            judged,
            embodied: embodiedIn(plan.variant),
            ...acceptFindings(plan, [...ofThis, ...findings.filter(each => !withheld || !restsOnPaths(each))]),
        }));
        // What the equipment already has to say about itself is not said again by each card.
        const merged = mergeVariants(accepted).filter(each => !saidOfEquipment.has(placeOf(each)));
        if (unusedCheck && !withheld) {
            merged.push(
                ...withSeverity(
                    unusedAccepts(
                        variants.map(each => each.plan),
                        accepted.map(each => each.unused),
                        unusedCheck.severity,
                        checks.map(each => each.code),
                    ),
                    settings,
                ),
            );
        }
        found.push(...merged);
        const status = statusOf(project, card, facts, unknown, [...nearby, ...merged]);
        statuses.push(status);
        for (const { judged, findings } of accepted) {
            if (!judged) continue;
            const sources = (): string[] =>
                [...filesOf(judged), ...modificationFiles(project, judged)].map(path => judged.text(path));
            // Only who prints the card asks for it.
            judgedCards.push({ ...judged, status, findings, digest: () => digestOf(sources()) });
        }
    }
    const findings = sortedOnce(found);
    return { findings, cards: statuses, judged: judgedCards, equipments: () => judgeEquipments(project, findings) };
}

/** One variant of a card after its checks. `judged`: with all that was computed, unless the memory has let it go. */
interface JudgedVariant {
    readonly plan: Plan;
    readonly judged: Judged | undefined;
    /** Of meaning, folded. */
    readonly findings: readonly Finding[];
    readonly facts: Facts;
}

interface JudgedVariants {
    readonly card: Card;
    readonly variants: readonly JudgedVariant[];
    /** Why not every variant was judged. */
    readonly unknown: readonly string[];
}

/** What the status of a card rests on besides findings. */
interface Facts {
    readonly files: readonly string[];
    readonly equipments: readonly string[];
    /** Subtasks and cards done. */
    readonly called: readonly string[];
    /** Every line of it could be carried over into events. */
    readonly isWhole: boolean;
    readonly unknown: readonly string[];
}

function judgeVariants(
    project: ParsedProject,
    card: Card,
    settings: Settings,
    machines: Map<string, Machine>,
    active: readonly Check[],
): JudgedVariants {
    const { variants, tooMany } = variantsOf(project, card);
    return {
        card,
        unknown: tooMany ? ['it mentions so many modifications that not every combination is checked'] : [],
        variants: variants.map(variant => {
            const judged = judge(project, card, embodiedIn(variant), settings, machines);
            const findings: Finding[] = [];
            for (const each of active) {
                if (!each.ofCard || (judged.runs.unknown.length > 0 && each.code !== 'feeds-itself')) continue;
                findings.push(...each.ofCard(judged));
            }
            return {
                plan: judged.plan,
                judged,
                findings: fold(withSeverity(findings, settings)),
                facts: factsOf(project, card, judged),
            };
        }),
    };
}

function factsOf(project: ParsedProject, card: Card, judged: Judged): Facts {
    const { machine, plan, runs, traces } = judged;
    const called = calledBy(project, card).filter(each => each !== card);
    return {
        files: [...new Set([...filesOf(judged), ...called.map(each => project.fileOf(each).path)])],
        equipments: machine.equipments,
        called: called.map(each => each.name),
        isWhole: plan.unknown.length === 0,
        unknown: [
            ...machine.unknown,
            ...plan.unknown,
            ...runs.unknown,
            ...(traces.arms.includes('forced') ? ['a block that nothing leads into is not judged'] : []),
            ...(runs.beyond.length > 0 ? ['what follows where the card always leaves is not judged'] : []),
        ],
    };
}

interface CompiledEquipment {
    readonly drawnOn: readonly ParsedFile[];
    readonly byVariant: readonly { readonly embodied: ReadonlySet<string>; readonly machine: Machine }[];
    users: readonly Machine[];
    findings: readonly Finding[] | undefined;
}

/**
 * What check() knows from before of one project. What was judged is let go again and its findings are kept: a project of a thousand cards fits.
 */
export class Memory {
    private readonly cards = new WeakMap<
        Card,
        JudgedVariants & { drawnOn: readonly ParsedFile[]; settings: Settings }
    >();
    private readonly equipments = new WeakMap<Equipment, CompiledEquipment>();

    /** `drawnOn`: every file that the meaning of a file rests on. */
    constructor(readonly drawnOn: (file: ParsedFile) => readonly ParsedFile[]) {}

    recall(project: ParsedProject, card: Card, settings: Settings): JudgedVariants | undefined {
        const known = this.cards.get(card);
        if (!known || known.settings !== settings) return undefined;
        return sameFiles(known.drawnOn, this.drawnOn(project.fileOf(card))) ? known : undefined;
    }

    keep(project: ParsedProject, judged: JudgedVariants, settings: Settings): void {
        const { card, unknown } = judged;
        if (this.cards.get(card) === judged) return;
        const variants = judged.variants.map(each => ({ ...each, judged: undefined }));
        const drawnOn = this.drawnOn(project.fileOf(card));
        this.cards.set(card, { card, unknown, variants, drawnOn, settings });
    }

    /** The equipment in all its variants. */
    compiled(project: ParsedProject, equipment: Equipment): CompiledEquipment {
        const drawnOn = this.drawnOn(project.fileOf(equipment));
        const known = this.equipments.get(equipment);
        if (known && sameFiles(known.drawnOn, drawnOn)) return known;
        const fresh = compileEquipment(project, equipment, drawnOn);
        this.equipments.set(equipment, fresh);
        return fresh;
    }
}

function compileEquipment(
    project: ParsedProject,
    equipment: Equipment,
    drawnOn: readonly ParsedFile[],
): CompiledEquipment {
    const byVariant = variantsOfEquipment(project, equipment).map(embodied => ({
        embodied,
        machine: compileMachine(project, [equipment], embodied),
    }));
    return { drawnOn, byVariant, users: [], findings: undefined };
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
function* equipmentFindings(
    project: ParsedProject,
    active: readonly Check[],
    memory: Memory | undefined,
    isPart: boolean,
): Generator<void, Finding[]> {
    const needed = active.filter(each => each.ofEquipment);
    if (needed.length === 0) return [];
    const compiled: { readonly name: string; readonly of: CompiledEquipment }[] = [];
    const users = new Map<string, Machine[]>();
    for (const equipment of project.equipments) {
        const of = memory?.compiled(project, equipment) ?? compileEquipment(project, equipment, []);
        compiled.push({ name: equipment.name, of });
        for (const { machine } of of.byVariant)
            for (const name of machine.equipments) {
                const known = users.get(name);
                if (known) known.push(machine);
                else users.set(name, [machine]);
            }
        yield;
    }
    const found: Finding[] = [];
    for (const { name, of } of compiled) {
        const those = users.get(name) ?? [];
        const isKept = of.users.length === those.length && of.users.every((each, n) => each === those[n]);
        let findings = isPart || isKept ? of.findings : undefined;
        if (!findings) {
            findings = mergeVariants(
                of.byVariant.map(({ embodied, machine }) => {
                    const where = { equipment: name, users: those, whole: !isPart };
                    return {
                        embodied,
                        findings: fold(needed.flatMap(each => each.ofEquipment?.(machine, where) ?? [])),
                    };
                }),
            );
            if (!isPart) {
                of.users = those;
                of.findings = findings;
            }
            yield;
        }
        found.push(...findings);
    }
    return uniqueByPlace(found);
}

/** Every equipment with what its sheet needs. */
function judgeEquipments(project: ParsedProject, findings: readonly Finding[]): readonly EquipmentVariants[] {
    const compiled = project.equipments.map(equipment =>
        variantsOfEquipment(project, equipment).map(embodied => ({
            embodied,
            machine: compileMachine(project, [equipment], embodied),
        })),
    );
    const called = ({ name, label }: Equipment) => ({ name, label: label ?? '' });
    return project.equipments.flatMap((equipment, n): EquipmentVariants[] => {
        const { name } = equipment;
        if (!name) return [];
        const span = project.spanOf(equipment);
        const uses = (equipment.uses ?? []).flatMap(each => each.ref ?? []);
        const closure = [equipment, ...project.equipmentsOf(equipment)];
        const modifications = modificationsOfEquipment(project, equipment);
        const files = [...closure, ...modifications].map(each => project.fileOf(each).path);
        const holding = project.equipments.flatMap((other, at) =>
            other === equipment || project.equipmentsOf(other).includes(equipment) ? [at] : [],
        );
        const own = findings.filter(
            each => each.span.file === span.file && span.offset <= each.span.offset && each.span.offset <= span.end,
        );
        const variants = (compiled[n] ?? []).map(({ embodied, machine }): JudgedEquipment => {
            const broken = project.files.find(file => file.broken && files.includes(file.path));
            const unknown = [
                ...(broken ? [`${broken.path} has a syntax error`] : []),
                ...(own.some(each => each.code === 'unknown-name') ? ['a name is not known'] : []),
                ...(machine.ring.length > 0 ? ['things in it depend on themselves'] : []),
                ...machine.unknown,
            ];
            return {
                ...called(equipment),
                file: span.file,
                uses: uses.map(called),
                usedBy: project.equipments.filter(each => each.uses?.some(used => used.ref === equipment)).map(called),
                modifications: modifications.map(each => ({
                    name: each.name,
                    label: each.label,
                    embodied: embodied.has(each.name),
                })),
                machine,
                users: holding.flatMap(at => (compiled[at] ?? []).map(each => each.machine)),
                status: wordFor({ name, label: equipment.label ?? '', file: span.file }, unknown, own),
                unknown,
                findings: own,
                digest: () => digestOf([...new Set(files)].map(path => textsOf(project).get(path) ?? '')),
            };
        });
        return [{ ...called(equipment), file: span.file, variants }];
    });
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
                  forcedEnds: [],
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
    variants: readonly Facts[],
    refused: readonly string[],
    findings: readonly Finding[],
): CardStatus {
    const file = project.fileOf(card).path;
    const concerns = findings.filter(concerning(project, card, variants));
    const base = { name: card.name, label: card.label ?? '', file };
    const broken = brokenOf(project, card, variants);
    const unknown = [
        ...(broken ? [`${broken.path} has a syntax error`] : []),
        ...(concerns.some(each => each.code === 'unknown-name') ? ['a name is not known'] : []),
        ...refused,
        ...variants.flatMap(each => each.unknown),
    ];
    return wordFor(base, unknown, concerns);
}

/** The first file that the card draws on and that cannot be read whole. */
function brokenOf(project: ParsedProject, card: Card, variants: readonly Facts[]): ParsedFile | undefined {
    const files = new Set([project.fileOf(card).path, ...variants.flatMap(each => each.files)]);
    return project.files.find(each => each.broken && files.has(each.path));
}

/** Whether a finding is about the card or something that it draws on. */
function concerning(project: ParsedProject, card: Card, variants: readonly Facts[]): (finding: Finding) => boolean {
    const equipments = new Set(variants.flatMap(each => each.equipments));
    const called = new Set(variants.flatMap(each => each.called));
    const drawnOn = [
        project.spanOf(card),
        ...project.equipments.filter(each => equipments.has(each.name)).map(each => project.spanOf(each)),
        ...[...project.subtasks, ...project.cards]
            .filter(each => called.has(each.name))
            .map(each => project.spanOf(each)),
    ];
    return each =>
        each.card === card.name ||
        (each.card === undefined &&
            drawnOn.some(
                span => span.file === each.span.file && span.offset <= each.span.offset && each.span.offset <= span.end,
            ));
}

/** Families that say what is not so on some way through the card: a line that cannot be read may be the one that is missed. */
const ON_PATHS: ReadonlySet<Family> = new Set(['left-behind', 'time', 'isolation', 'expectation', 'people', 'work']);
const onPaths = new Set(checks.filter(each => ON_PATHS.has(each.family)).map(each => each.code));
const restsOnPaths = (finding: Finding): boolean => onPaths.has(finding.code);

/** Because of these a line, or all that it calls, is left out of the card. */
const LEAVES_OUT: ReadonlySet<string> = new Set(['unknown-name', 'wrong-arguments', 'calls-itself']);

/** Lines of the card, or of what it draws on, are left out because they cannot be read. */
function lacksLines(
    project: ParsedProject,
    card: Card,
    variants: readonly Facts[],
    ofText: readonly Finding[],
): boolean {
    if (brokenOf(project, card, variants)) return true;
    const isWhole = variants.every(each => each.isWhole);
    return ofText
        .filter(each => LEAVES_OUT.has(each.code) || (each.code === 'wrong-verb' && !isWhole))
        .some(concerning(project, card, variants));
}

/** Worst first: what is not known, what is open, what is accepted. */
function wordFor(
    base: Pick<CardStatus, 'name' | 'label' | 'file'>,
    unknown: readonly string[],
    concerns: readonly Finding[],
): CardStatus {
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
            why: open.length === 1 ? `1 finding: ${worst?.code}` : `${open.length} findings, the worst: ${worst?.code}`,
        };
    }
    const accepted = concerns.filter(each => each.accepted).length;
    const status: Status = accepted > 0 ? 'accepted' : 'clean';
    return { ...base, status, why: accepted > 0 ? `${accepted} accepted` : '' };
}

/** Fixes are tried on this many cards in all; what is left over is not offered rather than shown untried. */
const MOST_TRIALS = 4000;

/** Codes of what keeps a text from being judged, and is often a slip of the pen. */
const UNREAD: ReadonlySet<string> = new Set(['syntax', 'unknown-name', 'unknown-state', 'wrong-verb']);

/**
 * Keeps the first fix that removes its finding and adds none, each tried on everything that it can bear on. Of a misspelt word it is enough that what
 * comes besides was only hidden.
 */
function verifiedFixes(
    project: ParsedProject,
    settings: Settings,
    options: CheckOptions,
    findings: readonly Finding[],
    among: readonly Finding[] = findings,
): Finding[] {
    const { files } = project;
    const outline = outlineOf(project);
    const baselines = new Map<string, Tried>();
    let left = MOST_TRIALS;
    const tried = (sources: readonly SourceFile[]): Tried => {
        const { findings, cards } = checkProject(parseProject(sources), settings, {
            ...options,
            only: undefined,
            evenBroken: true,
        });
        return { findings, counts: likenesses(findings), unknown: unknownIn(cards) };
    };
    const holds = (finding: Finding, fix: Fix): boolean => {
        const places = [finding.span, ...fix.edits.map(each => each.span)];
        const slice = outline && sliceAround(files, outline, places, fix.edits.map(each => each.newText).join(' '));
        const sources = slice?.files ?? files;
        left -= slice ? slice.cards + 1 : files.length + 1;
        if (left < 0) return false;
        const key = slice?.key ?? '';
        const before = baselines.get(key) ?? tried(sources);
        baselines.set(key, before);
        const changed = sources.map(file => {
            const edits = fix.edits.filter(edit => edit.span.file === file.path);
            return edits.length > 0 ? { path: file.path, text: applyEdits(file.text, edits) } : file;
        });
        const after = tried(changed);
        const likeness = likenessOf(finding);
        if ((after.counts.get(likeness) ?? 0) >= (before.counts.get(likeness) ?? 0)) return false;
        const come = after.findings.filter(
            each => (after.counts.get(likenessOf(each)) ?? 0) > (before.counts.get(likenessOf(each)) ?? 0),
        );
        return come.every(each => UNREAD.has(finding.code) && isUncovered(each, fix, before, after));
    };
    return findings.map(finding => {
        if (finding.fixes.length === 0) return finding;
        const kept = [...finding.fixes, ...everywhere(finding, among)].find(fix => holds(finding, fix));
        return { ...finding, fixes: kept ? [kept] : [] };
    });
}

/** A word that is misspelt in the same way in several places is mended in all of them where mending one alone does not do. */
function everywhere(finding: Finding, findings: readonly Finding[]): Fix[] {
    const [first] = finding.fixes;
    if (!first || !UNREAD.has(finding.code)) return [];
    const alike = findings.filter(
        each => likenessOf(each) === likenessOf(finding) && each.fixes[0]?.title === first.title,
    );
    if (alike.length < 2) return [];
    const edits = alike.flatMap(each => each.fixes[0]?.edits ?? []);
    return [{ title: `${first.title} in all ${alike.length} places`, edits }];
}

interface Tried {
    readonly findings: readonly Finding[];
    readonly counts: ReadonlyMap<string, number>;
    /** Cards that were not judged whole. */
    readonly unknown: ReadonlySet<string>;
}

const unknownIn = (cards: readonly CardStatus[]): ReadonlySet<string> =>
    new Set(cards.filter(each => each.status === 'unknown').map(each => each.name));

/**
 * A finding that comes with the mending of a misspelt word, and was only hidden by it: it speaks of a card that was not known before (or of what belongs to
 * no card), it is itself nothing that keeps a text from being judged, it does not stand where the word was written, and it is not about that word, unless another line
 * about the same word still cannot be judged. So a word that is spelt well but wrong here is not offered: what it does wrong would stand at it, or be about it.
 */
function isUncovered(finding: Finding, fix: Fix, before: Tried, after: Tried): boolean {
    if (finding.code === 'duplicate-name' || UNREAD.has(finding.code)) return false;
    if (finding.card !== undefined && !before.unknown.has(finding.card)) return false;
    return fix.edits.every(({ span, newText }) => {
        const word = newText.trim();
        const isAbout = finding.about.includes(word);
        const isThere =
            finding.span.file === span.file && finding.span.line <= span.line && span.line <= finding.span.endLine;
        if (!isAbout && !isThere) return true;
        const isAlike = (each: Finding): boolean =>
            UNREAD.has(each.code) && each.card === finding.card && each.about.includes(word);
        return isAbout && after.findings.some(isAlike);
    });
}
