/** What keeps a file, a folder or a setting from being used. Not a finding: it says nothing about a card. */
export interface Problem {
    /** Where: a path as the user sees it, with a line where one is known. */
    readonly place: string;
    readonly message: string;
    /** It is about a file that was there and could not be read. */
    readonly unread?: true;
}

export function problemLine(problem: Problem): string {
    return `${problem.place}: ${problem.message}`;
}
