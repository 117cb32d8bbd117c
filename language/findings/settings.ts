import type { Severity } from './finding.js';

/** What `cotter.json` holds. */
export interface Settings {
    /** Codes of warnings and information only; errors stay errors. */
    readonly severities?: Readonly<Record<string, Severity | 'off'>>;
    /** Units to print beside the written ones. */
    readonly units?: readonly string[];
    /** Most words in a sentence of a step and of a note. */
    readonly sentence?: { readonly step?: number; readonly note?: number };
    /** Columns of a line, for the formatter. */
    readonly lineWidth?: number;
}
