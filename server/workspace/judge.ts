import { type CheckOptions, check, type EquipmentVariants, type JudgedCard } from '../../language/check.js';
import type { CardStatus, Finding } from '../../language/findings/finding.js';
import type { Project } from './project.js';

/** What check() says about the files asked for, over all projects. */
export interface Judgement {
    readonly findings: readonly Finding[];
    readonly cards: readonly CardStatus[];
    readonly judged: readonly JudgedCard[];
    /** Of the files asked for, with the units of their project. */
    readonly equipments: () => readonly AskedEquipment[];
}

export interface AskedEquipment extends EquipmentVariants {
    readonly units: readonly string[] | undefined;
}

export function judge(
    projects: readonly Project[],
    options: Pick<CheckOptions, 'fixes'> = {},
    started?: (project: Project) => void,
): Judgement {
    const findings: Finding[] = [];
    const cards: CardStatus[] = [];
    const judged: JudgedCard[] = [];
    const equipments: (() => readonly AskedEquipment[])[] = [];
    for (const project of projects) {
        started?.(project);
        const asked = new Set(project.files.filter(file => file.asked).map(file => file.path));
        const report = check(project.files, project.settings, { ...options, only: asked });
        findings.push(...report.findings.filter(finding => asked.has(finding.span.file)));
        cards.push(...report.cards.filter(card => asked.has(card.file)));
        equipments.push(() =>
            report
                .equipments()
                .filter(({ file }) => asked.has(file))
                .map(each => ({ ...each, units: project.settings.units })),
        );
        judged.push(...report.judged.filter(({ plan }) => asked.has(plan.file)));
    }
    return {
        findings: findings.sort(inOrder),
        cards: cards.sort(byFile),
        judged,
        equipments: () => equipments.flatMap(each => each()),
    };
}

function inOrder(a: Finding, b: Finding): number {
    return (
        compare(a.span.file, b.span.file) ||
        a.span.line - b.span.line ||
        a.span.column - b.span.column ||
        compare(a.code, b.code)
    );
}

function byFile(a: CardStatus, b: CardStatus): number {
    return compare(a.file, b.file);
}

function compare(a: string, b: string): number {
    return a < b ? -1 : a > b ? 1 : 0;
}
