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
    { place: 'language/vocabulary' },
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
    { place: 'language/html', packages: { '@dagrejs/dagre': 'feed-drawing*' } },
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
        const packages = Object.entries(floor.packages ?? {});
        const everywhere = packages.filter(([, files]) => files === '').map(([name]) => name);
        const narrow = packages.filter(([, files]) => files !== '');
        return [
            ...rules(floor.place, '', below, everywhere),
            // Of several overrides for one file the last one holds.
            ...narrow.flatMap(([name, files]) => rules(floor.place, files, below, [...everywhere, name])),
        ];
    });
    return `${JSON.stringify({ overrides }, null, 2)}\n`;
}

export function writeFence(): number {
    writeFileSync(fenceFile, fence());
    return 0;
}

/** What some files of a floor may not import: `files` is a pattern in its folder, or empty for all of them. */
function rules(place: string, files: string, below: readonly string[], packages: readonly string[]): object[] {
    const allowed = {
        group: ['**', '!.', '!..', '!./**', '!../**', ...packages.map(name => `!${name}`)],
        message: `${place} imports no package but ${packages.join(', ') || 'none'} (server/build/fence.ts).`,
    };
    return parts(place, files, below).map(({ includes, lower }) => {
        const order = {
            group: [...lower, '**/tests/**', '**/dist/**', '**/build/**'],
            message: `${place} imports only folders above it in the order of server/build/fence.ts.`,
        };
        const options = { patterns: place.startsWith('language/') ? [order, allowed] : [order] };
        const rule = { level: 'error', options };
        return { includes: [includes], linter: { rules: { style: { noRestrictedImports: rule } } } };
    });
}

/** Files, and the import paths that lead from them to what stands below. */
function parts(place: string, files: string, below: readonly string[]): { includes: string; lower: string[] }[] {
    const folders = below.filter(to => !to.endsWith('.ts')).flatMap(specifiers);
    const check = below.includes('language/check.ts');
    if (place !== 'language/checks') {
        const includes = place.endsWith('.ts') ? place : `${place}/${files || '**'}`;
        return [{ includes, lower: check ? [...folders, ...[1, 2, 3].map(up)] : folders }];
    }
    // checks/ has a check.ts of its own, so here the way to the other one depends on how deep a file lies.
    const [top, ...rest] = files ? files.split('/') : [''];
    const depths = top && rest.length ? [1, 2, 3] : [0, 1, 2, 3];
    return depths.map(depth => {
        const folder = top ? [place, top, ...Array(depth - 1).fill('*')] : [place, ...Array(depth).fill('*')];
        return { includes: `${folder.join('/')}/*.ts`, lower: [...folders, up(depth + 1)] };
    });
}

function up(steps: number): string {
    return `${'../'.repeat(steps)}check.js`;
}

function specifiers(folder: string): string[] {
    const name = folder.split('/').at(-1) ?? folder;
    return folder === 'language/findings' ? [`**/${name}/**`, '!**/findings/finding.js'] : [`**/${name}/**`];
}
