/** What is wrong with a text as such, before anybody asks what it means. Offsets are UTF-16, ends exclusive. */
export interface Problem {
    readonly message: string;
    readonly offset: number;
    readonly end: number;
    readonly fix?: { readonly title: string; readonly offset: number; readonly end: number; readonly newText: string };
}
