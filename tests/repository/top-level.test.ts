import { readdirSync } from 'node:fs';
import { expect, test } from 'vitest';

const allowed = [
    'README.md',
    'DEVELOPERS.md',
    'CHANGELOG.md',
    'LICENSE',
    'package.json',
    'package-lock.json',
    'tsconfig.json',
    'biome.json',
    'vitest.config.ts',
    '.gitignore',
    '.gitattributes',
    '.ci',
    'language',
    'server',
    'extension',
    'examples',
    'tests',
];

/** What commands leave beside the sources; git ignores it. */
const made = ['.git', '.installing', 'node_modules', 'dist', 'out'];

test('the top level holds nothing but the house and what tools force', () => {
    const found = readdirSync('.').filter(name => !made.includes(name) && !allowed.includes(name));
    expect(found).toEqual([]);
});
