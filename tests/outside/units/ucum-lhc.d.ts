/** What the tests use of the package, which has no types of its own. */
declare module '@lhncbc/ucum-lhc' {
    interface Converted {
        readonly status: string;
        readonly toVal: number;
        readonly msg: readonly string[];
    }
    export const UcumLhcUtils: {
        getInstance(): { convertUnitTo(from: string | undefined, value: number, to: string | undefined): Converted };
    };
}
