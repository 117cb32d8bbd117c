import type { FailureResult } from '../failures/failure.js';
import type { Finding, Severity } from '../findings/finding.js';
import type { Settings } from '../findings/settings.js';
import type { Machine } from '../machine/machine.js';
import type { ParsedProject } from '../names/project.js';
import type { Paths } from '../paths/paths.js';
import type { Plan } from '../plan/plan.js';
import type { Traces } from '../trace/trace.js';
import type { Runs } from '../trace/traces.js';

export type Family =
    | 'text'
    | 'equipment'
    | 'left-behind'
    | 'time'
    | 'isolation'
    | 'expectation'
    | 'people'
    | 'work'
    | 'words';

/** Everything computed about one card in one variant: what checks of meaning read. */
export interface Judged {
    readonly machine: Machine;
    readonly plan: Plan;
    readonly traces: Traces;
    readonly paths: Paths;
    /** The runs themselves: contradictions, conflicts, and checkpoints to go on from. */
    readonly runs: Runs;
    /** Of its project. */
    readonly settings: Settings;
    /** Every failure over the whole card, one at a time; computed when first asked for. */
    readonly failures: () => readonly FailureResult[];
    /** A file of the project as it is written: what a fix needs to write whole lines. */
    readonly text: (file: string) => string;
}

/** Where the equipment that a check looks at stands among the others. */
export interface Surroundings {
    /** Its name: the machine holds what it uses as well. */
    readonly equipment: string;
    /** Every machine that holds it, in every variant: its own, and those of the equipments that use it. */
    readonly users: readonly Machine[];
    /** Nobody else uses it. False while only a part of the project is looked at: then what nobody does cannot be said. */
    readonly whole: boolean;
}

/** One code. `cause` and `only` are set by the folding in findings/, not here. */
export interface Check {
    readonly code: string;
    readonly family: Family;
    readonly severity: Severity;
    /** One line for the catalogue: "A breaker is still pulled when the card ends". */
    readonly title: string;
    readonly ofText?: (project: ParsedProject) => readonly Finding[];
    readonly ofEquipment?: (machine: Machine, where: Surroundings) => readonly Finding[];
    readonly ofCard?: (card: Judged) => readonly Finding[];
}
