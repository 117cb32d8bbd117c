import { relative, sep } from 'node:path';

/** A path as every output shows it: from the working folder, with `/`. */
export function shown(cwd: string, absolute: string): string {
    const path = relative(cwd, absolute).split(sep).join('/');
    return path === '' ? '.' : path;
}

/** What the system said, in a word or two that a person knows. */
export function because(error: unknown, what: 'read' | 'written' = 'read'): string {
    const { code, message } = error as NodeJS.ErrnoException;
    const words: Record<string, string> = {
        ENOENT: 'there is no such file or folder',
        EACCES: `it may not be ${what}`,
        EPERM: `it may not be ${what}`,
        EEXIST: 'it is a file',
        EISDIR: 'it is a folder',
        EROFS: 'nothing may be written there',
        ENOSPC: 'there is no room left',
        ENOTDIR: 'a part of its path is not a folder',
        ELOOP: 'its links lead in a circle',
        ENAMETOOLONG: 'its name is too long',
    };
    return (code && words[code]) || message || String(error);
}
