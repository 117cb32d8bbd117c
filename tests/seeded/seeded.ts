/** `npm run seeded`: the table of seeded defects, and every change that nothing answers, with the reason; with `--all` every change. */
import { measure, table } from './measure.js';
import { kinds } from './mutants.js';
import { reasonFor } from './reasons.js';

const results = measure();
const both = results.filter(each => each.codes.length > 0 && each.differs === '');
process.stdout.write(`${table(results, kinds)}\n`);
const shown = process.argv.includes('--all')
    ? (['answered', 'answered otherwise', 'proved harmless', 'survived'] as const)
    : (['answered otherwise', 'survived'] as const);
for (const outcome of shown) {
    const own = results.filter(each => each.outcome === outcome);
    if (own.length > 0) process.stdout.write(`\n${outcome}:\n`);
    for (const { mutant, codes, differs } of own) {
        process.stdout.write(`  ${mutant.file}:${mutant.line} ${mutant.kind}: ${mutant.says}\n`);
        process.stdout.write(
            `    ${outcome === 'survived' ? `${differs}. ${reasonFor(mutant)?.because ?? 'NO REASON KNOWN'}` : codes.join(', ') || 'nothing differs'}\n`,
        );
    }
}
if (both.length > 0) {
    process.stdout.write('\nanswered although nothing differs:\n');
    for (const { mutant, codes } of both)
        process.stdout.write(`  ${mutant.file}:${mutant.line} ${mutant.says}: ${codes.join(', ')}\n`);
}
