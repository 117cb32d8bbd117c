/** What keeps a file, a folder or a setting from being used. Not a finding: it says nothing about a card. */
export interface Problem {
    /** Where: a path as the user sees it, with a line where one is known. */
    readonly place: string;
    readonly message: string;
}

export function problemLine(problem: Problem): string {
    return `${problem.place}: ${problem.message}`;
}
