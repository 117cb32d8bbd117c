/** Where files come from that no editor has open. All by URI. */
export interface FileSource {
    /** Every `.cotter` and `cotter.json` file in a folder and below, hidden folders and build output left out. */
    list(folder: string): Promise<readonly string[]>;
    /** The text without its byte order mark; undefined where there is none that can be read. */
    read(uri: string): Promise<string | undefined>;
    /** The nearest folder upward from a file that holds a `cotter.json`; undefined where there is none. */
    rootOf(uri: string): Promise<string | undefined>;
    /** The files of a folder as a revision in git has them; one sentence where they cannot be had. Absent where there is no git. */
    revision?(folder: string, revision: string): Promise<RevisionFiles | string>;
}

export interface RevisionFiles {
    /** By path from the folder, with `/`, in the order in which a folder is read. */
    readonly files: readonly { readonly path: string; readonly text: string }[];
    /** The text of `cotter.json` there, if there is one. */
    readonly settings: string | undefined;
}
