/** Where files come from that no editor has open. All by URI. */
export interface FileSource {
    /** Every `.cotter` and `cotter.json` file in a folder and below, hidden folders and build output left out. */
    list(folder: string): Promise<readonly string[]>;
    /** The text without its byte order mark; undefined where there is none that can be read. */
    read(uri: string): Promise<string | undefined>;
    /** The nearest folder upward from a file that holds a `cotter.json`; undefined where there is none. */
    rootOf(uri: string): Promise<string | undefined>;
}
