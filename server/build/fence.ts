/**
 * The import fence: a folder of the house imports only folders that stand above it here.
 *
 * One exception: findings/finding.ts is pure types that every folder of language/ speaks, and may be imported from
 * above its own place too.
 *
 * `npm run generate` writes this order as Biome overrides to fence.json, which biome.json extends; a test plants an
 * import across every line of it.
 */
import { writeFileSync } from 'node:fs';

interface Floor {
    /** Folder or file, from the root. */
    readonly place: string;
    /** Packages that may be imported besides; a path inside `place` narrows it to matching files. */
    readonly packages?: Readonly<Record<string, string>>;
}

export const house: readonly Floor[] = [
    { place: 'language/vocabulary', packages: { mathjs: '' } },
    { place: 'language/grammar', packages: { langium: '', chevrotain: '' } },
    { place: 'language/names', packages: { langium: '' } },
    { place: 'language/conditions' },
    { place: 'language/machine', packages: { langium: 'compile*' } },
    { place: 'language/plan', packages: { langium: 'lower*' } },
    { place: 'language/trace' },
    { place: 'language/paths' },
    { place: 'language/failures' },
    { place: 'language/findings' },
    { place: 'language/checks', packages: { langium: 'text/**' } },
    { place: 'language/check.ts' },
    { place: 'language/readers' },
    { place: 'language/html' },
    { place: 'language/format', packages: { langium: '' } },
    { place: 'server/workspace' },
    { place: 'server/features' },
    { place: 'server/command' },
    { place: 'extension' },
];

export const fenceFile = 'server/build/fence.json';

export function fence(): string {
    const overrides = house.flatMap((floor, index) => {
        const below = house.slice(index + 1).map(lower => lower.place);
        const inLanguage = floor.place.startsWith('language/');
        const base = floor.place.endsWith('.ts') ? floor.place : `${floor.place}/**`;
        const groups = (packages: readonly string[]) => {
            const order = {
                group: [
                    ...below.flatMap(to => specifiers(floor.place, to)),
                    '**/tests/**',
                    '**/dist/**',
                    '**/build/**',
                ],
                message: `${floor.place} imports only folders above it in the order of server/build/fence.ts.`,
            };
            const allowed = {
                group: ['**', '!.', '!..', '!./**', '!../**', ...packages.map(name => `!${name}`)],
                message: `${floor.place} imports no package but ${packages.join(', ') || 'none'} (server/build/fence.ts).`,
            };
            return inLanguage ? [order, allowed] : [order];
        };
        const packages = Object.entries(floor.packages ?? {});
        const everywhere = packages.filter(([, files]) => files === '').map(([name]) => name);
        const narrow = packages.filter(([, files]) => files !== '');
        return [
            override(base, groups(everywhere)),
            // Of several overrides for one file the last one holds.
            ...narrow.map(([name, files]) => override(`${floor.place}/${files}`, groups([...everywhere, name]))),
        ];
    });
    return `${JSON.stringify({ overrides }, null, 2)}\n`;
}

export function writeFence(): number {
    writeFileSync(fenceFile, fence());
    return 0;
}

function override(includes: string, patterns: readonly object[]): object {
    const rule = { level: 'error', options: { patterns } };
    return { includes: [includes], linter: { rules: { style: { noRestrictedImports: rule } } } };
}

/** The import paths that lead to a folder or a file of the house, from a file in `from`. */
function specifiers(from: string, to: string): string[] {
    const name = to.split('/').at(-1) ?? to;
    if (name === 'check.ts') {
        // checks/ has a check.ts of its own. An import of the other one from there goes in a circle, which Biome reports.
        return from === 'language/checks' ? [] : ['../check.js', '../../check.js', '../../../check.js'];
    }
    return to === 'language/findings' ? [`**/${name}/**`, '!**/findings/finding.js'] : [`**/${name}/**`];
}
