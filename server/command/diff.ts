import { createTwoFilesPatch, FILE_HEADERS_ONLY } from 'diff';

/** What would change in one file, as `patch` and a reader take it. */
export function diff(path: string, before: string, after: string): string {
    return createTwoFilesPatch(`a/${path}`, `b/${path}`, before, after, undefined, undefined, {
        context: 3,
        headerOptions: FILE_HEADERS_ONLY,
    });
}
