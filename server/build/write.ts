/** Part of `npm run generate`: brings the pages of reference and the schema into step with the code. */
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { pageOf, written } from './reference.js';

for (const { path, text } of written) {
    const before = existsSync(path) ? readFileSync(path, 'utf8') : '';
    const now = text(before, check => readFileSync(pageOf(check), 'utf8'));
    if (now !== before) writeFileSync(path, now);
}
