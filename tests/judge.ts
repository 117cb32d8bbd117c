/** One card taken through the whole of language/ piece by piece, for tests that look at what lies between text and finding. */
import type { FailureResult } from '../language/failures/failure.js';
import { runFailures } from '../language/failures/runs.js';
import { compileMachine } from '../language/machine/compile.js';
import type { Machine } from '../language/machine/machine.js';
import { type ParsedProject, parseProject, type SourceText } from '../language/names/project.js';
import { findPaths } from '../language/paths/find.js';
import type { Paths } from '../language/paths/paths.js';
import { lowerCard } from '../language/plan/lower.js';
import type { Plan } from '../language/plan/plan.js';
import { embodiedIn, equipmentsOfCard, variantsOf } from '../language/plan/variants.js';
import type { Traces } from '../language/trace/trace.js';
import { judgeArms, type Runs, runCard } from '../language/trace/traces.js';

export interface Judged {
    readonly project: ParsedProject;
    readonly machine: Machine;
    readonly plan: Plan;
    readonly runs: Runs;
    readonly failures: readonly FailureResult[];
    readonly traces: Traces;
    readonly paths: Paths;
}

/** Every card of the texts in every variant; cards of texts with mistakes are left out. */
export function judgeAll(sources: readonly SourceText[]): Judged[] {
    const project = parseProject(sources);
    if (project.findings.length > 0) return [];
    return project.cards.flatMap(card =>
        variantsOf(project, card).variants.map((variant): Judged => {
            const embodied = embodiedIn(variant);
            const machine = compileMachine(project, equipmentsOfCard(project, card), embodied);
            const plan = lowerCard(project, card, machine, embodied);
            const runs = runCard(machine, plan);
            const { results, inArms, reached } = runFailures(machine, plan, runs);
            const traces: Traces = {
                plain: runs.plain,
                forced: runs.forced,
                arms: judgeArms(plan, runs.taken, reached),
                inArms,
                plainHolds: runs.contradicted.length === 0,
            };
            return { project, machine, plan, runs, failures: results, traces, paths: findPaths(machine, plan, traces) };
        }),
    );
}
