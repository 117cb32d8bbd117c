/** `npm run typed-edits`: every typed edit of the clean examples alone, then 1 to 20 at a time, and how many were reported as what they are. */
import { all, drawn, type Measure, measure, random, report, tryTogether, types } from './measure.js';

const [most, rounds] = [20, 6];

const alone = measure();
for (const each of all) tryTogether([each], alone);
print(`${all.length} edits of ${types.length} types, each alone`, alone);

const several = measure();
for (let k = 1; k <= most; k++)
    for (let round = 0; round < rounds; round++) tryTogether(drawn(k, random(k * 1000 + round)), several);
print(`${several.edits} edits, 1 to ${most} at a time, ${rounds} rounds each`, several);

process.exitCode = alone.wrong.length + several.wrong.length > 0 ? 1 : 0;

function print(what: string, of: Measure): void {
    process.stdout.write(`\n${what}:\n${report(of)}${of.wrong.map(each => `  ${each}\n`).join('')}`);
}
