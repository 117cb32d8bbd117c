import { writeFileSync } from 'node:fs';
import { because } from '../workspace/paths.js';
import { warn } from './terminal.js';

/** Puts new content in a file; where that cannot be done, says why and is false. */
export function write(absolute: string, path: string, content: string): boolean {
    try {
        writeFileSync(absolute, content);
        return true;
    } catch (error) {
        warn(`${path}: cannot be written: ${because(error, 'written')}`);
        return false;
    }
}
